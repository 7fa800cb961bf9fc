//! What a store must do, told once for every back end.

pub use crate::kill::no_acknowledged_program_is_lost_when_the_writer_is_killed;
use crate::place::Place;
use kw_shop::{NewProgram, ProgramId, ProgramStore, StoreError};
use kw_store::{STATEMENTS, Store};
use std::sync::Arc;
use std::time::Duration;

/// The size of one part of a text.
const ONE_PART: usize = 4 << 20;

pub fn program(name: &str, text: &[u8], now_ms: i64) -> NewProgram {
    let lines = text.iter().filter(|b| **b == b'\n').count() as u32 + 1;
    NewProgram::new(name, Arc::new(text.to_vec()), lines, now_ms)
}

/// A text of a size, different for each seed, with every byte value in it.
fn text_of(bytes: usize, seed: u32) -> Vec<u8> {
    let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
    let mut next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    (0..bytes).map(|_| next()).collect()
}

async fn add(store: &Store, program: &NewProgram) -> (ProgramId, bool) {
    let (record, added) = store.add_program(program).await.unwrap();
    (record.id, added)
}

pub async fn texts_come_back_byte_for_byte(place: Place) {
    let store = place.open().await;
    let sizes = [0, 1, 1000, ONE_PART - 1, ONE_PART, ONE_PART + 1, 2 * ONE_PART + 12_345];
    for (i, bytes) in sizes.into_iter().enumerate() {
        let text = text_of(bytes, i as u32);
        let new = program(&format!("Größe {bytes}.nc"), &text, 1_700_000_000_000 + i as i64);
        let (record, added) = store.add_program(&new).await.unwrap();
        assert!(added);
        assert_eq!((record.bytes, record.lines), (bytes as u64, new.lines));
        assert_eq!((record.name.as_str(), record.added_at_ms), (new.name.as_str(), new.now_ms));
        assert_eq!(record.sha256, new.sha256());
        assert_eq!(store.program(record.id).await.unwrap(), record);
        assert!(store.program_text(record.id).await.unwrap() == text, "{bytes} bytes differ");
    }
    assert_eq!(store.programs().await.unwrap().len(), sizes.len());
}

pub async fn the_same_file_twice_is_one_program(place: Place) {
    let store = place.open().await;
    let first = add(&store, &program("hive.nc", b"G0 X1\n", 1000)).await;
    let again = store.add_program(&program("hive.nc", b"G0 X1\n", 2000)).await.unwrap();
    assert_eq!(first, (again.0.id, true));
    assert_eq!((again.0.added_at_ms, again.1), (1000, false), "the first time is kept");
    let changed = add(&store, &program("hive.nc", b"G0 X2\n", 3000)).await;
    assert!(changed.1 && changed.0 != first.0, "another text is another program");
    assert_eq!(store.programs().await.unwrap().len(), 2);
}

pub async fn the_same_text_under_two_names_is_two_programs(place: Place) {
    let store = place.open().await;
    let text = text_of(ONE_PART + 10, 7);
    let a = add(&store, &program("a.nc", &text, 1)).await;
    let b = add(&store, &program("b.nc", &text, 2)).await;
    assert!(a.1 && b.1 && a.0 != b.0);
    assert!(store.program_text(a.0).await.unwrap() == text);
    assert!(store.program_text(b.0).await.unwrap() == text);
    // The parts are shared: two rows, not four.
    assert_eq!(place.execute("update text_part set part = part").await, 2);
}

pub async fn newest_come_first(place: Place) {
    let store = place.open().await;
    for (name, now_ms) in [("old.nc", 10), ("new.nc", 30), ("middle.nc", 20), ("tie.nc", 30)] {
        add(&store, &program(name, b"G0", now_ms)).await;
    }
    let programs = store.programs().await.unwrap();
    let names: Vec<&str> = programs.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["tie.nc", "new.nc", "middle.nc", "old.nc"]);
}

pub async fn unknown_numbers_are_told(place: Place) {
    let store = place.open().await;
    for number in [0, -1, 1, i64::MAX, i64::MIN] {
        let found = store.program(ProgramId(number)).await;
        assert!(matches!(found, Err(StoreError::NoSuchProgram(n)) if n == number));
        let text = store.program_text(ProgramId(number)).await;
        assert!(matches!(text, Err(StoreError::NoSuchProgram(n)) if n == number));
    }
}

pub async fn programs_outlive_the_process(place: Place) {
    let text = text_of(ONE_PART + 1, 3);
    let store = place.open().await;
    let (id, _) = add(&store, &program("kept.nc", &text, 5)).await;
    let before = store.programs().await.unwrap();
    store.close().await;
    assert!(store.programs().await.is_err(), "a closed store answers nothing");
    let store = place.open().await;
    assert_eq!(store.programs().await.unwrap(), before);
    assert!(store.program_text(id).await.unwrap() == text);
}

