//! Properties that hold for any cut, by random cases.

use kw_base::{Band, math};
use kw_cutting::chip::{Engagement, Side, most_edges_in_cut};
use kw_cutting::deflection::{Beam, CARBIDE_MODULUS_N_MM2};
use kw_cutting::force::{CuttingLaw, Helix, Layer, LinearLaw, axial_ratio, layers_between};
use kw_cutting::life::{LifeEnd, Observation, Weibull, fit_weibull};
use kw_cutting::loads::{Bite, Cutter, Loads, Setting};
use kw_cutting::wear::{Segment, follow_life};
use proptest::prelude::*;

fn config() -> ProptestConfig {
    ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() }
}

fn law() -> impl Strategy<Value = CuttingLaw> {
    (1.0..200.0, 0.1..10.0).prop_map(|(area, edge)| {
        CuttingLaw::Linear(LinearLaw {
            area_n_mm2: Band::give_or_take(area, 0.5),
            edge_n_mm: Band::give_or_take(edge, 0.5),
        })
    })
}

/// Largest in-plane force of a straight-fluted cutter, found by turning it step by step.
fn peak_by_turning(cutter: &Cutter, cut: &Engagement, per_edge: impl Fn(f64) -> (f64, f64)) -> f64 {
    let (entry, exit) = cut.entry_exit_rad(Side::Climb);
    let pitch = math::TAU / f64::from(cutter.flutes);
    let steps = 720;
    (0..steps)
        .map(|step| {
            let (mut x, mut y) = (0.0, 0.0);
            for flute in 0..cutter.flutes {
                let turned = pitch * (f64::from(step) / f64::from(steps) + f64::from(flute));
                let angle = turned.rem_euclid(math::TAU);
                if entry <= angle && angle <= exit {
                    let (tangential, radial) = per_edge(angle);
                    x -= tangential * math::cos(angle) + radial * math::sin(angle);
                    y += tangential * math::sin(angle) - radial * math::cos(angle);
                }
            }
            math::hypot(x, y)
        })
        .fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn chips_are_in_order(diameter in 0.5..30.0, share in 0.0..1.2, fz in 0.0..1.5) {
        let cut = Engagement::new(diameter, diameter * share).expect("a diameter");
        let (mean, largest) = (cut.mean_chip_mm(fz), cut.max_chip_mm(fz));
        prop_assert!(mean <= largest && largest <= fz * (1.0 + 1e-15));
        prop_assert!((0.0..=math::PI).contains(&cut.arc_rad()));
        if let Some(back) = cut.feed_for_max_chip_mm(largest) {
            prop_assert!((back - fz).abs() <= 1e-9 * fz);
        }
    }

    #[test]
    fn more_radial_depth_takes_a_thicker_chip(a in 0.001..1.0, b in 0.001..1.0) {
        let (less, more) = if a < b { (a, b) } else { (b, a) };
        let chips = |ratio| {
            let cut = Engagement::new(1.0, ratio).expect("a diameter");
            (cut.max_chip_mm(1.0), cut.arc_rad())
        };
        prop_assert!(chips(less).0 <= chips(more).0 && chips(less).1 <= chips(more).1);
    }

    #[test]
    fn the_stated_peak_is_never_exceeded(
        law in law(),
        flutes in 1_u32..7,
        share in 0.01..1.0,
        feed in 100.0..20_000.0,
        radial_share in 0.0..1.2,
    ) {
        let cutter = Cutter { diameter_mm: 8.0, flutes, helix: Helix::STRAIGHT, beam: None };
        let layers = [Layer { thickness_mm: 10.0, law }];
        let bite = Bite {
            layers: &layers,
            radial_mm: 8.0 * share,
            above_tip_mm: 0.0,
            radial_share: Band::exact(radial_share),
            correction: Band::exact(1.0),
        };
        let setting = Setting { speed_rpm: 18_000.0, feed_mm_min: feed };
        let loads = Loads::of(&cutter, &bite, setting).expect("a cut");
        let cut = Engagement::new(8.0, 8.0 * share).expect("a diameter");
        let turned = peak_by_turning(&cutter, &cut, |angle| {
            let chip = cut.chip_at_mm(loads.feed_per_tooth_mm, angle);
            let tangential = law.force_per_width_n_mm(chip).likely * 10.0;
            (tangential, tangential * radial_share)
        });
        let stated = loads.in_plane_peak_n.likely;
        prop_assert!(turned <= stated * (1.0 + 1e-9), "{turned} above {stated}");
        // and it is not far off where one edge cuts at a time: the largest chip is met
        if most_edges_in_cut(&cut, flutes) <= 1.0 && share >= 0.5 {
            prop_assert!(turned >= 0.99 * stated, "{turned} far below {stated}");
        }
    }

    #[test]
    fn loads_keep_their_order_and_their_identities(
        law in law(),
        radial in 0.1..8.0,
        helix in -1.0..1.0,
        rpm in 3_000.0..24_000.0,
        feed in 0.0..20_000.0,
    ) {
        let beam = Beam::fluted(8.0, 30.0, CARBIDE_MODULUS_N_MM2);
        let cutter = Cutter {
            diameter_mm: 8.0,
            flutes: 2,
            helix: Helix { angle_rad: helix, reversed_above_mm: Some(5.0) },
            beam: Some(beam),
        };
        let layers = [Layer { thickness_mm: 9.0, law }];
        let bite = Bite {
            layers: &layers,
            radial_mm: radial,
            above_tip_mm: 0.5,
            radial_share: kw_cutting::force::RADIAL_SHARE,
            correction: kw_cutting::force::wear_factor(0.5),
        };
        let setting = Setting { speed_rpm: rpm, feed_mm_min: feed };
        let loads = Loads::of(&cutter, &bite, setting).expect("a cut");
        let deflection = loads.deflection_mm.expect("a beam");
        for band in [loads.tangential_n, loads.in_plane_peak_n, loads.lift_peak_n, loads.power_w,
            loads.torque_nm, deflection]
        {
            prop_assert!(band.is_ordered(), "{band:?}");
        }
        prop_assert!(loads.mean_chip_mm <= loads.max_chip_mm);
        let power = loads.torque_nm.likely * math::TAU * rpm / 60.0;
        prop_assert!((power - loads.power_w.likely).abs() <= 1e-9 * power);
        let bound = loads.in_plane_peak_n.high * axial_ratio(helix).high;
        prop_assert!(loads.lift_peak_n.high <= bound && loads.lift_peak_n.low >= -bound);
    }

    #[test]
    fn a_stack_cut_in_two_passes_weighs_the_same(a in law(), b in law(), at in 0.0..6.0, h in 0.0..0.5) {
        let layers = [Layer { thickness_mm: 2.0, law: a }, Layer { thickness_mm: 4.0, law: b }];
        let force = |layers: &[Layer]| kw_cutting::force::force_on_edge_n(layers, h).high;
        let whole = force(&layers);
        let parts = force(&layers_between(&layers, 0.0, at)) + force(&layers_between(&layers, at, 6.0));
        prop_assert!((whole - parts).abs() <= 1e-9 * whole);
    }

    #[test]
    fn life_adds_up_whatever_the_cuts(
        times in prop::collection::vec((0.0..5.0, 1.0..200.0), 1..30),
        level in 0.0..1.0,
        split in 0.0..1.0,
    ) {
        let whole: Vec<_> =
            times.iter().map(|&(time_min, life_min)| Segment { time_min, life_min }).collect();
        let halves: Vec<_> = whole
            .iter()
            .flat_map(|s| [split, 1.0 - split].map(|part| Segment { time_min: s.time_min * part, ..*s }))
            .collect();
        let (a, b) = (follow_life(0.0, level, whole), follow_life(0.0, level, halves));
        prop_assert!((a.used_at_end - b.used_at_end).abs() < 1e-9);
        prop_assert_eq!(a.crossing.is_some(), a.used_at_end >= level);
        if let (Some(a), Some(b)) = (a.crossing, b.crossing) {
            prop_assert!((a.time_min - b.time_min).abs() < 1e-6);
            prop_assert!((0.0..=1.0).contains(&a.fraction));
        }
    }

    #[test]
    fn weibull_shares_are_shares(shape in 0.3..20.0, scale in 0.1..1e6, share in 0.001..0.999) {
        let lives = Weibull::new(shape, scale).expect("in range");
        let time = lives.life_at_failed_share(share);
        prop_assert!((lives.failed_share(time) - share).abs() < 1e-9);
        prop_assert!((lives.reliability(time) + share - 1.0).abs() < 1e-9);
        let worked = lives.mean_up_to(time);
        prop_assert!(0.0 < worked && worked <= time * (1.0 + 1e-12) && worked <= lives.mean());
    }

    #[test]
    fn fits_never_panic(
        times in prop::collection::vec((-1.0..1e9, any::<bool>(), 0_u32..5), 0..40),
    ) {
        let lives: Vec<_> = times
            .iter()
            .map(|&(time, worn, count)| {
                let end = if worn { LifeEnd::WornOut } else { LifeEnd::TakenOut };
                Observation { time, end, count }
            })
            .collect();
        if let Ok(fit) = fit_weibull(&lives) {
            prop_assert!(fit.shape_error_ln > 0.0 && fit.scale_error_ln > 0.0, "{fit:?}");
            let (low, high) = fit.shape_95();
            prop_assert!(low < fit.lives.shape() && fit.lives.shape() < high);
            prop_assert!(fit.log_likelihood >= fit.log_likelihood_chance - 1e-6);
        }
    }
}
