//! The store on SQLite and on a throw-away PostgreSQL: the same stories on both.
#![allow(clippy::unwrap_used, reason = "tests may fail loudly")]

mod folder;
mod kill;
mod place;
mod postgres;
mod sqlite_only;
mod statements;
mod stories;

use place::Place;

/// Runs a story on a fresh SQLite file.
fn on_sqlite<F: Future<Output = ()>>(story: impl FnOnce(Place) -> F) {
    let folder = folder::Folder::new("sqlite");
    place::run(story(Place::Sqlite(folder.path().join("shop.db"))));
}

/// Declares each story as a test on SQLite, and lists all for PostgreSQL.
macro_rules! stories {
    ($($name:ident),* $(,)?) => {
        mod on_sqlite {
            $(#[test] fn $name() { crate::on_sqlite(crate::stories::$name) })*
        }

        type Story = fn(Place) -> std::pin::Pin<Box<dyn Future<Output = ()>>>;

        const STORIES: &[(&str, Story)] =
            &[$((stringify!($name), |place| Box::pin(stories::$name(place)))),*];
    };
}

stories!(
    texts_come_back_byte_for_byte,
    the_same_file_twice_is_one_program,
    the_same_text_under_two_names_is_two_programs,
    newest_come_first,
    unknown_numbers_are_told,
    programs_outlive_the_process,
    two_stores_write_at_once,
    one_file_added_by_many_at_once_is_one_program,
    many_open_a_fresh_place_at_once,
    a_broken_off_add_leaves_nothing,
    a_changed_text_is_told,
    a_missing_part_is_told,
    a_wrong_size_is_told,
    tables_of_a_newer_version_are_told,
    every_statement_can_be_prepared,
    no_acknowledged_program_is_lost_when_the_writer_is_killed,
);

#[test]
fn on_postgres() {
    let Some(server) = postgres::Server::start() else { return };
    for (name, story) in STORIES {
        let _named = NamedIfItFails(name);
        place::run(story(server.fresh_database(name)));
    }
    postgres::say(&format!("PostgreSQL was tested: {} stories passed", STORIES.len()));
}

/// Says which story a failure belongs to.
struct NamedIfItFails(&'static str);

impl Drop for NamedIfItFails {
    fn drop(&mut self) {
        if std::thread::panicking() {
            postgres::say(&format!("the story that failed on PostgreSQL: {}", self.0));
        }
    }
}
