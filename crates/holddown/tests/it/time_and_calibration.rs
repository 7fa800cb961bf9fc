//! T12, T13 and T17 of the fact sheet, and calibrations from made readings.

use crate::random::{Random, seeded};
use kw_holddown::board::Layer;
use kw_holddown::board::openings::Openings;
use kw_holddown::calibrate::{
    Bench, CalibrationError, Determined, Reading, USUAL_GAUGE_ERROR_PA, calibrate,
};
use kw_holddown::flow::{BranchLaw, Orifice};
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Zone, solve};
use kw_holddown::transient::{Filling, pump_down_s};
use kw_holddown::{Air, Board, Pump, PumpCurve};
use rand::RngExt;

#[track_caller]
fn near(got: f64, expected: f64, relative: f64) {
    let off = (got / expected - 1.0).abs();
    assert!(off <= relative, "{got} is not {expected} within {relative}: off by {off:.2e}");
}

/// T12 [1.8] Pump-down.
#[test]
fn t12_pump_down() {
    near(pump_down_s(0.050, (250.0, 5000.0), 101_325.0, 30_000.0), 0.9712, 1e-3);
    assert_eq!(pump_down_s(0.050, (250.0, 5000.0), 101_325.0, 5000.0), f64::INFINITY);
    assert_eq!(pump_down_s(0.050, (250.0, 5000.0), 30_000.0, 40_000.0), 0.0);
}

/// T13 [1.8] Decay after pump loss.
#[test]
fn t13_decay_after_pump_loss() {
    let air = Air::default();
    let bare = Openings { bare_area_m2: 0.2, ..Openings::default() };
    let leak_kg_s_pa2 = bare.conductance(&Board::new(0.018, 1e-13), &air);
    let filling = Filling { volume_m3: 0.020, leak_kg_s_pa2, start_pa: 30_000.0 };
    for (time_s, pa) in [(0.5, 37_012.0), (1.0, 43_637.0), (2.0, 55_576.0), (5.0, 80_473.0)] {
        near(filling.pressure_pa(time_s, &air), pa, 1e-3);
    }
    near(filling.time_to_s(60_000.0, &air), 2.416, 1e-3);
    assert_eq!(filling.time_to_s(20_000.0, &air), 0.0);
    assert_eq!(filling.time_to_s(air.ambient_pa, &air), f64::INFINITY);
}

const TABLE_M2: f64 = 3.25;

/// A table of equal zones on one vane pump of 250 m³/h that ends at 5 kPa.
fn bench(zones: usize, law: BranchLaw) -> Bench {
    let pump =
        Pump::new(PumpCurve::PositiveDisplacement { speed_m3_h: 250.0, ultimate_pa: 5000.0 });
    let branch = |zone| Branch { ends: [Node::Zone(zone), Node::Manifold(0)], law, open: true };
    Bench {
        network: Network {
            air: Air::default(),
            zones: vec![Zone::default(); zones],
            manifolds: vec![Manifold { pumps: vec![pump], leak: Leak::default() }],
            branches: (0..zones).map(branch).collect(),
            seams: Vec::new(),
        },
        board: Board::new(0.018, 1e-13),
        leak_at: Node::Manifold(0),
    }
}

/// A reading at the manifold with bare or covered zones.
fn reading(zones: usize, open: &[usize], bare: bool) -> Reading {
    let each = TABLE_M2 / zones as f64;
    let openings = Openings { bare_area_m2: if bare { each } else { 0.0 }, ..Openings::default() };
    Reading {
        openings: vec![openings; zones],
        open: (0..zones).map(|zone| open.contains(&zone)).collect(),
        gauge: Node::Manifold(0),
        pressure_pa: 0.0,
        error_pa: USUAL_GAUGE_ERROR_PA,
    }
}

/// What a gauge would show.
fn made(bench: &Bench, reading: &Reading, k: f64, leak_m2: f64) -> f64 {
    let mut network = bench.network.clone();
    let board = Board::new(0.018, k);
    for (zone, openings) in reading.openings.iter().enumerate() {
        network.zones[zone].leak.board_kg_s_pa2 = openings.conductance(&board, &network.air);
        network.set_zone_open(zone, reading.open[zone]);
    }
    network.manifolds[0].leak.orifices.push(Orifice::effective(leak_m2));
    solve(&network, None).unwrap().pressure_pa(reading.gauge)
}

/// T17 [1.2, 1.8] Permeability from one gauge reading of the bare board.
#[test]
fn t17_permeability_from_a_gauge() {
    let bench = bench(1, BranchLaw::SHORT);
    let mut bare = reading(1, &[0], true);
    bare.pressure_pa = 76_903.0;
    let fit = calibrate(&bench, &[bare]).unwrap();
    near(fit.permeability_m2, 2.300e-13, 1e-3);
    assert_eq!((fit.leak_m2, fit.leak_error_m2), (0.0, None));
    assert!(fit.rms_pa < 0.1 && fit.fits);
    assert_eq!(fit.permeability_determined, Determined::Well);
}

