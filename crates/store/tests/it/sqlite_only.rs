//! What only a file can suffer.

use crate::folder::Folder;
use crate::place::run;
use kw_shop::StoreError;
use kw_store::{Store, StoreOptions};
use std::path::PathBuf;

fn refused(path: PathBuf) -> String {
    let opened = run(async { Store::open(&StoreOptions::SqliteFile(path)).await });
    match opened.unwrap_err() {
        StoreError::Database { doing, why } => format!("{doing}: {why}"),
        other => panic!("{other}"),
    }
}

#[test]
fn a_file_that_is_no_database_is_refused_and_left_alone() {
    let folder = Folder::new("no-database");
    let path = folder.path().join("shop.db");
    let text = b"G21 G90\nG0 X10\n".repeat(100);
    std::fs::write(&path, &text).unwrap();
    assert!(refused(path.clone()).contains("not a database"));
    assert_eq!(std::fs::read(&path).unwrap(), text);
}

#[test]
fn a_place_without_folder_is_refused() {
    let folder = Folder::new("no-folder");
    assert!(refused(folder.path().join("missing/shop.db")).contains("open"));
}

#[test]
fn a_folder_in_place_of_the_file_is_refused() {
    let folder = Folder::new("a-folder");
    assert!(refused(folder.path().to_owned()).contains("open"));
}
