//! Published trends, sign only, and identities that must hold at any setting.

use crate::close::assert_close;
use kw_base::{Band, math};
use kw_cutting::chip::surface_speed_m_s;
use kw_cutting::force::{
    CuttingLaw, Helix, Layer, LinearLaw, PowerLaw, RADIAL_SHARE, axial_ratio, axial_ratio_bound,
    axial_ratio_oblique, wear_factor,
};
use kw_cutting::loads::{Bite, Cutter, Loads, Setting};
use kw_cutting::wear::Taylor;

/// Fibreboard, default line [M].
const FIBREBOARD: CuttingLaw = CuttingLaw::Linear(LinearLaw {
    area_n_mm2: Band { low: 12.5, likely: 25.0, high: 37.5 },
    edge_n_mm: Band { low: 1.0, likely: 2.0, high: 3.0 },
});

/// Solid softwood along the grain, default line [M].
const SOFTWOOD: CuttingLaw = CuttingLaw::Linear(LinearLaw::exact(12.0, 1.2));

/// Edge trimming as in the trials of T1: cutter 125 mm, 1 mm off an 18 mm board.
fn edge_trim(law: CuttingLaw, correction: Band, setting: Setting) -> Loads {
    let layers = [Layer { thickness_mm: 18.0, law }];
    let cutter = Cutter { diameter_mm: 125.0, flutes: 2, helix: Helix::STRAIGHT, beam: None };
    let bite = Bite {
        layers: &layers,
        radial_mm: 1.0,
        above_tip_mm: 0.0,
        radial_share: RADIAL_SHARE,
        correction,
    };
    Loads::of(&cutter, &bite, setting).expect("a cut")
}

const SHARP: Band = Band::exact(1.0);

fn speed_rpm(surface_m_s: f64) -> f64 {
    kw_cutting::chip::spindle_speed_rpm(125.0, surface_m_s).expect("a diameter")
}

#[track_caller]
fn assert_rises(values: impl IntoIterator<Item = f64>) {
    let values: Vec<f64> = values.into_iter().collect();
    assert!(values.windows(2).all(|pair| pair[0] < pair[1]), "not rising: {values:?}");
}

#[test]
fn t1_power_rises_with_surface_speed_and_with_feed() {
    // [P] Sedlecký & Gašparík 2017, BioRes 12(4):7413: 20 to 60 m/s, 4 to 11 m/min
    assert_rises([20.0, 30.0, 40.0, 50.0, 60.0].map(|vc| {
        let setting = Setting { speed_rpm: speed_rpm(vc), feed_mm_min: 8_000.0 };
        edge_trim(FIBREBOARD, SHARP, setting).power_w.likely
    }));
    assert_rises([4_000.0, 6_000.0, 8_000.0, 11_000.0].map(|feed_mm_min| {
        let setting = Setting { speed_rpm: speed_rpm(40.0), feed_mm_min };
        edge_trim(FIBREBOARD, SHARP, setting).power_w.likely
    }));
}

#[test]
fn t1_fibreboard_takes_more_than_softwood() {
    // [P] as above: order fibreboard > spruce panel
    let setting = Setting { speed_rpm: speed_rpm(40.0), feed_mm_min: 8_000.0 };
    let power = |law| edge_trim(law, SHARP, setting).power_w.likely;
    assert!(power(FIBREBOARD) > power(SOFTWOOD));
}

#[test]
fn t2_a_faster_edge_meets_more_specific_force_at_one_feed() {
    // [P] Pałubicki 2021, Materials 14:2208: 40 to 60 m/s +17.5 %; sign only, by thinner chips
    let specific = |vc: f64| {
        let setting = Setting { speed_rpm: speed_rpm(vc), feed_mm_min: 8_000.0 };
        let loads = edge_trim(FIBREBOARD, SHARP, setting);
        loads.power_w.likely * 60_000.0 / loads.removal_mm3_min
    };
    assert_rises([40.0, 50.0, 60.0].map(specific));
}

#[test]
fn t4_power_rises_with_wear() {
    // [P] Koleda et al. 2019, BioRes 14(4):9271
    let setting = Setting { speed_rpm: 4_000.0, feed_mm_min: 8_000.0 };
    assert_rises(
        [0.0, 0.25, 0.5, 1.0]
            .map(|used| edge_trim(FIBREBOARD, wear_factor(used), setting).power_w.likely),
    );
}

#[test]
fn t5_axial_force_rises_with_helix_and_its_share_of_the_bound_falls() {
    // [P] Jin & Wei 2021, BioRes 16(4):8172: force falls as the edge is inclined
    let helices = [5.0, 15.0, 30.0, 45.0, 60.0].map(f64::to_radians);
    assert_rises(helices.map(axial_ratio_bound));
    assert_rises(helices.map(|helix| axial_ratio(helix).high));
    assert_rises(helices.map(|helix| {
        -axial_ratio_oblique(helix, 10_f64.to_radians(), 30_f64.to_radians())
            / axial_ratio_bound(helix)
    }));
}

#[test]
fn t10_life_falls_with_speed() {
    // [P] Szwajka & Trzepieciński 2016, J. Wood Sci. 62:305
    let taylor = Taylor { exponent: 0.3, constant_m_min: 900.0 };
    assert_rises([300.0, 400.0, 600.0, 900.0].map(|speed| -taylor.life_min(speed)));
}

#[test]
fn specific_force_falls_strictly_with_chip_thickness() {
    for law in [FIBREBOARD, SOFTWOOD, CuttingLaw::Power(PowerLaw::exact(700.0, 0.18))] {
        let falling = (1..200).map(|i| law.specific_n_mm2(f64::from(i) * 0.005).expect("a chip"));
        assert_rises(falling.clone().map(|kc| -kc.likely));
        assert_rises(falling.map(|kc| -kc.high));
    }
}

#[test]
fn power_torque_and_force_agree() {
    for (rpm, feed_mm_min) in [(3_000.0, 4_000.0), (6_000.0, 11_000.0), (9_000.0, 500.0)] {
        let loads = edge_trim(FIBREBOARD, SHARP, Setting { speed_rpm: rpm, feed_mm_min });
        assert_close(loads.torque_nm.high, loads.power_w.high * 60.0 / (math::TAU * rpm), 1e-12);
        let by_force = loads.tangential_n.low * surface_speed_m_s(125.0, rpm);
        assert_close(loads.power_w.low, by_force, 1e-12);
        let kc = FIBREBOARD.specific_n_mm2(loads.mean_chip_mm).expect("a chip");
        assert_close(loads.power_w.likely, kc.likely * loads.removal_mm3_min / 60_000.0, 1e-12);
    }
}