/// Bare table, covered table and one zone alone give back board and leak that made the readings.
#[test]
fn three_readings_tell_board_and_leak_apart() {
    let bench = bench(3, BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 });
    let (k, leak) = (3.1e-13, 4.0e-5);
    let mut readings =
        vec![reading(3, &[0, 1, 2], true), reading(3, &[0, 1, 2], false), reading(3, &[1], true)];
    for reading in &mut readings {
        reading.pressure_pa = made(&bench, reading, k, leak);
    }
    let fit = calibrate(&bench, &readings).unwrap();
    near(fit.permeability_m2, k, 1e-4);
    near(fit.leak_m2, leak, 1e-3);
    assert!(fit.rms_pa < 1.0 && fit.fits, "{fit:?}");
    assert_eq!(fit.permeability_determined, Determined::Well);
    assert!(fit.leak_error_m2.unwrap() < 0.2 * leak);
}

/// With noise the truth lies within three standard deviations, about always.
#[test]
fn stated_errors_hold_the_truth() {
    let mut random: Random = seeded(12);
    let bench = bench(2, BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 });
    let mut outside = 0;
    for _ in 0..40 {
        let (k, leak) = (random.random_range(0.5e-13..6e-13), random.random_range(0.0..1e-4));
        let mut readings = vec![
            reading(2, &[0, 1], true),
            reading(2, &[0, 1], false),
            reading(2, &[0], true),
            reading(2, &[1], true),
        ];
        for reading in &mut readings {
            // Sum of twelve even values: nearly normal with variance 1.
            let noise = (0..12).map(|_| random.random_range(-0.5..0.5)).sum::<f64>();
            let read = made(&bench, reading, k, leak) + noise * USUAL_GAUGE_ERROR_PA;
            reading.pressure_pa = read.clamp(1.0, 101_325.0);
        }
        let fit = calibrate(&bench, &readings).unwrap();
        let off = (fit.permeability_m2 / k - 1.0).abs();
        if off > 3.0 * fit.permeability_error + 0.01 {
            outside += 1;
        }
    }
    assert!(outside <= 1, "{outside} of 40");
}

/// A covered table alone says nothing of the board; two like readings cannot tell board from leak well.
#[test]
fn what_readings_cannot_tell_is_said() {
    let bench = bench(1, BranchLaw::SHORT);
    let mut covered = reading(1, &[0], false);
    covered.pressure_pa = 9_000.0;
    let fit = calibrate(&bench, &[covered.clone()]).unwrap();
    assert_eq!(fit.permeability_determined, Determined::NotAtAll);
    assert!(!fit.fits, "a tight table cannot read above the pump's end");

    let mut bare = reading(1, &[0], true);
    bare.pressure_pa = 76_903.0;
    let twice = calibrate(&bench, &[bare.clone(), bare.clone()]).unwrap();
    assert!(twice.permeability_determined <= Determined::Poorly, "{twice:?}");

    let both = calibrate(&bench, &[bare, covered]).unwrap();
    assert!(both.fits && both.permeability_determined == Determined::Well, "{both:?}");
    assert!(both.leak_m2 > 1e-6);
}

/// A board under porous sheet is fitted as well.
#[test]
fn a_porous_cover_counts_as_covered_board() {
    let bench = bench(1, BranchLaw::SHORT);
    let mut reading = reading(1, &[0], false);
    let sheet = Layer { thickness_m: 0.012, permeability_m2: 0.5e-13 };
    reading.openings[0].covered = vec![(TABLE_M2, sheet)];
    reading.pressure_pa = made(&bench, &reading, 2e-13, 0.0);
    let fit = calibrate(&bench, &[reading]).unwrap();
    near(fit.permeability_m2, 2e-13, 1e-4);
}

#[test]
fn bad_readings_are_named() {
    let bench = bench(2, BranchLaw::SHORT);
    assert!(matches!(calibrate(&bench, &[]), Err(CalibrationError::WrongCount { readings: 0 })));
    let good = Reading { pressure_pa: 50_000.0, ..reading(2, &[0, 1], true) };
    let vacuum = Reading { pressure_pa: -50_000.0, ..good.clone() };
    let error = calibrate(&bench, &[good.clone(), vacuum]).unwrap_err();
    assert!(error.to_string().starts_with("reading 2 is -50000 Pa"), "{error}");
    let short = Reading { open: vec![true], ..good.clone() };
    let error = calibrate(&bench, &[short]).unwrap_err();
    assert!(matches!(error, CalibrationError::WrongZones { reading: 0, valves: 1, .. }));
    let gauge = Reading { gauge: Node::Zone(7), ..good };
    assert!(matches!(calibrate(&bench, &[gauge]), Err(CalibrationError::WrongZones { .. })));
}
