//! Chip geometry against worked figures.

use crate::close::{assert_close, assert_within};
use kw_base::math;
use kw_cutting::chip::{
    Engagement, edge_path_per_tooth_mm, edges_in_cut, feed_mm_min, feed_per_tooth_mm,
    spindle_speed_rpm, surface_speed_m_s,
};

fn cut(diameter_mm: f64, radial_mm: f64) -> Engagement {
    Engagement::new(diameter_mm, radial_mm).expect("a diameter")
}

#[test]
fn tc_01_surface_speed() {
    // [C] Rao, Manufacturing Technology vol. 2, 2nd ed., equation on p. 204; 1e-4
    assert_close(surface_speed_m_s(12.0, 18_000.0), 11.3097, 1e-4);
    assert_close(spindle_speed_rpm(6.0, 20.0).expect("a diameter"), 63_662.0, 1e-4);
}

#[test]
fn tc_02_feed_per_tooth() {
    // [C] definition; 1e-5
    assert_close(feed_per_tooth_mm(12_000.0, 18_000.0, 2).expect("turning"), 0.333_33, 1.1e-5);
    assert_close(feed_per_tooth_mm(9_600.0, 24_000.0, 1).expect("turning"), 0.4, 1e-5);
}

#[test]
fn tc_03_feed_to_hold_a_chip() {
    // [C] chip thinning; 1e-3
    let cut = cut(12.7, 1.27);
    assert_close(cut.arc_rad().to_degrees(), 36.870, 1e-3);
    assert_close(cut.max_chip_mm(1.0), 0.6, 1e-3);
    assert_close(cut.feed_for_max_chip_mm(0.0508).expect("engaged"), 0.084_67, 1e-3);
    assert_close(cut.mean_chip_mm(1.0), 0.310_81, 1e-3);
}

#[test]
fn tc_04_slot_and_wide_cut() {
    // [C]; 1e-3
    let slot = cut(6.0, 6.0);
    assert_close(slot.arc_rad().to_degrees(), 180.0, 1e-3);
    assert_close(slot.max_chip_mm(0.15), 0.15, 1e-3);
    assert_close(slot.mean_chip_mm(0.15), 0.095_49, 1e-3);
    let wide = cut(20.0, 15.0);
    assert_close(wide.arc_rad().to_degrees(), 120.0, 1e-3);
    assert_close(wide.max_chip_mm(0.3), 0.30, 1e-3);
    assert_close(wide.mean_chip_mm(0.3), 0.214_86, 1e-3);
}

#[test]
fn w1_and_w2_speeds_and_feeds() {
    // [C]
    assert_close(surface_speed_m_s(12.0, 18_000.0), 11.310, 1e-4);
    assert_close(surface_speed_m_s(6.0, 24_000.0), 7.540, 1e-4);
    let fz = |feed| feed_per_tooth_mm(feed, 18_000.0, 2).expect("turning");
    assert_close(fz(12_000.0), 0.3333, 2e-4);
    assert_close(fz(5_000.0), 0.1389, 1e-3);
    assert_close(feed_mm_min(fz(5_000.0), 18_000.0, 2), 5_000.0, 1e-12);
}

#[test]
fn w3_to_w5_chips() {
    // [C] D, ae, fz -> arc in degrees, largest and mean chip
    for (diameter, radial, fz, arc, largest, mean) in [
        (10.0, 5.0, 0.2, 90.0, 0.2, 0.127_32),
        (8.0, 2.0, 0.25, 60.0, 0.216_51, 0.119_37),
        (125.0, 1.0, 1.0, 10.263, 0.178_17, 0.089_32),
    ] {
        let cut = cut(diameter, radial);
        assert_close(cut.arc_rad().to_degrees(), arc, 1e-4);
        assert_close(cut.max_chip_mm(fz), largest, 1e-4);
        assert_close(cut.mean_chip_mm(fz), mean, 1e-4);
    }
}

#[test]
fn w8_edge_path_per_metre_of_slot() {
    // [C] slot D 12, fz 0.333, z 2
    let path = edge_path_per_tooth_mm(&cut(12.0, 12.0), 2, 1.0 / 3.0, 1_000.0).expect("feed");
    assert_close(path / 1_000.0, 28.3, 1e-3);
}

#[test]
fn chip_thinning_table() {
    // [C] ae/D -> arc, hmax/fz, feed multiplier, hm/fz, as printed
    let rows: [(f64, [f64; 4]); 9] = [
        (0.01, [11.48, 0.199, 5.03, 0.0998]),
        (0.05, [25.84, 0.436, 2.29, 0.2217]),
        (0.10, [36.87, 0.600, 1.667, 0.3108]),
        (0.15, [45.57, 0.714, 1.400, 0.3772]),
        (0.20, [53.13, 0.800, 1.250, 0.4314]),
        (0.25, [60.00, 0.866, 1.155, 0.4775]),
        (0.30, [66.42, 0.917, 1.091, 0.5176]),
        (0.40, [78.46, 0.980, 1.021, 0.5842]),
        (0.50, [90.00, 1.0, 1.0, 0.6366]),
    ];
    for (ratio, [arc, largest, multiplier, mean]) in rows {
        let cut = cut(10.0, 10.0 * ratio);
        assert_within(cut.arc_rad().to_degrees(), arc, 5e-3);
        assert_within(cut.max_chip_mm(1.0), largest, 5e-4);
        assert_within(cut.feed_for_max_chip_mm(1.0).expect("engaged"), multiplier, 5e-3);
        assert_within(cut.mean_chip_mm(1.0), mean, 5e-5);
    }
}

#[test]
fn the_textbook_shortcut_is_high_by_what_the_facts_say() {
    // [C] 0.3 % at ae/D = 0.005, 3.5 % at 0.067, 15 % at 0.25
    for (ratio, high_by) in [(0.005, 0.003), (0.067, 0.035), (0.25, 0.155)] {
        let cut = cut(1.0, ratio);
        assert_within(cut.max_chip_shortcut_mm(1.0) / cut.max_chip_mm(1.0) - 1.0, high_by, 1e-3);
    }
}

#[test]
fn helix_adds_its_lag_to_the_span() {
    // [C] z·ap·tan λ/(π·D): D 12, ap 18, λ 30°, z 2
    let slot = cut(12.0, 12.0);
    let lag = 2.0 * 18.0 * math::tan(30_f64.to_radians()) / (math::PI * 12.0);
    assert_close(edges_in_cut(&slot, 2, 18.0, 30_f64.to_radians()), 1.0 + lag, 1e-12);
}
