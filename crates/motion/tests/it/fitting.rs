//! Unknown limits from measured times: programs timed on an invented machine whose true limits
//! differ from what its file states.

use crate::support::{Path, even, off};
use kw_model::ToolPlace;
use kw_motion::fit::{Determination, FitError};
use kw_motion::{Limits, PlanOptions, TimedRun, Unknown, fit, plan};
use kw_nc::{EventKind, Toolpath};

fn stated() -> Limits {
    let mut limits = even(500.0, 1000.0);
    limits.places = vec![(1, ToolPlace::Pocket(1)), (2, ToolPlace::Pocket(2))];
    limits
}

fn truth() -> Limits {
    let faster = Unknown::Acceleration.scaled(&stated(), 2.5);
    let tighter = Unknown::CornerTolerance.scaled(&faster, 0.3);
    Unknown::ChangeTime.scaled(&tighter, 1.4)
}

/// Zigzag with short ways: acceleration counts.
fn zigzag() -> Toolpath {
    let mut path = Path::new();
    for i in 0..400 {
        let x = if i % 2 == 0 { 60.0 } else { 0.0 };
        path = path.line(x, f64::from(i) * 2.0, 0.0, 12_000.0).rapid(x, f64::from(i) * 2.0, 8.0);
        path = path.line(x, f64::from(i) * 2.0, 0.0, 3000.0);
    }
    path.0
}

/// Polygons: corner tolerance counts.
fn polygons() -> Toolpath {
    let mut path = Path::new();
    for i in 0..4000 {
        let (sin, cos) = kw_base::math::sincos(0.7 * f64::from(i));
        let at = path.at();
        path = path.line(at.x + 9.0 * cos, at.y + 9.0 * sin, 0.0, 10_000.0);
    }
    path.0
}

/// Many tool changes.
fn changes() -> Toolpath {
    let mut path = Path::new();
    for i in 0..10_u32 {
        let (from, to) = (1 + i % 2, 1 + (i + 1) % 2);
        path = path.event(EventKind::ToolChange { from: Some(from), to: Some(to) });
        path = path.rapid(800.0 * f64::from(1 - i % 2), 0.0, 0.0);
    }
    path.0
}

/// Runs timed on the true machine, off by `noise_s` up and down in turn.
fn timed<'a>(paths: &'a [Toolpath], noise_s: f64) -> Vec<TimedRun<'a>> {
    let options = PlanOptions::default();
    let measure = |(i, toolpath): (usize, &'a Toolpath)| {
        let sign = if i % 2 == 0 { 1.0 } else { -1.0 };
        let measured_s = plan(toolpath, &truth(), &options).total_s + sign * noise_s;
        TimedRun { toolpath, options, measured_s, error_s: noise_s.max(0.5) }
    };
    paths.iter().enumerate().map(measure).collect()
}

#[test]
fn three_unknowns_come_out_of_three_runs() {
    let paths = [zigzag(), polygons(), changes()];
    let unknowns = [Unknown::Acceleration, Unknown::CornerTolerance, Unknown::ChangeTime];
    let fit = fit(&timed(&paths, 0.0), &stated(), &unknowns).expect("runs");
    assert!(fit.settled && fit.misfit < 1e-3, "{fit:?}");
    for (value, expected) in fit.values.iter().zip([2.5, 0.3, 1.4]) {
        assert_eq!(value.finding, Determination::Determined, "{value:?}");
        assert!(off(value.factor, expected) < 5e-3, "{value:?}");
        assert!(value.standard_error < 0.2, "{value:?}");
    }
    for run in &fit.runs {
        assert!(run.residual_s().abs() < 0.01);
    }
}

#[test]
fn noise_stays_within_the_stated_error() {
    let paths = [zigzag(), polygons(), changes(), zigzag(), polygons(), changes()];
    let unknowns = [Unknown::Acceleration, Unknown::CornerTolerance, Unknown::ChangeTime];
    let fit = fit(&timed(&paths, 2.0), &stated(), &unknowns).expect("runs");
    for (value, expected) in fit.values.iter().zip([2.5, 0.3, 1.4]) {
        let off = kw_base::math::log(value.factor / expected).abs();
        assert!(off < 3.0 * value.standard_error, "{value:?}");
    }
    // The fitted limits foretell a program that was not timed.
    let mut other = Path::new();
    for i in 0..500 {
        other = other.line(f64::from(i % 7) * 11.0, f64::from(i), 0.0, 9000.0);
    }
    let options = PlanOptions::default();
    let foretold = plan(&other.0, &fit.limits, &options).total_s;
    let real = plan(&other.0, &truth(), &options).total_s;
    let error_s = fit.standard_error_s(&other.0, &options);
    assert!(
        error_s > 0.0 && (foretold - real).abs() < 3.0 * error_s,
        "{foretold} {real} {error_s}"
    );
}

