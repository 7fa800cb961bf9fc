//! Error conditions of the published report, and what is legal beside them (our test cases T21 to
//! T39; NISTIR 6556, sections 3 and appendix A).

use crate::support::{at, end, names, near, read_in, read_strictly, read_text, totals};
use kw_model::Dialect;
use kw_model::dialect::IntegerRule;
use kw_nc::Reading;
use kw_nc::faults::fault;

/// Numbers of the conditions that a reading reports, without those of no number.
fn conditions(reading: &Reading) -> Vec<&'static str> {
    let infos = reading.findings.findings().iter().filter_map(|f| fault(f.check));
    infos.map(|i| i.condition).filter(|c| !c.is_empty()).collect()
}

#[track_caller]
fn strict(text: &str, expected: &[&str]) {
    let reading = read_strictly(&format!("{text}\nM2\n"));
    assert_eq!(conditions(&reading), expected, "{text}: {:?}", names(&reading));
}

#[track_caller]
fn with_habits(text: &str, expected: &[&str]) {
    let reading = read_text(&format!("{text}\nM2\n"));
    assert_eq!(conditions(&reading), expected, "{text}: {:?}", names(&reading));
}

#[test]
fn t21_to_t26_words_of_a_block() {
    strict("G0 G1 X1 F9", &["NC19"]);
    strict("M3 M4", &["NC19"]);
    strict("G1 G92 X1", &["NC20"]);
    strict("G1 X1 F9\nG92 X0", &[]);
    strict("G1 F100", &["NC25"]);
    strict("N000009 G0 X1", &["NC03"]);
    strict("G0 X1 (a (b) c)", &["NC04"]);
    strict("G1 F1 X1 (open", &["NC04"]);
    strict("G0 X1 X2", &["NC16"]);
}

#[test]
fn t27_unknown_codes() {
    strict("G5 X1", &["NC18"]);
    strict("G1.5 X3", &["NC18"]);
    strict("M98 P1", &["NC18"]);
    with_habits("M77", &["NC18"]);
}

#[test]
fn t28_to_t30_values() {
    strict("#1=1\nG0 X-#1", &["NC05"]);
    let habit = read_text("#1=4\nG0 X-#1\nM2\n");
    assert_eq!(names(&habit), ["sign-before-expression"]);
    at(end(&habit, 0), [-4.0, 0.0, 0.0]);
    strict("G1 X1.0.2 F1", &["NC05"]);
    strict("G1 F1 X[1+2", &["NC06"]);
    strict("G1 F1 X[SQRT[-1]]", &["NC12"]);
    strict("#5400=1", &["NC13"]);
    strict("#0.5=1", &["NC13"]);
    let near_whole = read_strictly("#3.00005=1\nM2\n");
    assert_eq!(names(&near_whole), Vec::<&str>::new());
    near(near_whole.parameters.get(3), 1.0, 0.0);
}

#[test]
fn t31_to_t32_motions_and_cycles() {
    strict("G80 X1", &["NC32"]);
    strict("G93 G1 X1", &["NC33"]);
    strict("G10 L2 P10 X1", &["NC37"]);
    strict("G4 P-1", &["NC24"]);
    strict("F100 G81 X1 Z-1 R-2", &["NC44"]);
    strict("F100 G81 X1 Z-1 R2 L0", &["NC45"]);
    strict("F100 M5\nG84 X1 Z-1 R1", &["NC48"]);
}

#[test]
fn t33_arcs_without_end() {
    strict("G2 X1 F100", &["NC27"]);
    strict("G2 I5 F100", &["NC26"]);
    let habit = read_text("G2 I5 F100\nM2\n");
    assert_eq!(names(&habit), Vec::<&str>::new());
    near(habit.toolpath.arcs[0].sweep_rad.to_degrees(), -360.0, 1e-9);
}

#[test]
fn t35_order_within_a_block() {
    let reading = read_text("S1000 M3 M8\nG1 X10 F100 M5 M9\nM2\n");
    let step = reading.toolpath.get(0);
    assert_eq!(step.state.spindle, kw_nc::SpindleTurn::Still);
    assert!(!step.state.flood);
    let turning = read_text("S1000 M3\nT5 M6 M3 S18000\nG1 X1 F100\nM2\n");
    let state = turning.toolpath.get(0).state;
    assert_eq!((state.tool, state.spindle_rpm), (Some(5), 18000.0));
    assert_eq!(state.spindle, kw_nc::SpindleTurn::Clockwise);
}

#[test]
fn t36_ends_of_programs() {
    let conditions_of = |text: &str| conditions(&read_strictly(text));
    assert_eq!(conditions_of("%\nG0 X1\n"), ["NC15"]);
    assert_eq!(conditions_of("G0 X1\n"), ["NC15"]);
    assert_eq!(conditions_of("%\nG0 X1\n%\nG0 X2 nonsense\n"), Vec::<&str>::new());
    let after = read_strictly("G0 X1\nM30\nG0 X2 nonsense\n");
    assert_eq!(names(&after), Vec::<&str>::new());
    assert_eq!(after.toolpath.len(), 1);
}

#[test]
fn without_checks_to_follow_reading_tells_missing_feed_and_end() {
    with_habits("G1 X1", &["NC35"]);
    with_habits("G1 X1 F0", &["NC35"]);
    assert_eq!(names(&read_text("G0 X1\n")), ["end-missing"]);
}

#[test]
fn t37_numbers_without_point_are_thousandths() {
    let dialect = Dialect { integers: IntegerRule::Thousandths, ..Dialect::default() };
    let reading = read_in(&dialect, "G0 X1500 Y1500. Z-.5\nG20 X10000\nG21 G1 X0 F600\nM2\n");
    at(end(&reading, 0), [1.5, 1500.0, -0.5]);
    near(end(&reading, 1).x, 25.4, 1e-12);
    near(reading.toolpath.feed[2], 600.0, 0.0);
}

#[test]
fn t39_radius_arcs_near_a_semicircle() {
    for radius in ["25", "24.9995"] {
        let reading = read_strictly(&format!("G2 X50 Y0 R{radius} F1000\nM2\n"));
        assert_eq!(names(&reading), ["arc-radius-ill-conditioned"]);
        let arc = reading.toolpath.arcs[0];
        near(arc.centre_mm.x, 25.0, 1e-9);
        near(arc.centre_mm.y, 0.0, 1e-9);
        near(totals(&reading).feed_mm, 78.53982, 1e-5);
    }
    strict("G2 X50 Y0 R24.99 F1000", &["NC30"]);
}

#[test]
fn blocks_go_on_after_faults() {
    let reading = read_text("G0 X1 U3 Y2\nG1 X[1/0] Y5 F100\nG0 X9\nM2\n");
    assert_eq!(names(&reading), ["letter-unknown", "division-by-zero"]);
    at(end(&reading, 0), [1.0, 2.0, 0.0]);
    at(end(&reading, 1), [1.0, 5.0, 0.0]);
    at(end(&reading, 2), [9.0, 5.0, 0.0]);
}
