//! What holds of the analysis as a whole.

use crate::fixtures::{findings, setup};
use kw_base::{Place, Severity, Sources};

const SQUARE: &str = "G21 G17 G90 G94 G54\nT1 M6\nS18000 M3\nG0 X100 Y100\nG43 H1 Z10\n\
    G1 Z-12.3 F2000\nG1 X200 F5000\nG1 Y200\nG1 X100\nG1 Y100\nG0 Z10\nM5\nM30\n";

#[test]
fn a_sound_program_has_no_finding_and_true_totals() {
    let sources = Sources::single("square.nc", SQUARE.as_bytes().to_vec()).unwrap();
    let analysis = kw_checks::analyse(&sources, &setup("ply")).unwrap();
    assert_eq!(analysis.findings.findings(), []);
    let totals = &analysis.totals;
    assert!((totals.cut_length_mm - 422.3).abs() < 1e-9);
    assert_eq!(totals.bounds_on_sheet.min.to_array(), [100.0, 100.0, -12.300000000000011]);
    assert_eq!(totals.bounds.max.to_array(), [220.0, 220.0, -178.0]);
    // Never below length over feed: 22.3 mm at 2000, 400 mm at 5000 mm/min, and the change of 10 s.
    let least = 22.3 / 2000.0 * 60.0 + 400.0 / 5000.0 * 60.0 + 10.0;
    assert!(totals.time_s > least, "{} s", totals.time_s);
    let parts = totals.feed_time_s + totals.rapid_time_s + totals.other_time_s;
    assert!((parts - totals.time_s).abs() < 1e-9);
    assert_eq!(analysis.tools.len(), 1);
    assert!((analysis.tools[0].lowest_mm + 12.3).abs() < 1e-9);
}

#[test]
fn every_finding_points_at_text_or_a_setting_that_is_there() {
    let text = "G0 X5000\nT9 M6\nM77\nG1 X1\n(no end";
    let (found, sources) = findings("bad.nc", text, "ply");
    assert!(found.len() > 4);
    for finding in found {
        if let Place::Text(span) = finding.place {
            assert!(span.end as usize <= sources.files()[0].bytes().len(), "{finding:?}");
        }
        assert!(!finding.message.is_empty());
    }
}

#[test]
fn an_irregular_offcut_is_held_against_its_outline() {
    // (500, 400) on the sheet lies in the notch of the L.
    let text = SQUARE.replace("G1 X200 F5000", "G1 X500 Y400 F5000");
    let (on_sheet, _) = findings("l.nc", &text, "ply");
    assert!(on_sheet.iter().all(|f| f.check != "outside-sheet"), "{on_sheet:?}");
    let (on_offcut, _) = findings("l.nc", &text, "offcut");
    let told = on_offcut.iter().find(|f| f.check == "outside-sheet").unwrap();
    // 200 mm from the inner corner's two sides: the nearer border is 200 mm away.
    assert!((told.value.unwrap() - 200.0).abs() < 1.0, "{told:?}");
    assert_eq!(told.severity, Severity::Stop);
}

#[test]
fn a_fault_on_every_block_stays_bounded_and_counted() {
    let mut text = String::from("G21 G17 G90\n");
    for _ in 0..5000 {
        text.push_str("M77\n");
    }
    text.push_str("M30\n");
    let sources = Sources::single("many.nc", text.into_bytes()).unwrap();
    let analysis = kw_checks::analyse(&sources, &setup("ply")).unwrap();
    assert!(analysis.findings.findings().len() <= 1000);
    assert_eq!(analysis.findings.count(Severity::Stop), 5000);
}
