//! Bending against worked figures.

use crate::close::assert_close;
use kw_base::Band;
use kw_cutting::deflection::{Beam, second_moment_mm4};

const CARBIDE: Band = Band::exact(600_000.0);

#[test]
fn tc_14_tip_load() {
    // Kops & Vo, CIRP Annals 1990: 0.8·D [P]; [C]; 1e-3
    assert_close(second_moment_mm4(0.8 * 6.0), 26.058, 1e-3);
    let tip = |beam: Beam| beam.tip_deflection_mm(Band::exact(50.0), 0.0).expect("a beam").likely;
    let fluted = tip(Beam::fluted(6.0, 25.0, CARBIDE));
    assert_close(fluted, 0.016_66, 1e-3);
    let solid = tip(Beam { flute_length_mm: 0.0, ..Beam::fluted(6.0, 25.0, CARBIDE) });
    assert_close(solid, 0.006_82, 1e-3);
    assert_close(fluted / solid, 2.4414, 1e-3);
}

#[test]
fn tc_15_stepped_shank_and_centred_load() {
    // [C]; 1e-3
    let stepped = Beam {
        length_mm: 30.0,
        flute_diameter_mm: 3.0,
        flute_length_mm: 12.0,
        shank_diameter_mm: 6.0,
        modulus_n_mm2: CARBIDE,
    };
    let at_tip = stepped.tip_deflection_mm(Band::exact(10.0), 0.0).expect("a beam");
    assert_close(at_tip.likely, 0.008_102, 1e-3);
    let even = Beam::fluted(12.0, 45.0, CARBIDE);
    let bend = |height| even.tip_deflection_mm(Band::exact(100.0), height).expect("a beam").likely;
    assert_close(bend(18.0 / 2.0), 0.008_548, 1e-3);
    assert_close(bend(0.0), 0.012_143, 1e-3);
}
