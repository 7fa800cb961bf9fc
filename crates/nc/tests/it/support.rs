//! Reading of fixtures and figures of a toolpath.

use kw_base::{Sources, Span};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_nc::{EventKind, MoveKind, ReadContext, Reading, read};
use std::fmt::Write;

/// Bytes of a fixture.
pub fn fixture(name: &str) -> Vec<u8> {
    let path = format!("{}/tests/fixtures/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// One source with a text.
pub fn source(text: impl Into<Vec<u8>>) -> Sources {
    Sources::single("test.nc", text.into()).unwrap()
}

/// Reads a text with the widely used habits and no machine.
pub fn read_text(text: &str) -> Reading {
    let dialect = Dialect::default();
    read(&source(text), &ReadContext::plain(&dialect))
}

/// Reads a text by the published rules only.
pub fn read_strictly(text: &str) -> Reading {
    let dialect = Dialect::published();
    read(&source(text), &ReadContext::plain(&dialect))
}

/// Reads a text in a dialect.
pub fn read_in(dialect: &Dialect, text: &str) -> Reading {
    read(&source(text), &ReadContext::plain(dialect))
}

/// Names of the findings, each with the text that it points at.
pub fn findings(text: &str, reading: &Reading) -> Vec<String> {
    let bytes = text.as_bytes();
    let part = |span: Span| {
        String::from_utf8_lossy(
            &bytes[(span.start as usize).min(bytes.len())..(span.end as usize).min(bytes.len())],
        )
        .into_owned()
    };
    let list = reading.findings.findings().iter();
    list.map(|f| match f.place {
        kw_base::Place::Text(span) => format!("{} `{}`", f.check, part(span)),
        _ => f.check.to_owned(),
    })
    .collect()
}

/// Names of the findings.
pub fn names(reading: &Reading) -> Vec<&'static str> {
    reading.findings.findings().iter().map(|f| f.check).collect()
}

/// Lengths and times of a toolpath without acceleration.
#[derive(Debug, PartialEq)]
pub struct Totals {
    pub feed_mm: f64,
    pub rapid_mm: f64,
    pub feed_s: f64,
    pub dwell_s: f64,
}

/// Sums over a reading.
pub fn totals(reading: &Reading) -> Totals {
    let mut sums = Totals { feed_mm: 0.0, rapid_mm: 0.0, feed_s: 0.0, dwell_s: 0.0 };
    for step in reading.toolpath.moves() {
        if step.kind == MoveKind::Rapid {
            sums.rapid_mm += step.length_mm();
        } else if step.is_feed() {
            sums.feed_mm += step.length_mm();
        }
        sums.feed_s += step.feed_time_s().unwrap_or(0.0);
    }
    for event in &reading.toolpath.events {
        if let EventKind::Dwell(seconds) = event.kind {
            sums.dwell_s += seconds;
        }
    }
    sums
}

/// Fails unless two figures agree.
#[track_caller]
pub fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

/// Fails unless two points agree to 1e-5 mm.
#[track_caller]
pub fn at(found: Vec3, expected: [f64; 3]) {
    assert!(found.distance(expected.into()) <= 1e-5, "found {found:?}, expected {expected:?}");
}

/// End of move `index`.
pub fn end(reading: &Reading, index: usize) -> Vec3 {
    reading.toolpath.end_mm[index]
}

/// File names in a folder of fixtures, sorted.
pub fn fixtures_in(folder: &str) -> Vec<String> {
    let path = format!("{}/tests/fixtures/{folder}", env!("CARGO_MANIFEST_DIR"));
    let mut names: Vec<String> = std::fs::read_dir(&path)
        .unwrap_or_else(|error| panic!("{path}: {error}"))
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".nc"))
        .collect();
    names.sort();
    names
}

/// The findings of a reading as text, each with its block and the part that it marks.
pub fn rendered(sources: &Sources, reading: &Reading) -> String {
    let mut text = String::new();
    for finding in reading.findings.findings() {
        let _ =
            writeln!(text, "{}[{}] {}", finding.severity.word(), finding.check, finding.message);
        if let Some(value) = finding.value {
            let limit = finding.limit.map_or(String::new(), |l| format!(", limit {l:.6}"));
            let _ = writeln!(text, "    value {value:.6}{limit} {}", finding.unit);
        }
        if let kw_base::Place::Text(span) = finding.place
            && let Some(file) = sources.file_of(span.start)
        {
            let at = file.line_column(span.start);
            let part = String::from_utf8_lossy(file.slice(span)).into_owned();
            let part: String = part.chars().take(60).flat_map(char::escape_default).collect();
            let _ = writeln!(text, "    {}:{} `{part}`", at.line, at.column);
        }
    }
    for (check, severity, count) in reading.findings.left_out() {
        let _ = writeln!(text, "{}[{check}] {count} more", severity.word());
    }
    let _ = write!(text, "{} blocks, {} moves", reading.blocks, reading.toolpath.len());
    text
}
