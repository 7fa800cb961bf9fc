//! `edit`, `place`, `resume` and `read --explain` as a person runs them.

use crate::run::{Ran, file, kerfwright, root};
use serde_json::Value;
use std::path::PathBuf;

fn run(verb: &str, program: &str, options: &[&str]) -> Ran {
    let program = format!("demo/programs/{program}");
    let mut arguments = vec![verb, &program, "--shop", "demo/shop"];
    arguments.extend(options);
    let ran = kerfwright(&arguments);
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

fn out_file(name: &str) -> PathBuf {
    let path = file(name, b"");
    std::fs::remove_file(&path).unwrap();
    path
}

macro_rules! assert_printed {
    ($ran:expr, $code:expr) => {{
        let ran = $ran;
        assert_eq!(ran.code, $code, "{}{}", ran.out, ran.err);
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(format!("{}{}", ran.out, ran.err));
        });
    }};
}

#[test]
fn an_edit_shows_diff_and_comparison() {
    let options = ["--tool", "31", "--cut-feed", "x0.8", "--by", "A. Setter", "--why", "chatter"];
    assert_printed!(run("edit", "drill-template-inch.nc", &options), 0);
}

#[test]
fn a_swapped_tool_is_shown_with_its_time() {
    assert_printed!(run("edit", "drill-template-inch.nc", &["--swap-tool", "32=31"]), 0);
}

#[test]
fn several_edits_at_once_are_one_revision() {
    let out = out_file("edited.nc");
    let options = ["--cut-feed", "80%", "--speed", "x0.9", "--pause-before", "12", "--json", "-o"];
    let options: Vec<&str> = options.into_iter().chain([out.to_str().unwrap()]).collect();
    let before = std::fs::read(root().join("demo/programs/entrance-plates.nc")).unwrap();
    let ran = run("edit", "entrance-plates.nc", &options);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let document: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(document["revision"]["edits"], 3);
    assert!(document["revision"]["diff"].as_str().unwrap().contains("+M0"));
    let time = |side: &str| document["comparison"][side]["time_s"].as_f64().unwrap();
    assert!(time("after") > time("before"));
    let written = std::fs::read_to_string(&out).unwrap();
    assert!(written.contains("\nM0\n"), "{written}");
    let after = std::fs::read(root().join("demo/programs/entrance-plates.nc")).unwrap();
    assert_eq!(before, after);
}

#[test]
fn refusals_say_line_and_reason() {
    assert_printed!(run("edit", "hive-floor.nc", &["--pause-before", "1"]), 2);
    assert_eq!(run("edit", "hive-floor.nc", &[]).code, 2);
    for amount in ["fast", "x", "-5", "x0"] {
        let option = format!("--cut-feed={amount}");
        let ran = run("edit", "hive-floor.nc", &[&option]);
        assert_eq!(ran.code, 2, "{amount}: {}", ran.out);
    }
}

#[test]
fn the_program_itself_is_never_overwritten() {
    let text = std::fs::read(root().join("demo/programs/hive-floor.nc")).unwrap();
    let copy = file("hive-floor.nc", &text);
    let copy = copy.to_str().unwrap();
    for (verb, option) in
        [("edit", "--speed=x0.9"), ("place", "--turn=90"), ("resume", "--at-line=90")]
    {
        let ran = kerfwright(&[verb, copy, "--shop", "demo/shop", option, "-o", copy]);
        assert_eq!(ran.code, 2, "{verb}: {}", ran.out);
        assert!(ran.err.contains("never overwritten"), "{verb}: {}", ran.err);
        assert_eq!(std::fs::read(copy).unwrap(), text, "{verb}");
    }
}

#[test]
fn a_placed_program_says_what_the_mirror_did() {
    let ran = run("place", "entrance-plates.nc", &["--mirror", "--about", "600,300"]);
    // The sheet is L-shaped, so that its mirror image runs beyond it.
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    for said in ["move for move", "climb cutting became conventional", "outside-sheet"] {
        assert!(ran.out.contains(said), "{}", ran.out);
    }
}

#[test]
fn a_program_moved_off_the_sheet_is_stopped() {
    let ran = run("place", "entrance-plates.nc", &["--move", "5000,0", "--json"]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    let document: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(!document["comparison"]["added"].as_array().unwrap().is_empty());
    assert_eq!(run("place", "entrance-plates.nc", &[]).code, 2);
    assert_eq!(run("place", "entrance-plates.nc", &["--move", "1"]).code, 2);
}

#[test]
fn a_program_in_inches_reads_the_same() {
    let out = out_file("inch.nc");
    let ran = run("place", "entrance-plates.nc", &["--inch", "-o", out.to_str().unwrap()]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(std::fs::read_to_string(&out).unwrap().contains("G20"));
}

#[test]
fn a_stopped_program_is_started_again() {
    assert_printed!(run("resume", "hive-floor.nc", &["--at-line", "90"]), 0);
    let low = run("resume", "hive-floor.nc", &["--at-move", "60", "--clear", "-1"]);
    assert_eq!(low.code, 2, "{}", low.out);
    assert!(low.err.contains("clearance height"), "{}", low.err);
    assert_eq!(run("resume", "hive-floor.nc", &["--at-move", "999999"]).code, 2);
    assert_eq!(run("resume", "hive-floor.nc", &[]).code, 2);
}

#[test]
fn a_program_is_told_block_by_block() {
    let text =
        b"G21 G90 G54\nT1 M6\nS18000 M3\nG0 X10 Y20\nG1 Z-3 F1500 (down)\nG2 X20 I5 J0\nM30\n";
    let path = file("told.nc", text);
    assert_printed!(kerfwright(&["read", path.to_str().unwrap(), "--explain"]), 0);
    let ran = kerfwright(&["read", path.to_str().unwrap(), "--explain", "--json"]);
    let document: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(document["explain"].as_array().unwrap().len(), 7);
    assert_eq!(document["explain"][4]["line"], 5);
}
