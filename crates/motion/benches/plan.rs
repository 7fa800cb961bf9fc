//! Speed of planning whole programs: moves per second, and whether ten times the moves take ten
//! times as long.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use kw_base::math::{TAU, sincos};
use kw_geometry::{Plane, Vec2, Vec3};
use kw_motion::limits::{AxisLimits, HeadTimes, Limits};
use kw_motion::{PlanOptions, plan};
use kw_nc::toolpath::{ArcData, NewMove, Origin};
use kw_nc::{MoveKind, MoveState, Toolpath};

fn main() {
    divan::main();
}

fn limits(jerk: f64) -> Limits {
    let axis = |speed, acceleration| AxisLimits { speed, acceleration, jerk };
    Limits {
        axis: [axis(1000.0, 3000.0), axis(800.0, 2500.0), axis(300.0, 1500.0)],
        rotary: None,
        corner_tolerance_mm: 0.05,
        rapid_dog_leg: false,
        heads: vec![HeadTimes { ramp_s: 3.0, full_speed_rpm: Some(24_000.0), select_s: 0.0 }],
        change_s: Some(12.0),
        hand_load_s: 90.0,
        places: vec![],
        selects_head: vec![],
    }
}

/// Wavy outlines in short legs with an arc now and then, plunges and retracts.
fn program(moves: usize) -> Toolpath {
    let mut path = Toolpath { states: vec![MoveState::default()], ..Toolpath::default() };
    let mut push = |kind, end_mm: Vec3, arc, feed| {
        let block_at = 0;
        let origin = Origin::Written;
        let new = NewMove { kind, origin, end_mm, arc, rotary_deg: None, feed, block_at, state: 0 };
        path.push(new);
    };
    let point = |i: usize| {
        let turn = i as f64 * 0.004;
        let (sin, cos) = sincos(turn % TAU);
        let radius = 200.0 + 20.0 * sincos((7.3 * turn) % TAU).0;
        Vec3::new(600.0 + radius * cos, 600.0 + radius * sin, -6.0)
    };
    for i in 0..moves {
        match i % 500 {
            0 => push(MoveKind::Rapid, point(i) + Vec3::new(0.0, 0.0, 11.0), None, 0.0),
            1 => push(MoveKind::Line, point(i), None, 2000.0),
            499 => push(MoveKind::Rapid, point(i - 1) + Vec3::new(0.0, 0.0, 11.0), None, 0.0),
            250 => {
                let (from, to) = (point(i - 1), point(i));
                let centre_mm = Vec2::new(0.5 * (from.x + to.x), 0.5 * (from.y + to.y));
                let arc = ArcData { centre_mm, sweep_rad: 0.5 * TAU, plane: Plane::Xy };
                push(MoveKind::Arc, to, Some(arc), 9000.0);
            }
            _ => push(MoveKind::Line, point(i), None, 9000.0),
        }
    }
    path
}

/// Small loops at a feed that the machine never reaches: every corner holds the speed.
fn tight(moves: usize) -> Toolpath {
    let mut path = Toolpath { states: vec![MoveState::default()], ..Toolpath::default() };
    for i in 0..moves {
        let (sin, cos) = sincos((i as f64 * 0.07) % TAU);
        let radius = 4.0 + 3.0 * sincos((i as f64 * 0.0113) % TAU).0;
        let end_mm = Vec3::new(i as f64 * 0.001 + radius * cos, radius * sin, -6.0);
        let (kind, origin) = (MoveKind::Line, Origin::Written);
        let feed = 30_000.0;
        path.push(NewMove {
            kind,
            origin,
            end_mm,
            arc: None,
            rotary_deg: None,
            feed,
            block_at: 0,
            state: 0,
        });
    }
    path
}

#[divan::bench(args = [100_000, 1_000_000], sample_count = 10, sample_size = 1)]
fn jerk_in_tight_loops(bencher: Bencher<'_, '_>, moves: usize) {
    let (path, limits) = (tight(moves), limits(40_000.0));
    bencher
        .counter(ItemsCount::new(moves))
        .bench(|| plan(black_box(&path), &limits, &PlanOptions::default()));
}

#[divan::bench(args = [100_000, 1_000_000], sample_count = 10, sample_size = 1)]
fn acceleration(bencher: Bencher<'_, '_>, moves: usize) {
    let (path, limits) = (program(moves), limits(f64::INFINITY));
    bencher
        .counter(ItemsCount::new(moves))
        .bench(|| plan(black_box(&path), &limits, &PlanOptions::default()));
}

#[divan::bench(args = [100_000, 1_000_000], sample_count = 10, sample_size = 1)]
fn jerk(bencher: Bencher<'_, '_>, moves: usize) {
    let (path, limits) = (program(moves), limits(40_000.0));
    bencher
        .counter(ItemsCount::new(moves))
        .bench(|| plan(black_box(&path), &limits, &PlanOptions::default()));
}
