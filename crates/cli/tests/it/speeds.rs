//! `speeds` over a demo program: text as recorded, JSON as agreed.

use crate::run::kerfwright;
use serde_json::Value;

#[test]
fn speeds_of_a_jig_are_printed_as_recorded() {
    let ran = kerfwright(&["speeds", "demo/programs/assembly-jig.nc", "--shop", "demo/shop"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!("speeds-assembly-jig", ran.out);
    });
}

#[test]
fn proposals_stay_inside_their_window_and_overrides_are_judged_alike() {
    let program = "demo/programs/play-panel-windows.nc";
    let ran = kerfwright(&["speeds", program, "--shop", "demo/shop", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["format"], "kerfwright-speeds/1");
    let cuts = report["cuts"].as_array().unwrap();
    assert!(!cuts.is_empty());
    let mut proposals = 0;
    for cut in cuts {
        assert_eq!(cut["overrides"].as_array().unwrap().len(), 16, "{cut}");
        let at_programmed = &cut["overrides"][5];
        assert_eq!(at_programmed["within"], cut["within"], "{cut}");
        let Some(window) = cut["window_rpm"].as_array() else {
            assert!(cut["blocked_by"].is_string() && cut["fastest"].is_null(), "{cut}");
            continue;
        };
        let speed = cut["fastest"]["setting"]["speed_rpm"].as_f64().unwrap();
        assert!(window[0].as_f64().unwrap() <= speed && speed <= window[1].as_f64().unwrap());
        proposals += 1;
    }
    assert!(proposals > 0, "no cut has an open window");
}

#[test]
fn a_knife_program_says_that_nothing_turns() {
    let ran = kerfwright(&["speeds", "demo/programs/display-stand.nc", "--shop", "demo/shop"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("no cut of a turning tool"), "{}", ran.out);
}
