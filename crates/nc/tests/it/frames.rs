//! Planes, rotation, scaling, cycles in other planes, compensation beyond the worked example.

use crate::support::{at, end, names, near, read_text, source, totals};
use kw_base::math::{PI, asin, atan};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_nc::toolpath::Origin;
use kw_nc::{ReadContext, ReadTool, Reading, read};

fn clean(text: &str) -> Reading {
    let reading = read_text(text);
    assert_eq!(names(&reading), Vec::<&str>::new(), "{text}");
    reading
}

#[test]
fn rotation_turns_lines_and_arcs() {
    let text = "G0 X10 Y0\nG68 X10 Y0 R90\nG1 X20 F100\nG3 X10 Y10 I-10 J0\nG91 X0 Y-5 I0 J-2.5\n\
                G90 G69\nG0 X0 Y0\nM2\n";
    let reading = clean(text);
    at(end(&reading, 1), [10.0, 10.0, 0.0]);
    at(end(&reading, 2), [0.0, 0.0, 0.0]);
    near(reading.toolpath.arcs[0].centre_mm.x, 10.0, 1e-9);
    near(reading.toolpath.arcs[0].centre_mm.y, 0.0, 1e-9);
    near(reading.toolpath.arcs[0].sweep_rad, PI / 2.0, 1e-9);
    at(end(&reading, 3), [5.0, 0.0, 0.0]);
    at(end(&reading, 4), [0.0, 0.0, 0.0]);
}

#[test]
fn rotation_leaves_other_axes_exactly_where_they_are() {
    let reading = clean("G0 X0.1 Y0.2 Z0.3\nG68 X1 Y1 R33\nX7\nZ5\nC9\nM2\n");
    assert_eq!(end(&reading, 2).xy(), end(&reading, 1).xy());
    assert_eq!(end(&reading, 1).z, 0.3);
    assert_eq!(end(&reading, 3), end(&reading, 2));
}

#[test]
fn scaling_by_minus_one_mirrors_and_turns_arcs_round() {
    let reading =
        clean("G51 X0 Y0 Z0 I-1 J1 K1\nG0 X10 Y0\nG3 X0 Y10 I-10 J0 F100\nG50\nX0 Y0 R-10\nM2\n");
    at(end(&reading, 0), [-10.0, 0.0, 0.0]);
    at(end(&reading, 1), [0.0, 10.0, 0.0]);
    near(reading.toolpath.arcs[0].sweep_rad, -PI / 2.0, 1e-9);
}

#[test]
fn scaling_changes_radii() {
    let reading = clean("G51 X0 Y0 Z0 P2\nG0 X10 Y0\nG3 X0 Y10 R10 F100\nG1 Z-1\nM2\n");
    at(end(&reading, 2), [0.0, 20.0, -2.0]);
    near(reading.toolpath.arcs[0].centre_mm.distance(Default::default()), 0.0, 1e-9);
}

#[test]
fn holes_turn_with_the_rotation() {
    let reading = clean("G0 Z5\nG68 X0 Y0 R90\nG81 X10 Y0 Z-2 R1 F100\nX20\nM2\n");
    let bottoms: Vec<Vec3> =
        reading.toolpath.moves().filter(|m| m.is_feed()).map(|m| m.to_mm).collect();
    at(bottoms[0], [0.0, 10.0, -2.0]);
    at(bottoms[1], [0.0, 20.0, -2.0]);
}

#[test]
fn cycles_run_along_the_normal_of_the_plane() {
    let reading = clean("G18\nG0 Y5\nG81 X10 Z20 Y-2 R1 F100\nG17 G80\nM2\n");
    at(end(&reading, 1), [10.0, 5.0, 20.0]);
    at(end(&reading, 3), [10.0, -2.0, 20.0]);
    let yz = clean("G19\nG0 X5\nG82 Y10 Z20 X-2 R1 P2 F100\nM2\n");
    at(end(&yz, 3), [-2.0, 10.0, 20.0]);
    near(totals(&yz).dwell_s, 2.0, 0.0);
}

#[test]
fn chip_breaking_backs_off_only_a_little() {
    let reading = clean("G0 Z5\nG99 G73 X1 Z-9 R0 Q4 F100\nM2\n");
    let heights: Vec<f64> = reading.toolpath.end_mm[2..].iter().map(|p| p.z).collect();
    let expected = [0.0, -4.0, -3.746, -8.0, -7.746, -9.0, 0.0];
    assert_eq!(heights.len(), expected.len());
    heights.iter().zip(expected).for_each(|(&h, e)| near(h, e, 1e-9));
}

