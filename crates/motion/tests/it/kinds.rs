//! Kinds of moves and modes beyond plain lines and arcs.

use crate::support::{Path, even, off, total, with_jerk};
use kw_base::math::TAU;
use kw_geometry::{Plane, Vec2, Vec3};
use kw_motion::{PathLimits, PlanOptions, plan};
use kw_nc::MoveKind;
use kw_nc::toolpath::{ArcData, CornerMode};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn rest_to_rest(length: f64, speed: f64, acceleration: f64) -> f64 {
    PathLimits { speed, acceleration, jerk: f64::INFINITY }.rest_to_rest_s(length)
}

#[test]
fn a_turn_runs_at_its_feed_between_stops() {
    // The facts' knife program, with ramps: C90 at 3600°/min; X100 C180 at 6000 mm/min, along
    // which C turns at 90°/s; C-90 at 3600°/min. Turns stop the path.
    let path = Path::new().turning(MoveKind::Turn, 0.0, 90.0, 3600.0);
    let path = path.turning(MoveKind::Line, 100.0, 180.0, 6000.0);
    let path = path.turning(MoveKind::Turn, 100.0, -90.0, 3600.0).0;
    let expected = rest_to_rest(90.0, 60.0, 3600.0)
        + rest_to_rest(100.0, 100.0, 1000.0)
        + rest_to_rest(270.0, 60.0, 3600.0);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn the_rotary_axis_holds_a_line_back() {
    // 900° over 100 mm: at most 360°/s, so 40 mm/s; 3600°/s², so 400 mm/s².
    let path = Path::new().turning(MoveKind::Line, 100.0, 900.0, 6000.0).0;
    assert!(off(total(&path, &even(500.0, 1000.0)), rest_to_rest(100.0, 40.0, 400.0)) < 1e-12);
}

#[test]
fn a_dog_leg_rapid_takes_its_slowest_axis() {
    let mut limits = even(500.0, 1000.0);
    limits.rapid_dog_leg = true;
    limits.axis[2].speed = 50.0;
    let path = Path::new().rapid(100.0, 200.0, -40.0).rapid(100.0, 200.0, 0.0).0;
    let slowest = rest_to_rest(40.0, 50.0, 1000.0).max(rest_to_rest(200.0, 500.0, 1000.0));
    let expected = slowest + rest_to_rest(40.0, 50.0, 1000.0);
    assert!(off(total(&path, &limits), expected) < 1e-12);
    let jerk = PathLimits { speed: 50.0, acceleration: 1000.0, jerk: 9000.0 }.rest_to_rest_s(40.0);
    let path = Path::new().rapid(1.0, 0.0, -40.0).0;
    assert!(off(total(&path, &with_jerk(limits, 9000.0)), jerk) < 1e-12);
}

#[test]
fn a_helix_runs_along_its_length() {
    let arc =
        ArcData { centre_mm: Vec2::new(40.0, 0.0), sweep_rad: 3.0 * TAU / 4.0, plane: Plane::Xy };
    let path =
        Path::new().any(MoveKind::Arc, Vec3::new(40.0, -40.0, -9.0), Some(arc), (3000.0, None));
    let length = path.0.get(0).length_mm();
    assert!(off(length, ((30.0 * TAU) * (30.0 * TAU) + 81.0_f64).sqrt()) < 1e-9);
    // The tangent runs along X and Y in turn, but never quite: the rise takes its share.
    let share = 30.0 * TAU / length;
    let expected = rest_to_rest(length, 50.0, 1000.0 / share);
    assert!(off(total(&path.0, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn a_short_arc_is_judged_by_its_own_directions() {
    // An eighth of a circle beginning along X; Y is weak, but turning needs Y.
    let mut limits = even(500.0, 1000.0);
    limits.axis[1].acceleration = 100.0;
    let path = Path::new().arc((0.0, 50.0), TAU / 8.0, 60_000.0).0;
    let plan = plan(&path, &limits, &PlanOptions::default());
    // At most √(100 · 50) by turning; speeding up has 100 / sin 45° along the end's direction.
    assert!(f64::from(plan.peak_speed[0]) <= (100.0_f64 * 50.0).sqrt());
    let slowest = 100.0 * 2.0_f64.sqrt();
    let expected = rest_to_rest(50.0 * TAU / 8.0, (100.0_f64 * 50.0).sqrt(), slowest);
    assert!(off(plan.total_s, expected) < 1e-12);
}

#[test]
fn a_probe_stops_at_both_ends() {
    let probe = Path::new().line(10.0, 0.0, 0.0, 600.0).any(
        MoveKind::Probe,
        Vec3::new(20.0, 0.0, 0.0),
        None,
        (600.0, None),
    );
    let path = probe.line(30.0, 0.0, 0.0, 600.0).0;
    let expected = 3.0 * rest_to_rest(10.0, 10.0, 1000.0);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn moves_without_feed_and_without_way_are_counted() {
    let path = Path::new().line(10.0, 0.0, 0.0, 0.0).line(10.0, 0.0, 0.0, 600.0);
    let path = path.line(60.0, 0.0, 0.0, f64::NAN).0;
    let plan = plan(&path, &even(500.0, 1000.0), &PlanOptions::default());
    assert_eq!((plan.moves_without_feed, plan.empty_moves), (2, 1));
    // As fast as the axes can, through the empty move without a stop.
    assert!(off(plan.total_s, rest_to_rest(60.0, 500.0, 1000.0)) < 1e-12);
}

#[test]
fn overrides_scale_feeds_and_rapids() {
    let path = Path::new().line(100.0, 0.0, 0.0, 6000.0).rapid(0.0, 0.0, 0.0).0;
    let options =
        PlanOptions { feed_override: 0.5, rapid_override: 0.25, ..PlanOptions::default() };
    let time_s = plan(&path, &even(400.0, 1000.0), &options).total_s;
    let expected = rest_to_rest(100.0, 50.0, 1000.0) + rest_to_rest(100.0, 100.0, 1000.0);
    assert!(off(time_s, expected) < 1e-12);
}

#[test]
fn exact_path_takes_corners_slower_than_continuous() {
    let square = |mode| {
        let path = Path::new().mode(mode).line(50.0, 0.0, 0.0, 6000.0);
        path.line(50.0, 50.0, 0.0, 6000.0).line(0.0, 50.0, 0.0, 6000.0).0
    };
    let limits = even(500.0, 1000.0);
    let [stop, exact, continuous] =
        [CornerMode::ExactStop, CornerMode::ExactPath, CornerMode::Continuous]
            .map(|mode| total(&square(mode), &limits));
    assert!(stop > exact && exact > continuous, "{stop} {exact} {continuous}");
    // Within a thousandth of a millimetre: √(1000 · 0.001 · 2.414) = 1.554 mm/s.
    let plan = plan(&square(CornerMode::ExactPath), &limits, &PlanOptions::default());
    assert!(off(f64::from(plan.exit_speed[0]), 1.5538) < 1e-4, "{}", plan.exit_speed[0]);
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1000.0..1000.0_f64,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(1e300),
        Just(-1e18),
        Just(1e-300),
        Just(5e-324),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 512,
        rng_seed: RngSeed::Fixed(3),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn nonsense_gives_finite_times(
        moves in proptest::collection::vec((0..5_usize, [any_number(), any_number(), any_number()],
            any_number(), any_number(), [any_number(), any_number(), any_number()]), 1..12),
        jerk in prop_oneof![Just(f64::INFINITY), 100.0..1e6_f64],
        factor in any_number(),
    ) {
        let mut path = Path::new();
        for (kind, end, feed, turn, [u, v, sweep_rad]) in moves {
            let kind = [MoveKind::Rapid, MoveKind::Line, MoveKind::Arc, MoveKind::Turn,
                MoveKind::Probe][kind];
            let arc = ArcData { centre_mm: Vec2::new(u, v), sweep_rad, plane: Plane::Zx };
            let arc = (kind == MoveKind::Arc).then_some(arc);
            path = path.any(kind, end.into(), arc, (feed, Some(turn)));
        }
        let limits = with_jerk(even(500.0, 1000.0), jerk);
        let options = PlanOptions { feed_override: factor, rapid_override: factor,
            ..PlanOptions::default() };
        let plan = plan(&path.0, &limits, &options);
        prop_assert_eq!(plan.len(), path.0.len());
        prop_assert!(plan.total_s.is_finite() && plan.total_s >= 0.0, "{}", plan.total_s);
        for (start_s, duration_s) in plan.times() {
            prop_assert!(start_s >= 0.0 && duration_s >= 0.0);
        }
        let line = kw_motion::TimeLine::new(&path.0, &plan);
        for i in 0..=10 {
            let moment = line.moment(plan.total_s * f64::from(i) / 10.0);
            prop_assert!(!moment.speed.is_nan());
        }
    }
}
