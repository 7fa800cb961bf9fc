//! What must hold for any toolpath.

use crate::support::{Path, even, off, total, with_jerk};
use kw_geometry::Vec3;
use kw_motion::limits::AxisLimits;
use kw_motion::{Limits, PathLimits, PlanOptions, plan};
use kw_nc::Toolpath;
use kw_nc::toolpath::CornerMode;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// A move of a random program.
#[derive(Clone, Debug)]
enum Piece {
    Line {
        way: [f64; 3],
        feed: f64,
    },
    Rapid {
        way: [f64; 3],
    },
    Arc {
        centre: [f64; 2],
        sweep_rad: f64,
        feed: f64,
    },
    /// Many short legs that turn evenly.
    Legs {
        count: usize,
        length: f64,
        turn_rad: f64,
        feed: f64,
    },
}

fn piece() -> impl Strategy<Value = Piece> {
    let way = || [-60.0..60.0, -60.0..60.0, -8.0..8.0_f64];
    let feed = || 300.0..20_000.0_f64;
    prop_oneof![
        (way(), feed()).prop_map(|(way, feed)| Piece::Line { way, feed }),
        way().prop_map(|way| Piece::Rapid { way }),
        ([-30.0..30.0, -30.0..30.0_f64], prop_oneof![-6.2..-0.1, 0.1..6.2_f64], feed())
            .prop_map(|(centre, sweep_rad, feed)| Piece::Arc { centre, sweep_rad, feed }),
        (2..40_usize, 0.05..3.0_f64, -0.4..0.4_f64, feed()).prop_map(
            |(count, length, turn_rad, feed)| Piece::Legs { count, length, turn_rad, feed }
        ),
    ]
}

fn pieces() -> impl Strategy<Value = Vec<Piece>> {
    proptest::collection::vec(piece(), 1..12)
}

fn limits() -> impl Strategy<Value = Limits> {
    (50.0..800.0_f64, 300.0..4000.0_f64, 0.0..0.3_f64).prop_map(
        |(speed, acceleration, tolerance)| {
            let mut limits = even(speed, acceleration);
            limits.axis[1].acceleration *= 0.8;
            limits.axis[2].speed *= 0.4;
            limits.axis[2].acceleration *= 0.5;
            limits.corner_tolerance_mm = tolerance;
            limits
        },
    )
}

/// With the jerk as a share of the acceleration per second: 5 is soft, 100 is hard.
fn jerky() -> impl Strategy<Value = Limits> {
    (limits(), 5.0..100.0_f64).prop_map(|(limits, share)| {
        let jerk = limits.axis[0].acceleration * share;
        with_jerk(limits, jerk)
    })
}

fn build(pieces: &[Piece], mode: CornerMode) -> Toolpath {
    let mut path = Path::new().mode(mode);
    for piece in pieces {
        let at = path.at();
        path = match *piece {
            Piece::Line { way, feed } => {
                let to = at + Vec3::from(way);
                path.line(to.x, to.y, to.z, feed)
            }
            Piece::Rapid { way } => {
                let to = at + Vec3::from(way);
                path.rapid(to.x, to.y, to.z)
            }
            Piece::Arc { centre, sweep_rad, feed } => {
                path.arc((at.x + centre[0], at.y + centre[1]), sweep_rad, feed)
            }
            Piece::Legs { count, length, turn_rad, feed } => {
                let mut to = at;
                for i in 0..count {
                    let (sin, cos) = kw_base::math::sincos(turn_rad * i as f64);
                    to += Vec3::new(length * cos, length * sin, 0.0);
                    path = path.line(to.x, to.y, to.z, feed);
                }
                path
            }
        };
    }
    path.0
}

/// The same path run backwards.
fn reversed(path: &Toolpath) -> Toolpath {
    let mut back = Path::new().mode(CornerMode::Continuous);
    back.0.start_mm = path.from_mm(path.len());
    for m in path.moves().collect::<Vec<_>>().into_iter().rev() {
        back = match m.arc {
            Some(arc) => back.arc((arc.centre_mm.x, arc.centre_mm.y), -arc.sweep_rad, m.feed),
            None if m.kind == kw_nc::MoveKind::Rapid => {
                back.rapid(m.from_mm.x, m.from_mm.y, m.from_mm.z)
            }
            None => back.line(m.from_mm.x, m.from_mm.y, m.from_mm.z, m.feed),
        };
    }
    back.0
}

/// Every straight move and arc in two.
fn split(path: &Toolpath, share: f64) -> Toolpath {
    let mut out = Path::new().mode(CornerMode::Continuous);
    for m in path.moves() {
        let middle = m.from_mm.lerp(m.to_mm, share);
        out = match m.arc {
            Some(arc) => {
                let centre = (arc.centre_mm.x, arc.centre_mm.y);
                out.arc(centre, arc.sweep_rad, m.feed)
            }
            None if m.kind == kw_nc::MoveKind::Rapid => {
                out.rapid(middle.x, middle.y, middle.z).rapid(m.to_mm.x, m.to_mm.y, m.to_mm.z)
            }
            None => out
                .line(middle.x, middle.y, middle.z, m.feed)
                .line(m.to_mm.x, m.to_mm.y, m.to_mm.z, m.feed),
        };
    }
    out.0
}