#[test]
fn boring_back_goes_down_aside_and_cuts_upwards() {
    let reading = clean("S500 M3\nG0 Z5\nG99 G87 X10 Y0 Z-20 R2 I3 J0 K-12 F100\nM2\n");
    let points: Vec<[f64; 3]> = reading.toolpath.end_mm[1..].iter().map(|p| p.to_array()).collect();
    let expected = [
        [10.0, 0.0, 5.0],
        [10.0, 0.0, 2.0],
        [13.0, 0.0, 2.0],
        [13.0, 0.0, -20.0],
        [10.0, 0.0, -20.0],
        [10.0, 0.0, -12.0],
        [10.0, 0.0, -20.0],
        [13.0, 0.0, -20.0],
        [13.0, 0.0, 2.0],
        [10.0, 0.0, 2.0],
    ];
    assert_eq!(points, expected);
    assert!(reading.toolpath.moves().skip(1).all(|m| m.origin == Origin::Cycle));
}

fn compensated(text: &str, diameter: f64) -> Reading {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(1, ReadTool::measured(None, Some(diameter)));
    context.start_tool = Some(1);
    let reading = read(&source(text), &context);
    assert_eq!(names(&reading), Vec::<&str>::new(), "{text}");
    reading
}

/// Steiner's formula: the path round the outside of a convex contour is longer by the angle turned
/// times the radius.
#[test]
fn outside_a_convex_contour_the_path_is_longer_by_the_angle_turned() {
    let around = |diameter: f64| {
        let text = "G0 X10 Y-80\nG41 G1 X0 Y-60 F100\nY0\nX100\nG2 X120 Y-20 J-20\nG1 Y-60\nX0\n\
                    G40\nM2\n";
        let reading = compensated(text, diameter);
        totals(&reading).feed_mm - reading.toolpath.get(1).length_mm()
    };
    // The tool comes in on a line turned by asin(radius / length) from the programmed one.
    let entry_rad = atan(0.5) + asin(4.0 / 500.0_f64.sqrt());
    near(around(8.0) - around(0.0), 4.0 * (entry_rad + 1.5 * PI), 1e-9);
}

#[test]
fn sides_negative_diameters_and_mirrors_agree() {
    let left = "G0 X0 Y-20\nG41 G1 X0 Y0 F100\nY50\nX50\nG40\nM2\n";
    let right = left.replace("G41", "G42");
    let path = |text: &str, d: f64| compensated(text, d).toolpath.end_mm;
    assert_eq!(path(left, 8.0), path(&right, -8.0));
    let mirrored = path(&format!("G51 X0 Y0 Z0 I-1 J1 K1\n{left}"), 8.0);
    for (a, b) in mirrored.iter().zip(path(left, 8.0)) {
        near(a.distance(Vec3::new(-b.x, b.y, b.z)), 0.0, 1e-9);
    }
}

#[test]
fn inside_arcs_shrink_and_outside_arcs_grow() {
    let text = "G0 X0 Y0\nG41 G1 X20 F100\nG3 X30 Y10 J10\nG2 X40 Y20 I10\nG40\nM2\n";
    let reading = compensated(text, 4.0);
    let radii: Vec<f64> = reading
        .toolpath
        .moves()
        .filter(|m| m.origin == Origin::Written)
        .filter_map(|m| m.axis_arc())
        .map(|a| a.radius_mm())
        .collect();
    near(radii[0], 8.0, 1e-9);
    near(radii[1], 12.0, 1e-9);
    at(reading.end.axis_mm, [40.0, 22.0, 0.0]);
}

#[test]
fn compensation_may_start_on_a_tangent_arc() {
    // Tool of radius 2 at (0, 0); the arc about (0, 10) through (10, 10) has radius 10, and the tool
    // inside it must be at 8 from the centre, outside at 12.
    for (start_y, code) in [(2.0, "G41"), (-2.0, "G42")] {
        let text =
            format!("G0 X0 Y{start_y}\n{code} G3 X10 Y10 I0 J{} F100\nG40\nM2\n", 10.0 - start_y);
        let reading = compensated(&text, 4.0);
        let end_x = if code == "G41" { 8.0 } else { 12.0 };
        at(reading.end.axis_mm, [end_x, 10.0, 0.0]);
        let by_radius = format!("G0 X0 Y{start_y}\n{code} G3 X10 Y10 R10 F100\nG40\nM2\n");
        let again = compensated(&by_radius, 4.0);
        near(again.end.axis_mm.distance(reading.end.axis_mm), 0.0, 1e-9);
    }
}

#[test]
fn inverse_time_covers_the_corner_and_the_contour() {
    let text = "G0 X0 Y-20\nG93 G41 G1 X0 Y0 F2\nY50 F3\nX50 F4\nG40\nM2\n";
    let reading = compensated(text, 8.0);
    let time = |line: &str| {
        let at = text.find(line).unwrap() as u32;
        let own = reading.toolpath.moves().filter(|m| m.block_at == at);
        own.map(|m| m.feed_time_s().unwrap()).sum::<f64>()
    };
    near(time("G93"), 30.0, 1e-9);
    near(time("Y50"), 20.0, 1e-9);
    near(time("X50"), 15.0, 1e-9);
}
