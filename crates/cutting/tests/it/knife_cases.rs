//! Knife geometry and slicing against worked figures.

use crate::close::{assert_close, assert_within};
use kw_cutting::knife::{
    SlicePush, TrailingKnife, chord_step_rad, round_overcut_mm, speed_limit_mm_s,
    straight_overcut_mm,
};

#[test]
fn tc_24_overcut_and_trailing_blade() {
    // [C] plane geometry; 1e-3
    let straight = straight_overcut_mm(5.0, 60_f64.to_radians()).expect("an angle");
    assert_close(straight, 2.8868, 1e-3);
    assert_close(round_overcut_mm(1.0, 28.0).expect("a blade"), 5.1962, 1e-3);
    let knife = TrailingKnife { offset_mm: 0.25 };
    assert_close(knife.swing_length_mm(90_f64.to_radians()), 0.3927, 1e-3);
    // √(25 + 0.0625) is 5.006246; the case prints 5.00625
    assert_close(knife.pivot_radius_mm(5.0), 5.006_25, 1e-5);
    let settled = knife.uncompensated_radius_mm(5.0).expect("longer than the blade");
    assert_close(5.0 - settled, 0.006_25, 1e-3);
}

#[test]
fn tc_25_slicing_and_turning() {
    // [C] Atkins, Xu & Jeronimidis 2004 form; 1e-3
    for (ratio, push, slice) in [(0.0, 1.0, 0.0), (0.5, 0.8, 0.4), (1.0, 0.5, 0.5), (2.0, 0.2, 0.4)]
    {
        let shares = SlicePush::at(ratio);
        assert_within(shares.push, push, 1e-12);
        assert_within(shares.slice, slice, 1e-12);
        assert_within(shares.resultant.powi(2), push.powi(2) + slice.powi(2), 1e-12);
    }
    assert_close(speed_limit_mm_s(720_f64.to_radians(), 2.0), 25.13, 1e-3);
    assert_close(chord_step_rad(5.0, 0.02).expect("a radius").to_degrees(), 10.253, 1e-3);
    let knife = TrailingKnife { offset_mm: 0.25 };
    let far = knife.settling_distance_mm(90_f64.to_radians(), 0.02).expect("settles");
    assert_close(far, 0.8043, 1e-3);
}
