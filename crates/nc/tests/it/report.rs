//! Samples of the published report: T. R. Kramer, F. M. Proctor, E. Messina, *The NIST RS274NGC
//! Interpreter - Version 3*, NISTIR 6556 (2000). Figures not printed there were computed by hand
//! or by a throw-away interpreter that reproduced those that are.

use crate::support::{at, end, fixture, names, near, totals};
use kw_base::Sources;
use kw_base::math::TAU;
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_nc::{ReadContext, ReadTool, Reading, read};

fn sample_in(context: &mut ReadContext<'_>, name: &str, start: [f64; 3]) -> Reading {
    context.start_mm = Vec3::from(start);
    let sources = Sources::single(name, fixture(&format!("report/{name}.nc"))).unwrap();
    let reading = read(&sources, context);
    assert_eq!(names(&reading), Vec::<&str>::new(), "{name}");
    reading
}

fn sample(name: &str, start: [f64; 3]) -> Reading {
    let dialect = Dialect::default();
    sample_in(&mut ReadContext::plain(&dialect), name, start)
}

#[test]
fn section_3_5_3_1_an_arc_by_radius_and_a_helix() {
    let flat = sample("3-5-3-1", [0.0, 0.0, 5.0]);
    near(flat.toolpath.get(0).axis_bounds().min.z, 5.0, 0.0);
    near(flat.toolpath.get(0).axis_arc().unwrap().radius_mm(), 20.0, 1e-9);
    let helix = sample("3-5-3-1", [0.0, 0.0, 0.0]);
    near(helix.toolpath.get(0).axis_bounds().max.z, 5.0, 0.0);
}

#[test]
fn section_3_5_3_2_an_arc_by_centre() {
    let reading = sample("3-5-3-2", [7.0, 7.0, 0.0]);
    let arc = reading.toolpath.get(0).axis_arc().unwrap();
    assert_eq!((arc.centre.x, arc.centre.y), (10.0, 11.0));
    near(arc.radius_mm(), 5.0, 1e-12);
    at(reading.end.axis_mm, [10.0, 16.0, 9.0]);
}

#[test]
fn section_3_5_16_2_cycles() {
    let absolute = sample("3-5-16-2-absolute", [1.0, 2.0, 3.0]);
    assert_eq!(absolute.toolpath.len(), 4);
    at(absolute.end.axis_mm, [4.0, 5.0, 3.0]);
    near(totals(&absolute).feed_mm, 1.3, 1e-12);
    near(totals(&absolute).rapid_mm, 5.94264, 1e-5);
    let steps = sample("3-5-16-2-incremental", [1.0, 2.0, 3.0]);
    assert_eq!(steps.toolpath.len(), 10);
    at(steps.end.axis_mm, [13.0, 17.0, 4.8]);
    let bottoms = steps.toolpath.moves().filter(|m| m.is_feed()).map(|m| m.to_mm);
    let holes: Vec<[f64; 2]> = bottoms.map(|p| [p.x, p.y]).collect();
    assert_eq!(holes, [[5.0, 7.0], [9.0, 12.0], [13.0, 17.0]]);
    near(totals(&steps).feed_mm, 1.8, 1e-9);
    near(totals(&steps).rapid_mm, 22.80937, 1e-5);
}

#[test]
fn table_10_a_helix_a_length_offset_and_a_cycle() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    let tool = ReadTool { table_length_mm: Some(1.0), ..ReadTool::default() };
    context.tools.insert(1, tool);
    let reading = sample_in(&mut context, "table-10", [3.0, 1.0, 0.0]);
    let helix = reading.toolpath.get(0);
    let arc = helix.axis_arc().unwrap();
    near(arc.centre.x, 1.5, 1e-9);
    near(arc.centre.y, 7.84763, 1e-5);
    near(arc.sweep_rad.to_degrees(), -24.7114, 1e-4);
    near(helix.length_mm(), 3.06444, 1e-5);
    // Axes do not move when the length comes into force; program Z 0.5 becomes -0.5.
    let after = reading.toolpath.get(1);
    near(after.from_mm.z, 0.5, 1e-12);
    near(after.tip_from_mm().z, -0.5, 1e-12);
    at(reading.end.program_mm, [36.0, 5.0, 1.0]);
    let bottoms: Vec<f64> = reading
        .toolpath
        .moves()
        .filter(|m| m.origin == kw_nc::toolpath::Origin::Cycle && m.is_feed())
        .map(|m| m.tip_to_mm().z)
        .collect();
    bottoms.iter().for_each(|&z| near(z, 0.2, 1e-9));
    assert_eq!(bottoms.len(), 2);
}

#[test]
fn table_12_compensation_for_the_edge_of_the_material() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    let plain = sample_in(&mut context, "table-12-contour", [2.0, 3.0, 0.0]);
    near(totals(&plain).feed_mm, 12.0 + TAU, 1e-5);
    context.tools.insert(1, ReadTool::measured(None, Some(1.0)));
    context.start_tool = Some(1);
    let reading = sample_in(&mut context, "table-12", [1.0, 5.0, 0.0]);
    at(end(&reading, 0), [1.43301, 4.25, 0.0]);
    near(reading.toolpath.arcs[0].sweep_rad.to_degrees().abs(), 30.0, 1e-9);
    near(totals(&reading).feed_mm, 23.33800, 1e-5);
}
