//! Worked examples 1 to 20 (fixtures/worked/SOURCE.md).

use crate::support::{at, end, findings, fixture, names, near, totals};
use kw_base::Sources;
use kw_base::math::{PI, TAU};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_nc::{MoveKind, ReadContext, ReadTool, Reading, read};

fn worked_from(name: &str, start: [f64; 3]) -> Reading {
    let sources = Sources::single(name, fixture(&format!("worked/{name}.nc"))).unwrap();
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.start_mm = Vec3::from(start);
    read(&sources, &context)
}

fn worked(name: &str) -> Reading {
    worked_from(name, [0.0; 3])
}

fn without_findings(name: &str) -> Reading {
    let reading = worked(name);
    assert_eq!(names(&reading), Vec::<&str>::new());
    reading
}

#[test]
fn example_1_a_rectangle() {
    let reading = without_findings("01-rectangle");
    assert_eq!(reading.blocks, 6);
    at(reading.end.axis_mm, [10.0, 10.0, 0.0]);
    let sums = totals(&reading);
    near(sums.feed_mm, 300.0, 1e-9);
    near(sums.feed_s, 6.0, 1e-9);
    near(sums.rapid_mm, 14.14214, 1e-5);
}

#[test]
fn example_2_units_change_under_way() {
    let reading = without_findings("02-units-change");
    assert_eq!(reading.blocks, 3);
    at(reading.end.axis_mm, [35.4, 0.0, 0.0]);
    near(totals(&reading).feed_s, 2.0, 1e-9);
}

#[test]
fn example_3_blanks_inside_numbers() {
    let reading = without_findings("03-blanks-in-numbers");
    at(reading.end.axis_mm, [0.1234, 7.0, 0.0]);
    near(totals(&reading).rapid_mm, 7.00109, 1e-5);
}

#[test]
fn example_4_a_quarter_arc() {
    let reading = without_findings("04-quarter-arc");
    at(reading.end.axis_mm, [0.0, 50.0, 0.0]);
    let arc = reading.toolpath.arcs[0];
    near(arc.centre_mm.x, 0.0, 1e-9);
    near(arc.sweep_rad, PI / 2.0, 1e-9);
    near(totals(&reading).feed_mm, 128.53982, 1e-5);
    near(totals(&reading).feed_s, 7.7124, 1e-4);
}

#[test]
fn example_5_a_full_circle() {
    let reading = without_findings("05-full-circle");
    near(reading.toolpath.arcs[0].sweep_rad, -TAU, 1e-12);
    near(totals(&reading).feed_mm, 125.66371, 1e-5);
    near(totals(&reading).feed_s, 12.5664, 1e-4);
    at(reading.end.axis_mm, [20.0, 0.0, 0.0]);
}

#[test]
fn example_6_arcs_by_radius() {
    let reading = without_findings("06-radius-arcs");
    let [a, b] = reading.toolpath.arcs[..] else { panic!("two arcs") };
    near(a.centre_mm.x, 15.0, 1e-9);
    near(a.centre_mm.y, -13.22876, 1e-5);
    near(b.centre_mm.distance(a.centre_mm), 0.0, 1e-9);
    near(a.sweep_rad.to_degrees(), -97.1808, 1e-4);
    near(b.sweep_rad.to_degrees(), -262.8192, 1e-4);
    near(reading.toolpath.get(0).length_mm(), 33.92248, 1e-5);
    near(reading.toolpath.get(1).length_mm(), 91.74122, 1e-5);
}

#[test]
fn example_7_a_helix() {
    let reading = without_findings("07-helix");
    near(reading.toolpath.arcs[0].sweep_rad, TAU, 1e-12);
    near(totals(&reading).feed_mm, 62.86368, 1e-5);
    near(totals(&reading).feed_s, 7.5436, 1e-4);
    at(reading.end.axis_mm, [10.0, 0.0, -2.0]);
}

#[test]
fn example_8_the_zx_plane_looks_mirrored() {
    let reading = without_findings("08-zx-plane");
    let arc = reading.toolpath.get(0).axis_arc().unwrap();
    at(arc.point_at(0.5), [5.0, 0.0, -5.0]);
    near(arc.length_mm(), 15.70796, 1e-5);
}

#[test]
fn example_9_radius_mismatch() {
    let text = String::from_utf8(fixture("worked/09-radius-mismatch.nc")).unwrap();
    let reading = worked("09-radius-mismatch");
    let expected = "arc-radius-mismatch `G3 X0 Y10.003 I-10 J0`";
    assert_eq!(findings(&text, &reading), [expected]);
    let finding = &reading.findings.findings()[0];
    near(finding.value.unwrap(), 0.003, 1e-9);
    near(finding.limit.unwrap(), 0.002, 1e-12);
    let legal = without_findings("09-radius-within");
    near(totals(&legal).feed_mm, 25.708, 1e-3);
}

#[test]
fn examples_10_and_11_impossible_radius_arcs() {
    assert_eq!(names(&worked("10-radius-too-small")), ["arc-radius-too-small"]);
    assert_eq!(names(&worked("11-radius-closed")), ["arc-closed-with-radius"]);
}

