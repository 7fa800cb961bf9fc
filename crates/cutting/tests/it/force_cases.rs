//! Specific cutting force and axial force against worked figures.

use crate::close::{assert_close, assert_within};
use kw_base::Band;
use kw_cutting::force::{
    CuttingLaw, Helix, Layer, LinearLaw, PowerLaw, axial_ratio_bound, axial_ratio_oblique,
    mean_specific_n_mm2,
};

#[test]
fn tc_12_linear_to_power() {
    // [C]; 1e-3
    let linear = LinearLaw::exact(631.0, 13.0);
    let law = CuttingLaw::Linear(linear);
    let at = |law: CuttingLaw, chip| law.specific_n_mm2(chip).expect("a chip").likely;
    assert_close(at(law, 0.05), 891.0, 1e-3);
    assert_close(at(law, 0.20), 696.0, 1e-3);
    let power = linear.to_power(0.05, 0.20).expect("falling");
    assert_close(power.exponent, 0.178_17, 1e-3);
    assert_close(power.at_one_mm_n_mm2.likely, 522.5, 1e-3);
    assert_close(at(CuttingLaw::Power(power), 0.1), 787.5, 1e-3);
    assert_close(at(law, 0.1), 761.0, 1e-3);
}

#[test]
fn tc_13_feed_factors() {
    // [T] Machinery's Handbook feed factors via Rao, table 7.3; fit [C]; ±0.002
    let table = [
        (0.02, 1.70),
        (0.05, 1.40),
        (0.07, 1.30),
        (0.10, 1.25),
        (0.12, 1.20),
        (0.15, 1.15),
        (0.18, 1.11),
        (0.20, 1.08),
        (0.22, 1.06),
        (0.25, 1.04),
        (0.28, 1.01),
        (0.30, 1.00),
        (0.33, 0.98),
        (0.35, 0.97),
        (0.38, 0.95),
        (0.40, 0.94),
    ];
    let fit = PowerLaw::fit(&table).expect("a fit");
    assert_within(-fit.law.exponent, -0.194, 0.002);
    let at_030 = CuttingLaw::Power(fit.law).specific_n_mm2(0.30).expect("a chip").likely;
    assert_within(at_030, 0.999, 0.002);
    assert_within(fit.worst_share, 0.019, 0.002);
}

#[test]
fn tc_16_and_w9_axial_ratio() {
    // [C] Altintas form, chip flow along the helix; 1e-3
    let deg = f64::to_radians;
    assert_close(axial_ratio_oblique(deg(30.0), deg(10.0), deg(30.0)), 0.229_45, 1e-3);
    assert_close(axial_ratio_oblique(deg(45.0), deg(20.0), deg(20.0)), 0.490_29, 1e-3);
    assert_close(axial_ratio_bound(deg(30.0)), 0.577_35, 1e-3);
    assert_close(axial_ratio_bound(deg(45.0)), 1.0, 1e-3);
    assert_close(80.0 * axial_ratio_bound(deg(30.0)), 46.2, 1e-3);
    assert_close(80.0 * axial_ratio_oblique(deg(30.0), deg(10.0), deg(30.0)), 18.4, 3e-3);
}

#[test]
fn axial_ratio_table() {
    // [C] as printed to three places: helix -> (10°, 30°), (20°, 20°), bound
    for (helix, usual, easy, bound) in [
        (10.0, 0.081, 0.115, 0.176),
        (20.0, 0.159, 0.229, 0.364),
        (30.0, 0.229, 0.341, 0.577),
        (35.0, 0.260, 0.395, 0.700),
        (40.0, 0.286, 0.445, 0.839),
        (45.0, 0.305, 0.490, 1.000),
    ] {
        let deg = f64::to_radians;
        assert_within(axial_ratio_oblique(deg(helix), deg(10.0), deg(30.0)), usual, 6e-4);
        assert_within(axial_ratio_oblique(deg(helix), deg(20.0), deg(20.0)), easy, 6e-4);
        assert_within(axial_ratio_bound(deg(helix)), bound, 6e-4);
    }
}

#[test]
fn tc_17_compression_cutter() {
    // [C] bound Fa = Ft·tan λ; 1e-3
    let helix = Helix { angle_rad: 30_f64.to_radians(), reversed_above_mm: Some(6.0) };
    let bound = Band::exact(axial_ratio_bound(helix.angle_rad));
    let full = helix.net_lift_n(Band::exact(80.0), bound, (0.0, 18.0));
    assert_close(full.likely, -15.396, 1e-3);
    let first_pass = helix.net_lift_n(Band::exact(26.667), bound, (0.0, 6.0));
    assert_close(first_pass.likely, 15.396, 1e-3);
}

#[test]
fn composite_panel_adds_layer_by_layer() {
    // [C] section 1.2: skins 761, core 55 at h 0.1 -> about 196 for 3 mm
    let skin = CuttingLaw::Linear(LinearLaw::exact(631.0, 13.0));
    let core = CuttingLaw::Linear(LinearLaw::exact(25.0, 3.0));
    let layers = [(0.3, skin), (2.4, core), (0.3, skin)]
        .map(|(thickness_mm, law)| Layer { thickness_mm, law });
    assert_close(mean_specific_n_mm2(&layers, 0.1).expect("a stack").likely, 196.0, 2e-3);
}
