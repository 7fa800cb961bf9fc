//! What scripts rely on: names in the JSON, exit codes, `explain`, `schema`, `read`.

use crate::run::{file, kerfwright};
use serde_json::Value;

#[test]
fn the_report_has_the_agreed_names() {
    let ran = kerfwright(&["check", "demo/programs/mistakes.nc", "--shop", "demo/shop", "--json"]);
    assert_eq!(ran.code, 1);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    let finding = &report["findings"][0];
    for name in [
        "check",
        "severity",
        "file",
        "line",
        "column",
        "end_column",
        "message",
        "value",
        "limit",
        "unit",
        "help",
    ] {
        assert!(finding.get(name).is_some(), "finding lacks {name}");
    }
    for name in
        ["stop", "care", "note", "time_s", "cut_length_mm", "rapid_length_mm", "blocks", "moves"]
    {
        assert!(report["summary"][name].is_number(), "summary lacks {name}");
    }
    for corner in ["min", "max"] {
        assert_eq!(report["summary"]["bounds"][corner].as_array().unwrap().len(), 3);
    }
    for name in ["number", "time_s", "cut_length_mm"] {
        assert!(report["tools"][0][name].is_number(), "tools lack {name}");
    }
}

#[test]
fn the_report_keeps_to_its_published_schema() {
    let schema: Value = serde_json::from_str(&kerfwright(&["schema", "report"]).out).unwrap();
    let ran = kerfwright(&["check", "demo/programs/mistakes.nc", "--shop", "demo/shop", "--json"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    let mut faults = Vec::new();
    hold(&report, &schema, &schema["$defs"], "report", &mut faults);
    assert!(faults.is_empty(), "{faults:?}");
}

/// Holds a value against the part of JSON Schema that our schemas use.
fn hold(value: &Value, schema: &Value, defs: &Value, at: &str, faults: &mut Vec<String>) {
    if let Some(target) = schema["$ref"].as_str() {
        return hold(value, &defs[target.trim_start_matches("#/$defs/")], defs, at, faults);
    }
    let kinds: Vec<&str> = match &schema["type"] {
        Value::String(kind) => vec![kind],
        Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).collect(),
        _ => return,
    };
    let fits = kinds.iter().any(|kind| match *kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        _ => false,
    });
    if !fits {
        faults.push(format!("{at} is not {kinds:?}"));
    }
    for name in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
        if value.get(name).is_none() {
            faults.push(format!("{at} lacks {name}"));
        }
    }
    for (name, part) in schema["properties"].as_object().into_iter().flatten() {
        if let Some(child) = value.get(name) {
            hold(child, part, defs, &format!("{at}.{name}"), faults);
        }
    }
    if let Some(object) = value.as_object().filter(|_| schema["properties"].is_object()) {
        for name in object.keys().filter(|n| schema["properties"].get(n.as_str()).is_none()) {
            faults.push(format!("{at}.{name} is not in the schema"));
        }
    }
    if let Some(words) = schema["enum"].as_array().filter(|words| !words.contains(value)) {
        faults.push(format!("{at} is not one of {words:?}"));
    }
    for (index, child) in value.as_array().into_iter().flatten().enumerate() {
        hold(child, &schema["items"], defs, &format!("{at}[{index}]"), faults);
    }
}

#[test]
fn reading_needs_no_shop() {
    // facts of the published report's language, worked by hand: a square of 300 mm at 3000 mm/min.
    let path = file("square.nc", b"G21 G90 G0 X10 Y10\nG1 X110 F3000\nY60\nX10\nY10\nM2\n");
    let ran = kerfwright(&["read", path.to_str().unwrap(), "--json", "--moves"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["blocks"], 6);
    assert_eq!(report["end"]["x"], 10.0);
    assert!((report["length_mm"]["feed"].as_f64().unwrap() - 300.0).abs() < 1e-9);
    assert!((report["length_mm"]["rapid"].as_f64().unwrap() - 14.142_136).abs() < 1e-5);
    assert!((report["time_s"]["feed"].as_f64().unwrap() - 6.0).abs() < 1e-9);
    assert_eq!(report["path"].as_array().unwrap().len(), 5);
}

#[test]
fn a_start_position_is_taken() {
    let path = file("start.nc", b"G91 G1 X1 F100\nM2\n");
    let ran = kerfwright(&["read", path.to_str().unwrap(), "--json", "--start", "-5,2,3"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["end"]["x"], -4.0);
    assert_eq!(kerfwright(&["read", path.to_str().unwrap(), "--start", "1,2"]).code, 2);
}

#[test]
fn every_check_that_fires_can_be_explained() {
    let ran = kerfwright(&["check", "demo/programs/mistakes.nc", "--shop", "demo/shop", "--json"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    for finding in report["findings"].as_array().unwrap() {
        let name = finding["check"].as_str().unwrap();
        let explained = kerfwright(&["explain", name]);
        assert_eq!(explained.code, 0);
        assert!(explained.out.contains("## Mend"), "{name}");
    }
    assert_eq!(kerfwright(&["explain", "no-such-check"]).code, 2);
    assert!(kerfwright(&["explain"]).out.lines().count() > 30);
}
