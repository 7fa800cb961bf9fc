//! Shops with faults and what is said of them. `bad/base` is the smallest shop that is accepted;
//! each other folder holds the files that differ from it.

use super::*;
use insta::assert_snapshot;

fn folder(case: &str) -> PathBuf {
    repository().join("crates/model/tests/it/bad").join(case)
}

fn said_of(files: &[ShopFile]) -> String {
    match Shop::read(files) {
        Ok(_) => "accepted".to_owned(),
        Err(errors) => lines(&errors),
    }
}

fn said_of_case(case: &str) -> String {
    let changed = files_of(&folder(case));
    assert!(!changed.is_empty(), "no files in {case}");
    let mut files = files_of(&folder("base"));
    for file in changed {
        files.iter_mut().find(|f| f.name == file.name).unwrap().text = file.text;
    }
    said_of(&files)
}

#[test]
fn the_base_itself_is_accepted() {
    assert_eq!(said_of_case("base"), "accepted");
}

#[test]
fn a_key_with_another_unit_is_named() {
    assert_snapshot!(said_of_case("wrong-unit"));
}

#[test]
fn a_missing_field_is_named() {
    assert_snapshot!(said_of_case("missing-field"));
}

#[test]
fn values_in_the_wrong_order_are_named_in_every_file() {
    assert_snapshot!(said_of_case("wrong-order"));
}

#[test]
fn what_is_there_twice_is_named() {
    assert_snapshot!(said_of_case("twice"));
}

#[test]
fn references_to_nothing_are_named() {
    assert_snapshot!(said_of_case("no-such"));
}

#[test]
fn values_of_the_wrong_type_are_named() {
    assert_snapshot!(said_of_case("wrong-type"));
}

#[test]
fn text_that_is_not_toml_gives_its_line() {
    assert_snapshot!(said_of_case("not-toml"));
}

#[test]
fn missing_files_are_named() {
    let mut files = files_of(&folder("base"));
    files.retain(|f| f.name != "tools.toml" && !f.name.starts_with("machines/"));
    assert_snapshot!(said_of(&files));
}
