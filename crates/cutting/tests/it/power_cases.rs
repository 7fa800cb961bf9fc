//! Power, torque and force of whole cuts against worked figures.

use crate::close::assert_close;
use kw_base::{Band, math};
use kw_cutting::chip::{Engagement, edges_in_cut, feed_mm_min, surface_speed_m_s};
use kw_cutting::force::{
    CuttingLaw, EdgeCoefficients, Layer, LinearLaw, MILLING_FACTOR, PowerLaw, WORN_EDGE_FACTOR,
    rake_factor,
};
use kw_cutting::loads::{Bite, Cutter, Loads, Setting};
use kw_cutting::power::{
    cutting_power_w, drive_power_w, mean_tangential_n, removal_rate_mm3_min, torque_nm,
};

/// Mild steel, u = 1.4·h^−0.4 J/mm³: Ghosh & Mallik, Manufacturing Science, table 4.4 [T].
const MILD_STEEL: CuttingLaw = CuttingLaw::Power(PowerLaw::exact(1_400.0, 0.4));

fn specific(law: CuttingLaw, chip_mm: f64) -> Band {
    law.specific_n_mm2(chip_mm).expect("a chip")
}

#[test]
fn tc_05_slab_mill() {
    // [T] Ghosh & Mallik 4.15, p. 235; 1 %. The book takes half the shortcut as the mean chip.
    let fz = 15.0 / (60.0 * 20.0);
    let cut = Engagement::new(50.0, 1.0).expect("a diameter");
    let largest = cut.max_chip_shortcut_mm(fz);
    assert_close(largest, 0.003_536, 1e-2);
    assert_close(largest / 2.0, 0.001_77, 1e-2);
    let u = specific(MILD_STEEL, 0.0018);
    assert_close(u.likely / 1_000.0, 17.54, 1e-2);
    let power = cutting_power_w(u, removal_rate_mm3_min(20.0, 1.0, 15.0));
    assert_close(power.likely, 87.7, 1e-2);
}

#[test]
fn tc_06_and_w7_slab_mill() {
    // [T] Ghosh & Mallik 4.16, p. 238 (the book prints 817 W); 1 %
    let fz = 100.0 / (60.0 * 10.0);
    let cut = Engagement::new(75.0, 5.0).expect("a diameter");
    assert_close(fz, 0.1667, 1e-3);
    assert_close(cut.max_chip_shortcut_mm(fz), 0.0861, 1e-2);
    assert_close(cut.max_chip_mm(fz), 0.0832, 1e-2);
    let removal = removal_rate_mm3_min(20.0, 5.0, 100.0);
    assert_close(removal / 60.0, 166.7, 1e-2);
    let u = specific(MILD_STEEL, 0.043);
    assert_close(u.likely / 1_000.0, 4.93, 1e-2);
    assert_close(cutting_power_w(u, removal).likely, 821.0, 1e-2);
    assert_close(cutting_power_w(u, removal).likely, 817.0, 1e-2);
}

#[test]
fn tc_07_small_end_mill_in_aluminium() {
    // [T] formulas Dietrich/Tschätsch 11th ed. 2014, [C]; 1e-3. That book takes the chip square to
    // the inclined edge, hm·cos λ, on the longer edge ap/cos λ.
    let (helix, vc_m_s) = (45_f64.to_radians(), 300.0 / 60.0);
    let n = kw_cutting::chip::spindle_speed_rpm(3.0, vc_m_s).expect("a diameter");
    assert_close(n, 31_831.0, 1e-3);
    let cut = Engagement::new(3.0, 0.25).expect("a diameter");
    assert_close(cut.arc_rad().to_degrees(), 33.557, 1e-3);
    let feed = feed_mm_min(0.06, n, 2);
    assert_close(feed, 3_819.7, 1e-3);
    let chip = cut.mean_chip_mm(0.06) * math::cos(helix);
    assert_close(chip, 0.012_073, 1e-3);
    let correction =
        rake_factor(10_f64.to_radians(), 0.0) * WORN_EDGE_FACTOR.likely * MILLING_FACTOR;
    let kc = specific(CuttingLaw::Power(PowerLaw::exact(700.0, 0.18)), chip) * correction;
    assert_close(kc.likely, 2_176.4, 1e-3);
    let edges = edges_in_cut(&cut, 2, 0.0, 0.0);
    assert_close(edges, 0.186_43, 1e-3);
    let on_edge = kc * (3.0 / math::cos(helix) * chip);
    assert_close(on_edge.likely, 111.48, 1e-3);
    let power = on_edge * (edges * vc_m_s);
    assert_close(power.likely, 103.9, 1e-3);
    let drawn = drive_power_w(power, Band::exact(0.8), 0.0).expect("an efficiency");
    assert_close(drawn.likely, 129.9, 1e-3);
    let by_volume = cutting_power_w(kc, removal_rate_mm3_min(3.0, 0.25, feed));
    assert_close(by_volume.likely, 103.9, 1e-3);
}

