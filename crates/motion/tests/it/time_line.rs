//! Questions to a plan.

use crate::support::{Path, even, off, with_jerk};
use kw_base::math::FRAC_PI_2;
use kw_geometry::Vec3;
use kw_motion::{Doing, PlanOptions, Spread, TimeLine, band, plan};
use kw_nc::{EventKind, MoveState, Toolpath};

/// A rapid, a dwell, a line with tool 3 and a quarter arc.
fn program() -> Toolpath {
    let mut path = Path::new().rapid(100.0, 0.0, 0.0).event(EventKind::Dwell(2.0));
    let tip_offset_mm = Vec3::new(0.0, 0.0, -80.0);
    path.0.states.push(MoveState { tool: Some(3), tip_offset_mm, ..MoveState::default() });
    path.line(160.0, 0.0, 0.0, 3600.0).arc((160.0, 20.0), FRAC_PI_2, 3600.0).0
}

#[test]
fn what_happens_when() {
    let path = program();
    let plan = plan(&path, &even(500.0, 1000.0), &PlanOptions::default());
    let line = TimeLine::new(&path, &plan);
    let rapid_s = 2.0 * (100.0_f64 / 1000.0).sqrt();
    assert_eq!(line.doing(0.0), Doing::Move(0));
    assert_eq!(line.doing(rapid_s + 1.0), Doing::Pause(0));
    assert_eq!(line.doing(rapid_s + 2.5), Doing::Move(1));
    assert_eq!(line.doing(plan.total_s + 1.0), Doing::Nothing);
    assert_eq!(line.doing(f64::NAN), Doing::Move(0));
    assert!(off(plan.start_s(1), rapid_s + 2.0) < 1e-12);
    assert!(off(plan.duration_s(0), rapid_s) < 1e-12);
}

#[test]
fn where_the_tool_is() {
    let path = program();
    let plan = plan(&path, &even(500.0, 1000.0), &PlanOptions::default());
    let line = TimeLine::new(&path, &plan);
    // A quarter through the rapid's time it has run half the time up: ½·a·t².
    let quarter_s = 0.25 * plan.end_s[0];
    let moment = line.moment(quarter_s);
    assert!((moment.axis_mm.x - 500.0 * quarter_s * quarter_s).abs() < 1e-4, "{moment:?}");
    assert!(off(moment.speed, 1000.0 * quarter_s) < 1e-5);
    // During the dwell it stands at the end of the rapid.
    assert_eq!(line.moment(plan.end_s[0] + 1.0).axis_mm, Vec3::new(100.0, 0.0, 0.0));
    // Amid the line at 60 mm/s: 0.5 s after its start 30 mm less what the ramp lost.
    let moment = line.moment(plan.start_s(1) + 0.5);
    assert!((moment.axis_mm.x - (130.0 - 0.5 * 60.0 * 0.06)).abs() < 1e-3, "{moment:?}");
    assert!((moment.tip_mm.z + 80.0).abs() < 1e-9);
    // On the arc it keeps its radius, and at the end it is there.
    let moment = line.moment(0.5 * (plan.start_s(2) + plan.end_s[2]));
    assert!((moment.axis_mm.distance(Vec3::new(160.0, 20.0, 0.0)) - 20.0).abs() < 1e-9);
    let end = line.moment(plan.total_s + 1.0);
    assert!(end.axis_mm.distance(Vec3::new(180.0, 20.0, 0.0)) < 1e-9);
    assert_eq!(end.speed, 0.0);
}

#[test]
fn positions_run_on_without_jumps_under_jerk() {
    let path = program();
    let plan = plan(&path, &with_jerk(even(500.0, 1000.0), 9000.0), &PlanOptions::default());
    let line = TimeLine::new(&path, &plan);
    let (mut before, steps) = (line.moment(0.0).axis_mm, 2000);
    for i in 1..=steps {
        let moment = line.moment(plan.total_s * f64::from(i) / f64::from(steps));
        let fastest = f64::from(plan.peak_speed[0]) * plan.total_s / f64::from(steps);
        assert!(moment.axis_mm.distance(before) <= fastest * 1.05, "{i} {moment:?}");
        before = moment.axis_mm;
    }
}

#[test]
fn times_per_tool_and_block_add_up() {
    let path = program();
    let plan = plan(&path, &even(500.0, 1000.0), &PlanOptions::default());
    let line = TimeLine::new(&path, &plan);
    let shares = line.shares();
    assert!(off(shares.total_s(), plan.total_s) < 1e-12);
    assert!((shares.pause_s - 2.0).abs() < 1e-12);
    assert!(off(shares.rapid_s, plan.end_s[0]) < 1e-12);
    let tools = line.tools();
    assert_eq!(tools.iter().map(|t| t.tool).collect::<Vec<_>>(), [None, Some(3)]);
    assert!((tools[1].time.pause_s - 2.0).abs() < 1e-12);
    let sum: f64 = tools.iter().map(|t| t.time.total_s()).sum();
    assert!(off(sum, plan.total_s) < 1e-12);
    // The builder gives each move a block of ten bytes; the dwell stands in that of move 1.
    let blocks = line.blocks();
    assert_eq!(blocks.iter().map(|b| b.block_at).collect::<Vec<_>>(), [0, 10, 20]);
    let sum: f64 = blocks.iter().map(|b| b.duration_s).sum();
    assert!(off(sum, plan.total_s) < 1e-12);
    assert!(off(line.shares_of(1..3).total_s(), plan.total_s - plan.end_s[0]) < 1e-12);
}

#[test]
fn the_band_holds_the_time() {
    let path = program();
    let band = band(&path, &even(500.0, 1000.0), &PlanOptions::default(), &Spread::default());
    assert!(band.low < band.likely && band.likely < band.high, "{band:?}");
    // The dwell of 2 s and the time at feed are certain.
    assert!(band.low > 2.0 + (60.0 + 31.4) / 60.0);
    let exact =
        Spread { speed: 1.0, acceleration: 1.0, jerk: 1.0, corner_tolerance: 1.0, pauses: 1.0 };
    let none = kw_motion::band(&path, &even(500.0, 1000.0), &PlanOptions::default(), &exact);
    assert_eq!((none.low, none.high), (none.likely, none.likely));
}