pub async fn two_stores_write_at_once(place: Place) {
    const EACH: i64 = 40;
    let stores = [place.open().await, place.open().await];
    let writers = stores.clone().into_iter().enumerate().map(|(writer, store)| {
        tokio::spawn(async move {
            for i in 0..EACH {
                let text = format!("({writer}:{i})\n");
                assert!(add(&store, &program("w.nc", text.as_bytes(), i)).await.1);
            }
        })
    });
    for writer in writers.collect::<Vec<_>>() {
        writer.await.unwrap();
    }
    for store in &stores {
        assert_eq!(store.programs().await.unwrap().len() as i64, 2 * EACH);
    }
}

pub async fn one_file_added_by_many_at_once_is_one_program(place: Place) {
    let stores = [place.open().await, place.open().await];
    let text = text_of(ONE_PART + 99, 11);
    let adds = (0..8).map(|i| {
        let (store, new) = (stores[i % 2].clone(), program("same.nc", &text, i as i64));
        tokio::spawn(async move { add(&store, &new).await })
    });
    let mut results = Vec::new();
    for add in adds.collect::<Vec<_>>() {
        results.push(add.await.unwrap());
    }
    assert_eq!(results.iter().filter(|(_, added)| *added).count(), 1, "added once");
    assert!(results.iter().all(|(id, _)| *id == results[0].0), "all are told of the same");
    assert!(stores[0].program_text(results[0].0).await.unwrap() == text);
}

pub async fn many_open_a_fresh_place_at_once(place: Place) {
    let opens = (0..6).map(|i| {
        let place = place.clone();
        tokio::spawn(async move {
            let store = place.open().await;
            add(&store, &program(&format!("{i}.nc"), b"G0", i)).await;
        })
    });
    for open in opens.collect::<Vec<_>>() {
        open.await.unwrap();
    }
    assert_eq!(place.open().await.programs().await.unwrap().len(), 6);
}

pub async fn a_broken_off_add_leaves_nothing(place: Place) {
    let store = place.open().await;
    let text = text_of(3 * ONE_PART, 5);
    let new = program("broken-off.nc", &text, 1);
    let mut broken_off = 0;
    for microseconds in [1, 200, 1000, 3000, 6000, 10_000] {
        let limit = Duration::from_micros(microseconds);
        if tokio::time::timeout(limit, store.add_program(&new)).await.is_ok() {
            break;
        }
        broken_off += 1;
        assert_eq!(store.programs().await.unwrap(), []);
    }
    assert!(broken_off > 0, "no add was broken off");
    let (id, _) = add(&store, &new).await;
    assert!(store.program_text(id).await.unwrap() == text);
}

async fn damage_told(place: &Place, damage: &str) -> String {
    let store = place.open().await;
    let (id, _) = add(&store, &program("hurt.nc", &text_of(2 * ONE_PART, 2), 1)).await;
    let (sound, _) = add(&store, &program("sound.nc", b"G0", 1)).await;
    assert_eq!(place.execute(damage).await, 1, "{damage}");
    assert_eq!(store.program_text(sound).await.unwrap(), b"G0", "others are not harmed");
    match store.program_text(id).await {
        Err(StoreError::Damaged(what)) => what,
        other => panic!("{:?}", other.map(|text| text.len())),
    }
}

pub async fn a_changed_text_is_told(place: Place) {
    // The same length, one byte changed: only the hash can tell.
    let other = match place {
        Place::Sqlite(_) => "zeroblob(4194304)",
        Place::Postgres(_) => "decode(repeat('00', 4194304), 'hex')",
    };
    let damage = format!("update text_part set content = {other} where part = 1");
    let told = damage_told(&place, &damage).await;
    assert!(told.contains("hurt.nc") && told.contains("hash"), "{told}");
}

pub async fn a_missing_part_is_told(place: Place) {
    let told = damage_told(&place, "delete from text_part where part = 1").await;
    assert!(told.contains("4194304 of its 8388608 bytes"), "{told}");
}

pub async fn a_wrong_size_is_told(place: Place) {
    let huge = "update program set bytes = 9223372036854775807 where name = 'hurt.nc'";
    let told = damage_told(&place, huge).await;
    assert!(told.contains("cannot have 9223372036854775807 bytes"), "{told}");
    place.execute("update program set bytes = 5 where name = 'hurt.nc'").await;
    let store = place.open().await;
    let hurt = store.programs().await.unwrap().into_iter().find(|p| p.name == "hurt.nc").unwrap();
    assert!(matches!(store.program_text(hurt.id).await, Err(StoreError::Damaged(_))));
}

pub async fn tables_of_a_newer_version_are_told(place: Place) {
    place.open().await.close().await;
    let checksum = match place {
        Place::Sqlite(_) => "x'00'",
        Place::Postgres(_) => "'\\x00'",
    };
    let newer = format!(
        "insert into _sqlx_migrations (version, description, success, checksum, execution_time) \
         values (9999, 'from the future', true, {checksum}, 0)"
    );
    assert_eq!(place.execute(&newer).await, 1);
    match Store::open(&place.options()).await {
        Err(StoreError::Newer(9999)) => {}
        other => panic!("{:?}", other.map(drop)),
    }
}

pub async fn every_statement_can_be_prepared(place: Place) {
    place.open().await.close().await;
    for (name, sql) in STATEMENTS {
        place.prepare(sql).await.unwrap_or_else(|error| panic!("{name}: {error}"));
    }
    assert!(place.prepare("select no_such_column from program").await.is_err());
}
