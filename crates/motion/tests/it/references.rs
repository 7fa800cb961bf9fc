//! Jerk-limited moves against general-purpose trajectory libraries: stored values of ruckig 0.19.4
//! (`tests/reference/motion.py`) and rsruckig, run here.

use crate::support::{Path, even, off, total, with_jerk};
use kw_motion::PathLimits;
use kw_motion::limits::AxisLimits;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rsruckig::prelude::{InputParameter, Ruckig, ThrowErrorHandler, Trajectory};
use serde_json::Value;

fn stored() -> Value {
    serde_json::from_str(include_str!("../reference/motion.json")).expect("the stored values")
}

fn number(case: &Value, key: &str) -> f64 {
    case[key].as_f64().expect("a number")
}

#[test]
fn moves_from_rest_to_rest_take_the_stored_times() {
    let stored = stored();
    let cases = stored["rest_to_rest"].as_array().expect("cases");
    assert_eq!(cases.len(), 60);
    for case in cases {
        let limits = PathLimits {
            speed: number(case, "speed"),
            acceleration: number(case, "acceleration"),
            jerk: number(case, "jerk"),
        };
        let time_s = limits.rest_to_rest_s(number(case, "length"));
        assert!(off(time_s, number(case, "time")) < 1e-6, "{time_s} {case}");
    }
}

#[test]
fn straight_moves_in_space_take_the_stored_times() {
    let stored = stored();
    for case in stored["straight"].as_array().expect("cases") {
        let three = |key: &str| [0, 1, 2].map(|k| case[key][k].as_f64().expect("a number"));
        let (speed, acceleration, jerk) = (three("speed"), three("acceleration"), three("jerk"));
        let mut limits = even(1.0, 1.0);
        for (k, axis) in limits.axis.iter_mut().enumerate() {
            *axis = AxisLimits { speed: speed[k], acceleration: acceleration[k], jerk: jerk[k] };
        }
        let [x, y, z] = three("way");
        let path = Path::new().rapid(x, y, z).0;
        let time_s = total(&path, &limits);
        assert!(off(time_s, number(case, "time")) < 1e-6, "{time_s} {case}");
    }
}

/// Least time of one axis over a length from one speed to another.
fn least_time_s(length: f64, limits: PathLimits, speeds: [f64; 2]) -> f64 {
    let mut solver = Ruckig::<1, ThrowErrorHandler>::new(None, 0.001);
    let mut input = InputParameter::new(None);
    input.target_position[0] = length;
    input.max_velocity[0] = limits.speed;
    input.max_acceleration[0] = limits.acceleration;
    input.max_jerk[0] = limits.jerk;
    input.current_velocity[0] = speeds[0];
    input.target_velocity[0] = speeds[1];
    let mut trajectory = Trajectory::new(None);
    solver.calculate(&input, &mut trajectory).expect("a solvable case");
    trajectory.get_duration()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 128,
        rng_seed: RngSeed::Fixed(7),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn single_moves_agree(
        length in 0.01..2000.0_f64,
        feed in 100.0..60_000.0_f64,
        acceleration in 100.0..8000.0_f64,
        share in 3.0..200.0_f64,
    ) {
        let limits = PathLimits { speed: feed / 60.0, acceleration, jerk: acceleration * share };
        let machine = with_jerk(even(2000.0, acceleration), limits.jerk);
        let path = Path::new().line(length, 0.0, 0.0, feed).0;
        let expected = least_time_s(length, limits, [0.0, 0.0]);
        prop_assert!(off(total(&path, &machine), expected) < 1e-6);
    }

    /// A square: each leg between corner speeds, which follow from the tolerance in closed form.
    #[test]
    fn the_legs_of_a_square_agree(
        side in 1.0..500.0_f64,
        feed in 600.0..30_000.0_f64,
        acceleration in 300.0..6000.0_f64,
        share in 5.0..100.0_f64,
    ) {
        let limits = PathLimits { speed: feed / 60.0, acceleration, jerk: acceleration * share };
        let machine = with_jerk(even(2000.0, acceleration), limits.jerk);
        let path = Path::new().line(side, 0.0, 0.0, feed).line(side, side, 0.0, feed);
        let path = path.line(0.0, side, 0.0, feed).line(0.0, 0.0, 0.0, feed).0;
        let half = 0.5_f64.sqrt();
        let radius = (0.05 * half / (1.0 - half)).min(0.5 * side);
        let corner = (acceleration * radius).sqrt().min(limits.speed);
        let leg = |entry, exit| least_time_s(side, limits, [entry, exit]);
        let expected = 2.0 * leg(0.0, corner) + 2.0 * leg(corner, corner);
        prop_assert!(off(total(&path, &machine), expected) < 1e-6);
    }
}

/// Polylines under limited jerk against the least time by a general optimiser (IPOPT by casadi,
/// `tests/reference/paths.py`). That cuts each leg into pieces of constant jerk, so it lies
/// somewhat above the true least time; the plan may lie on either side.
#[test]
fn polylines_take_about_the_least_time() {
    let stored: Value =
        serde_json::from_str(include_str!("../reference/paths.json")).expect("the stored values");
    let (mut sum, mut count) = (0.0, 0.0);
    for case in stored["cases"].as_array().expect("cases") {
        let mut limits = with_jerk(
            even(number(case, "speed"), number(case, "acceleration")),
            number(case, "jerk"),
        );
        limits.corner_tolerance_mm = number(case, "tolerance");
        let mut path = Path::new();
        for point in case["points"].as_array().expect("points") {
            let [x, y, feed] = [0, 1, 2].map(|k| point[k].as_f64().expect("a number"));
            path = path.line(x, y, 0.0, feed);
        }
        let ratio = total(&path.0, &limits) / number(case, "time");
        assert!((0.985..1.07).contains(&ratio), "{ratio} {}", case["kind"]);
        (sum, count) = (sum + ratio, count + 1.0);
    }
    let mean: f64 = sum / count;
    assert!((mean - 1.0).abs() < 0.02, "{mean}");
}