#[test]
fn what_no_run_shows_is_not_determined() {
    let paths = [zigzag(), changes()];
    let unknowns = [Unknown::HandLoadTime, Unknown::Acceleration, Unknown::ChangeTime];
    let fit = fit(&timed(&paths, 0.0), &stated(), &unknowns).expect("runs");
    let expected = Determination::WithoutEffect { largest_change_s: 0.0 };
    assert_eq!(fit.values[0].finding, expected);
    assert_eq!(fit.values[0].factor, 1.0);
    assert_eq!(fit.values[1].finding, Determination::Determined);
    let sentence = fit.values[0].sentence();
    assert!(sentence.starts_with("time to load a tool by hand: not determined"), "{sentence}");
}

#[test]
fn one_run_cannot_tell_two_effects_apart() {
    let paths = [changes()];
    let unknowns = [Unknown::ChangeTime, Unknown::RapidSpeed];
    let fit = fit(&timed(&paths, 0.0), &stated(), &unknowns).expect("runs");
    let not_separable =
        fit.values.iter().filter(|v| v.finding == Determination::NotSeparable).count();
    assert_eq!(not_separable, 1, "{:?}", fit.values);
}

#[test]
fn nonsense_is_refused() {
    let none = fit(&[], &stated(), &[Unknown::Jerk]);
    assert_eq!(none.expect_err("no runs"), FitError::NoRuns);
    let paths = [changes()];
    let mut runs = timed(&paths, 0.0);
    let twice = fit(&runs, &stated(), &[Unknown::Jerk, Unknown::Jerk]);
    assert_eq!(twice.expect_err("twice"), FitError::BadUnknowns);
    runs[0].measured_s = f64::NAN;
    let bad = fit(&runs, &stated(), &[Unknown::Jerk]);
    assert!(matches!(bad, Err(FitError::BadTime { index: 0, .. })));
}

#[test]
fn acceleration_and_jerk_come_out_of_long_and_short_ways() {
    let stated = crate::support::with_jerk(stated(), 20_000.0);
    let truth = Unknown::Acceleration.scaled(&Unknown::Jerk.scaled(&stated, 2.5), 2.2);
    let mut short = Path::new();
    for i in 0..600 {
        short = short.line(f64::from(i % 2) * 4.0, f64::from(i), 0.0, 20_000.0);
    }
    let mut long = Path::new();
    for i in 0..100 {
        long = long.rapid(f64::from(i % 2) * 900.0, f64::from(i) * 3.0, 0.0);
    }
    let paths = [short.0, long.0, polygons(), zigzag()];
    let options = PlanOptions::default();
    let runs: Vec<TimedRun<'_>> = paths
        .iter()
        .map(|toolpath| {
            let measured_s = plan(toolpath, &truth, &options).total_s;
            TimedRun { toolpath, options, measured_s, error_s: 0.5 }
        })
        .collect();
    let fit = fit(&runs, &stated, &[Unknown::Jerk, Unknown::Acceleration]).expect("runs");
    for (value, expected) in fit.values.iter().zip([2.5, 2.2]) {
        assert_eq!(value.finding, Determination::Determined, "{value:?}");
        assert!(off(value.factor, expected) < 0.02, "{value:?} {}", fit.misfit);
    }
}

#[test]
fn an_acceleration_that_jerk_hides_is_not_determined() {
    // At 8000 mm/s³ no ramp up to 500 mm/s reaches 2200 mm/s².
    let stated = crate::support::with_jerk(stated(), 20_000.0);
    let truth = Unknown::Acceleration.scaled(&Unknown::Jerk.scaled(&stated, 0.4), 2.2);
    let ways = |length: f64| {
        let mut path = Path::new();
        for i in 0..100 {
            path = path.rapid(f64::from(1 - i % 2) * length, 0.0, 0.0);
        }
        path.0
    };
    let paths = [ways(900.0), ways(40.0), ways(250.0)];
    let options = PlanOptions::default();
    let runs: Vec<TimedRun<'_>> = paths
        .iter()
        .map(|toolpath| {
            let measured_s = plan(toolpath, &truth, &options).total_s;
            TimedRun { toolpath, options, measured_s, error_s: 1.0 }
        })
        .collect();
    let fit = fit(&runs, &stated, &[Unknown::Jerk, Unknown::Acceleration]).expect("runs");
    assert!(off(fit.values[0].factor, 0.4) < 0.02, "{:?}", fit.values);
    let acceleration = &fit.values[1];
    assert!(
        matches!(acceleration.finding, Determination::WithoutEffect { largest_change_s }
            if largest_change_s < 1e-3),
        "{acceleration:?}"
    );
    // The stated 1000 mm/s² would have been seen, so it is not kept.
    assert!(acceleration.factor > 1.9, "{acceleration:?}");
    assert!(acceleration.sentence().contains("the stated value does not fit"));
}