#[test]
fn example_12_settings_act_after_the_block_was_read() {
    let reading = without_findings("12-parameter-setting");
    near(end(&reading, 0).x, 15.0, 0.0);
    near(end(&reading, 1).x, 6.0, 0.0);
    near(totals(&reading).feed_mm, 24.0, 1e-9);
    near(reading.parameters.get(3), 6.0, 0.0);
}

#[test]
fn example_13_precedence() {
    let reading = without_findings("13-precedence");
    let xs: Vec<f64> = reading.toolpath.end_mm.iter().map(|p| p.x).collect();
    assert_eq!(xs, [64.0, 4.0, 8.0, 0.0]);
    near(totals(&reading).feed_mm, 136.0, 1e-9);
}

#[test]
fn example_14_axis_offsets() {
    let reading = without_findings("14-axis-offsets");
    assert_eq!(reading.blocks, 7);
    let xs: Vec<f64> = reading.toolpath.end_mm.iter().map(|p| p.x).collect();
    assert_eq!(xs, [4.0, 5.0, 10.0]);
    near(totals(&reading).feed_mm, 10.0, 1e-9);
    near(reading.parameters.get(5211), 0.0, 0.0);
}

#[test]
fn example_15_work_systems() {
    let reading = without_findings("15-work-systems");
    at(end(&reading, 0), [110.0, 60.0, 0.0]);
    at(end(&reading, 1), [0.0, 0.0, 0.0]);
    at(end(&reading, 2), [5.0, 0.0, 0.0]);
    near(totals(&reading).rapid_mm, 255.59928, 1e-5);
}

#[test]
fn example_16_a_repeated_cycle() {
    let reading = worked_from("16-repeated-cycle", [1.0, 2.0, 3.0]);
    assert_eq!(names(&reading), Vec::<&str>::new());
    at(reading.end.axis_mm, [13.0, 17.0, 4.8]);
    assert_eq!(reading.toolpath.len(), 10);
    near(totals(&reading).feed_mm, 1.8, 1e-9);
    near(totals(&reading).rapid_mm, 22.80937, 1e-5);
}

#[test]
fn example_17_peck_drilling() {
    let reading = worked_from("17-peck-drilling", [0.0, 0.0, 10.0]);
    assert_eq!(names(&reading), Vec::<&str>::new());
    at(reading.end.axis_mm, [20.0, 0.0, 2.0]);
    assert_eq!(reading.toolpath.len(), 13);
    near(totals(&reading).feed_mm, 20.762, 1e-9);
    near(totals(&reading).rapid_mm, 107.238, 1e-9);
    let bottoms: Vec<f64> =
        reading.toolpath.moves().filter(|m| m.is_feed()).map(|m| m.to_mm.z).collect();
    assert_eq!(bottoms, [-3.0, -8.0, -13.0, -18.0]);
}

#[test]
fn example_18_inverse_time() {
    let reading = without_findings("18-inverse-time");
    near(totals(&reading).feed_s, 48.0, 1e-9);
    near(totals(&reading).feed_mm, 151.41593, 1e-5);
    near(reading.toolpath.arcs[0].sweep_rad, -PI, 1e-9);
    assert_eq!(names(&worked("18-inverse-time-without-f")), ["inverse-time-feed-missing"]);
}

#[test]
fn example_19_compensation() {
    let sources = Sources::single("19", fixture("worked/19-compensation.nc")).unwrap();
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.start_mm = Vec3::new(10.0, -20.0, 0.0);
    context.tools.insert(1, ReadTool::measured(None, Some(10.0)));
    context.start_tool = Some(1);
    let reading = read(&sources, &context);
    assert_eq!(names(&reading), Vec::<&str>::new());
    at(end(&reading, 0), [-3.85890, -3.17945, 0.0]);
    near(reading.toolpath.get(0).length_mm(), 21.79449, 1e-5);
    let corners: Vec<f64> =
        reading.toolpath.arcs.iter().map(|a| a.sweep_rad.to_degrees()).collect();
    assert_eq!(corners.len(), 4);
    near(corners[0], -39.4860, 1e-4);
    corners[1..].iter().for_each(|&c| near(c, -90.0, 1e-9));
    at(reading.end.axis_mm, [0.0, -5.0, 0.0]);
    near(totals(&reading).feed_mm, 348.80224, 1e-5);
}

#[test]
fn example_20_a_subprogram() {
    let reading = without_findings("20-subprogram");
    assert_eq!(reading.blocks, 9);
    assert_eq!(reading.toolpath.len(), 8);
    at(end(&reading, 6), [60.0, 30.0, 0.0]);
    at(reading.end.axis_mm, [0.0, 0.0, 0.0]);
    near(totals(&reading).feed_mm, 90.0, 1e-9);
    near(totals(&reading).feed_s, 5.4, 1e-9);
    near(totals(&reading).rapid_mm, 67.08204, 1e-5);
}

#[test]
fn example_21_a_rotary_knife() {
    let reading = without_findings("21-rotary-knife");
    let path = &reading.toolpath;
    assert_eq!(path.kind, [MoveKind::Turn, MoveKind::Line, MoveKind::Turn]);
    near(totals(&reading).feed_s, 7.0, 1e-9);
    near(path.moves().map(|m| m.turn_deg()).sum(), 450.0, 1e-9);
    near(path.rotary_after_deg(2), -90.0, 0.0);
}