#[test]
fn tc_08_turning() {
    // [T] Rao p. 134; 1e-3. kc 1600, 145 m/min, feed 0.38, depth 2
    let removal = removal_rate_mm3_min(2.0, 0.38, 145_000.0);
    assert_close(cutting_power_w(Band::exact(1_600.0), removal).likely, 2_938.7, 1e-3);
}

#[test]
fn tc_09_particleboard_slot() {
    // [P] kc: Pałubicki 2021, Materials 14:2208, abstract; [C]; 1e-3
    let removal = removal_rate_mm3_min(18.0, 12.0, 6_000.0);
    assert_close(removal / 1_000.0, 1_296.0, 1e-3);
    let power = cutting_power_w(Band::exact(32.0), removal);
    assert_close(power.likely, 691.2, 1e-3);
    assert_close(cutting_power_w(Band::exact(37.6), removal).likely, 812.2, 1e-3);
    let vc = surface_speed_m_s(12.0, 18_000.0);
    assert_close(mean_tangential_n(power, vc).expect("moving").likely, 61.1, 1e-3);
    assert_close(torque_nm(power, 18_000.0).expect("turning").likely, 0.3667, 1e-3);
}

#[test]
fn tc_09_through_the_whole_load_model() {
    // [P] as above, with kc held constant at every chip thickness
    let law = CuttingLaw::Linear(LinearLaw {
        area_n_mm2: Band { low: 32.0, likely: 34.8, high: 37.6 },
        edge_n_mm: Band::ZERO,
    });
    let layers = [Layer { thickness_mm: 18.0, law }];
    let cutter = Cutter {
        diameter_mm: 12.0,
        flutes: 2,
        helix: kw_cutting::force::Helix::STRAIGHT,
        beam: None,
    };
    let bite = Bite {
        layers: &layers,
        radial_mm: 12.0,
        above_tip_mm: 0.0,
        radial_share: kw_cutting::force::RADIAL_SHARE,
        correction: Band::exact(1.0),
    };
    let setting = Setting { speed_rpm: 18_000.0, feed_mm_min: 6_000.0 };
    let loads = Loads::of(&cutter, &bite, setting).expect("a cut");
    assert_close(loads.removal_mm3_min, 1_296_000.0, 1e-9);
    assert_close(loads.power_w.low, 691.2, 1e-3);
    assert_close(loads.power_w.high, 812.2, 1e-3);
    assert_close(loads.tangential_n.low, 61.1, 1e-3);
    assert_close(loads.torque_nm.low, 0.3667, 1e-3);
    assert_eq!(loads.lift_peak_n, Band::ZERO);
}

#[test]
fn tc_10_aluminium_slot() {
    // [P] coefficients of 6082-T6: Chinese J. Mech. Eng. 2021, table 5; [C]; 1e-3
    let slot = Engagement::slot(6.0).expect("a diameter");
    let chip = slot.mean_chip_mm(0.05);
    assert_close(chip, 0.031_831, 1e-3);
    let mean = ALUMINIUM.on_edge(3.0, chip).tangential_n.likely;
    assert_close(mean, 99.26, 1e-3);
    let edges = edges_in_cut(&slot, 1, 0.0, 0.0);
    assert_close(edges, 0.5, 1e-3);
    assert_close(mean * edges * surface_speed_m_s(6.0, 18_000.0), 280.6, 1e-3);
    let peak = ALUMINIUM.on_edge(3.0, slot.max_chip_mm(0.05));
    assert_close(peak.tangential_n.likely, 133.65, 1e-3);
    assert_close(peak.radial_n.likely, 44.85, 1e-3);
    assert_close(peak.axial_n.likely, 49.35, 1e-3);
}

#[test]
fn tc_11_averages_over_a_turn() {
    // [C] Altintas, Manufacturing Automation, 2nd ed. 2012 [M], rederived; 2e-3
    let slot = Engagement::slot(6.0).expect("a diameter");
    let average = ALUMINIUM.average(&kw_cutting::force::Rotation {
        flutes: 1,
        axial_mm: 3.0,
        feed_per_tooth_mm: 0.05,
        entry_exit_rad: slot.entry_exit_rad(kw_cutting::chip::Side::Climb),
    });
    assert_close(average.feed_n.likely, -13.26, 2e-3);
    assert_close(average.normal_n.likely, 36.08, 2e-3);
    assert_close(average.axial_n.likely, 17.23, 2e-3);
}

#[test]
fn w6_edge_trim() {
    // [P] kc Pałubicki 2021, [C]
    let removal = removal_rate_mm3_min(18.0, 1.0, 8_000.0);
    assert_close(removal, 144_000.0, 1e-12);
    assert_close(cutting_power_w(Band::exact(32.0), removal).likely, 76.8, 1e-3);
    assert_close(cutting_power_w(Band::exact(37.6), removal).likely, 90.2, 1e-3);
}

/// 6082-T6, "Milling force model for aviation aluminum alloy", Chinese J. Mech. Eng. 2021 [P].
const ALUMINIUM: EdgeCoefficients = EdgeCoefficients {
    tangential: LinearLaw::exact(631.0, 13.0),
    radial: LinearLaw::exact(99.0, 10.0),
    axial: LinearLaw::exact(273.0, 2.8),
};