/// All lengths and everything that counts in lengths, times a factor.
fn scaled(path: &Toolpath, limits: &Limits, factor: f64) -> (Toolpath, Limits) {
    let (mut path, mut limits) = (path.clone(), limits.clone());
    for end in &mut path.end_mm {
        *end = *end * factor;
    }
    for arc in &mut path.arcs {
        arc.centre_mm = arc.centre_mm * factor;
    }
    for feed in &mut path.feed {
        *feed *= factor;
    }
    for axis in &mut limits.axis {
        axis.speed *= factor;
        axis.acceleration *= factor;
        axis.jerk *= factor;
    }
    limits.corner_tolerance_mm *= factor;
    (path, limits)
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 128,
        rng_seed: RngSeed::Fixed(20),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn bounds(pieces: &[Piece], limits: &Limits) -> Result<(), TestCaseError> {
    let path = build(pieces, CornerMode::Continuous);
    let plan = plan(&path, limits, &PlanOptions::default());
    for (m, (_, duration_s)) in path.moves().zip(plan.times()) {
        let least = m.feed_time_s().unwrap_or(0.0);
        prop_assert!(duration_s >= least * (1.0 - 1e-9) - 1e-9, "{duration_s} {least} {m:?}");
        prop_assert!(duration_s.is_finite());
    }
    // Never faster than the whole way in a straight line on the strongest diagonal.
    let strongest = |each: fn(&AxisLimits) -> f64| limits.axis.iter().map(each).sum::<f64>();
    let straight = PathLimits {
        speed: strongest(|a| a.speed),
        acceleration: strongest(|a| a.acceleration),
        jerk: strongest(|a| a.jerk),
    };
    let way = path.moves().map(|m| m.length_mm()).sum();
    prop_assert!(plan.total_s >= straight.rest_to_rest_s(way) * (1.0 - 1e-9));
    let stopping = total(&build(pieces, CornerMode::ExactStop), limits);
    prop_assert!(plan.total_s <= stopping * (1.0 + 1e-9), "{} {stopping}", plan.total_s);
    Ok(())
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn never_below_the_feed_nor_above_stopping_everywhere(p in pieces(), limits in limits()) {
        bounds(&p, &limits)?;
    }

    #[test]
    fn bounds_hold_with_jerk(p in pieces(), limits in jerky()) {
        bounds(&p, &limits)?;
    }

    #[test]
    fn splitting_straight_moves_changes_nothing(
        p in pieces(), limits in limits(), share in 0.01..0.99_f64,
    ) {
        let path = build(&p, CornerMode::Continuous);
        let times = (total(&path, &limits), total(&split(&path, share), &limits));
        prop_assert!(off(times.0, times.1) < 1e-9, "{times:?}");
    }

    #[test]
    fn splitting_changes_nothing_with_jerk(
        p in pieces(), limits in jerky(), share in 0.01..0.99_f64,
    ) {
        let path = build(&p, CornerMode::Continuous);
        let times = (total(&path, &limits), total(&split(&path, share), &limits));
        prop_assert!(off(times.0, times.1) < 1e-6, "{times:?}");
    }

    #[test]
    fn backwards_takes_as_long(p in pieces(), limits in limits()) {
        let path = build(&p, CornerMode::Continuous);
        let times = (total(&path, &limits), total(&reversed(&path), &limits));
        prop_assert!(off(times.0, times.1) < 1e-9, "{times:?}");
    }

    // Which dips are levelled is decided from left to right, so close corners may differ a little.
    #[test]
    fn backwards_takes_as_long_with_jerk(p in pieces(), limits in jerky()) {
        let path = build(&p, CornerMode::Continuous);
        let times = (total(&path, &limits), total(&reversed(&path), &limits));
        prop_assert!(off(times.0, times.1) < 1.5e-2, "{times:?}");
    }

    #[test]
    fn the_unit_of_length_does_not_matter(
        p in pieces(), limits in jerky(), factor in 0.03..30.0_f64,
    ) {
        let path = build(&p, CornerMode::Continuous);
        let (other, other_limits) = scaled(&path, &limits, factor);
        let times = (total(&path, &limits), total(&other, &other_limits));
        prop_assert!(off(times.0, times.1) < 1e-6, "{times:?}");
    }

    #[test]
    fn more_of_any_limit_never_takes_longer(
        p in pieces(), limits in limits(), factor in 1.001..3.0_f64,
    ) {
        monotone(&p, &limits, factor, 1e-9)?;
    }

    // Exact without a jerk limit. With one, a row of close corners may be cut at other nodes.
    #[test]
    fn more_of_any_limit_never_takes_longer_with_jerk(
        p in pieces(), limits in jerky(), factor in 1.001..3.0_f64,
    ) {
        monotone(&p, &limits, factor, 6e-2)?;
    }
}

fn monotone(
    pieces: &[Piece],
    limits: &Limits,
    factor: f64,
    slack: f64,
) -> Result<(), TestCaseError> {
    let path = build(pieces, CornerMode::Continuous);
    let before = total(&path, limits);
    let options = PlanOptions { feed_override: factor, ..PlanOptions::default() };
    let feed = plan(&path, limits, &options).total_s;
    prop_assert!(feed <= before * (1.0 + slack), "feed {feed} {before}");
    let mut faster = limits.clone();
    faster.corner_tolerance_mm *= factor;
    let tolerance = total(&path, &faster);
    prop_assert!(tolerance <= before * (1.0 + slack), "tolerance {tolerance} {before}");
    for axis in &mut faster.axis {
        axis.jerk *= factor;
    }
    let jerk = total(&path, &faster);
    prop_assert!(jerk <= tolerance * (1.0 + slack), "jerk {jerk} {tolerance}");
    for axis in &mut faster.axis {
        axis.acceleration *= factor;
    }
    let acceleration = total(&path, &faster);
    prop_assert!(acceleration <= jerk * (1.0 + slack), "acceleration {acceleration} {jerk}");
    Ok(())
}
