//! Speed of the load model, the speed window and the life fit.

use divan::{Bencher, black_box};
use kw_base::Band;
use kw_cutting::deflection::{Beam, CARBIDE_MODULUS_N_MM2};
use kw_cutting::force::{CuttingLaw, Helix, Layer, LinearLaw, RADIAL_SHARE};
use kw_cutting::life::{LifeEnd, Observation, fit_weibull};
use kw_cutting::loads::{Bite, Cutter, Loads, Setting};
use kw_cutting::power::SpindleCurve;
use kw_cutting::speeds::{SpeedCase, SpeedLimits, WINDOW_COLUMNS, WearCosts, WearModel};
use kw_cutting::wear::{CostRates, EdgePathWear};

fn main() {
    divan::main();
}

const LAYERS: [Layer; 1] = [Layer {
    thickness_mm: 12.0,
    law: CuttingLaw::Linear(LinearLaw {
        area_n_mm2: Band { low: 12.5, likely: 25.0, high: 37.5 },
        edge_n_mm: Band { low: 1.0, likely: 2.0, high: 3.0 },
    }),
}];

const BITE: Bite<'static> = Bite {
    layers: &LAYERS,
    radial_mm: 10.0,
    above_tip_mm: 0.0,
    radial_share: RADIAL_SHARE,
    correction: Band::exact(1.0),
};

fn cutter() -> Cutter {
    Cutter {
        diameter_mm: 10.0,
        flutes: 2,
        helix: Helix { angle_rad: 0.5, reversed_above_mm: Some(6.0) },
        beam: Some(Beam::fluted(10.0, 40.0, CARBIDE_MODULUS_N_MM2)),
    }
}

/// Loads of one move.
#[divan::bench]
fn loads_of_a_move(bencher: Bencher) {
    let cutter = cutter();
    let setting = Setting { speed_rpm: 18_000.0, feed_mm_min: 9_000.0 };
    bencher.bench(|| Loads::of(black_box(&cutter), black_box(&BITE), black_box(setting)));
}

/// Window, fastest and cheapest of one cut.
#[divan::bench]
fn window_and_proposals_of_a_cut(bencher: Bencher) {
    let cutter = cutter();
    let limits = SpeedLimits {
        spindle_rpm: [6_000.0, 24_000.0],
        tool_rpm: None,
        feed_mm_min: 25_000.0,
        chip_mm: Some([0.2, 0.55]),
        rubbing_mm: Some(0.03),
        spindle: SpindleCurve::new(&[[12_000.0, 3_000.0], [24_000.0, 3_000.0]], &[]).ok(),
        deflection_mm: Some(0.08),
        slide_force_n: Some(400.0),
        lift_force_n: Some(200.0),
    };
    let costs = WearCosts {
        wear: WearModel::EdgePath(EdgePathWear {
            start_mm: 0.0,
            growth_mm_per_km: 0.02,
            end_mm: 0.15,
        }),
        abrasion: 1.0,
        rates: CostRates { machine_per_min: 1.0, edge: 40.0, change_min: 3.0 },
    };
    bencher.bench(|| {
        let case = SpeedCase { cutter: &cutter, bite: &BITE, limits: black_box(&limits) };
        let window = case.window(WINDOW_COLUMNS);
        (case.fastest(&window), case.cheapest(&window, &costs))
    });
}

/// Fit of a shop's history of one tool type.
#[divan::bench(args = [30, 10_000])]
fn fit_of_lives(bencher: Bencher, lives: usize) {
    let lives: Vec<_> = (0..lives)
        .map(|i| Observation {
            time: 40.0 + (i * 7919 % 1_000) as f64 * 0.1,
            end: if i % 3 == 0 { LifeEnd::TakenOut } else { LifeEnd::WornOut },
            count: 1,
        })
        .collect();
    bencher.bench(|| fit_weibull(black_box(&lives)));
}
