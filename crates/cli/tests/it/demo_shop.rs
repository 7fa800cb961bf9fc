//! `check` over the whole demo shop: every program's output is recorded, and the program with
//! planted mistakes gives those and nothing else.

use crate::run::{kerfwright, root};
use serde_json::Value;
use std::collections::BTreeSet;

fn programs() -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(root().join("demo/programs"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".nc"))
        .collect();
    names.sort();
    names
}

#[test]
fn every_demo_program_prints_what_is_recorded() {
    let names = programs();
    assert!(names.len() >= 9, "{names:?}");
    for name in names {
        let ran = kerfwright(&["check", &format!("demo/programs/{name}"), "--shop", "demo/shop"]);
        let expected_code = i32::from(name == "mistakes.nc");
        assert_eq!(ran.code, expected_code, "{name}: {}{}", ran.out, ran.err);
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(name.trim_end_matches(".nc"), ran.out);
        });
    }
}

#[test]
fn every_planted_mistake_is_found_and_nothing_else() {
    let text = std::fs::read_to_string(root().join("demo/programs/mistakes.toml")).unwrap();
    let planted = planted(&text);
    assert!(planted.len() >= 18, "{planted:?}");
    let ran = kerfwright(&["check", "demo/programs/mistakes.nc", "--shop", "demo/shop", "--json"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    let found: BTreeSet<(String, u64)> = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| (f["check"].as_str().unwrap().to_owned(), f["line"].as_u64().unwrap()))
        .collect();
    assert_eq!(found, planted);
}

/// Pairs of check and line from the list of planted mistakes.
fn planted(text: &str) -> BTreeSet<(String, u64)> {
    let mut check = None;
    let mut pairs = BTreeSet::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("check = ") {
            check = Some(name.trim_matches('"').to_owned());
        } else if let Some(number) = line.strip_prefix("line = ") {
            pairs.insert((check.take().unwrap(), number.trim().parse().unwrap()));
        }
    }
    pairs
}
