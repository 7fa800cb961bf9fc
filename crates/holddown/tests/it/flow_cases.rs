//! T1, T5 to T9, T18, T20 of the fact sheet: flow through boards, kerfs, gaps, holes and pipes.
//!
//! Source of each: computed from the equation of the section in brackets with the reference constants
//! (sea level, 20 °C, 1.81e-5 Pa s); T9 and T20 also confirmed with the `fluids` library 1.3.1.

use kw_holddown::board::kerf::kerf_shape_factor;
use kw_holddown::board::loss::{EDGE_BAND, LossField, half_plane_share, strip_share};
use kw_holddown::flow::gap::{Gap, LAMINAR_REYNOLDS, reynolds};
use kw_holddown::flow::pipe::Pipe;
use kw_holddown::flow::{Discharge, Orifice};
use kw_holddown::{Air, Board, Layer};

#[track_caller]
fn near(got: f64, expected: f64, relative: f64) {
    let off = (got / expected - 1.0).abs();
    assert!(off <= relative, "{got} is not {expected} within {relative}: off by {off:.2e}");
}

/// T1 [1.3] Darcy flux.
#[test]
fn t01_darcy_flux_through_bare_board() {
    let air = Air::default();
    let flux = |k: f64| Board::new(0.018, k).flux_kg_s_m2(101_325.0, 30_000.0, &air);
    near(flux(1e-13), 0.01708, 1e-3);
    near(air.free_air_m3_h(flux(1e-13)), 51.07, 1e-3);
    near(air.free_air_m3_h(flux(0.38e-13)), 19.41, 1e-3);
    near(air.free_air_m3_h(flux(6.26e-13)), 319.7, 1e-3);
    let slipping = Board { slip_pa: 19_110.0, ..Board::new(0.018, 1e-13) };
    near(slipping.flux_kg_s_m2(101_325.0, 30_000.0, &air) / flux(1e-13), 1.291, 1e-3);
}

/// T5 [1.3] Layers in series.
#[test]
fn t05_sheet_and_board_in_series() {
    let air = Air::default();
    let board = Board::new(0.018, 2e-13);
    let under = |plenum, sheet: &Layer| board.pressure_under_sheet_pa(plenum, sheet, &air);
    let same = under(30_000.0, &board.layer);
    near(same, 74_722.0, 1e-3);
    near(101_325.0 - same, 26_600.0, 1e-3);
    near((101_325.0 - same) / (101_325.0 - 30_000.0), 0.373, 1e-3);
    let tight = Layer { thickness_m: 0.012, permeability_m2: 0.5e-13 };
    near(under(40_000.0, &tight), 62_958.0, 1e-3);
    near(101_325.0 - under(40_000.0, &tight), 38_370.0, 1e-3);
    let flow = board.conductance_under_sheet_per_m2(&tight, &air)
        * (101_325.0_f64.powi(2) - 40_000.0_f64.powi(2));
    near(air.free_air_m3_h(flow), 25.78, 1e-3);
    let thin = Layer { thickness_m: 0.003, permeability_m2: 2e-13 };
    near(under(40_000.0, &thin), 95_019.0, 1e-3);
    near(101_325.0 - under(40_000.0, &thin), 6306.0, 1e-3);
    let sealed = Layer { thickness_m: 0.003, permeability_m2: 0.0 };
    near(under(40_000.0, &sealed), 40_000.0, 1e-12);
}

/// T6 [1.4] Half plane.
#[test]
fn t06_edge_of_a_half_plane() {
    for (distance, share) in [(0.25, 0.4719), (0.5, 0.3014), (1.0, 0.1333), (2.0, 0.02752)] {
        near(half_plane_share(distance), share, 1e-3);
    }
    near(EDGE_BAND, 0.44127, 1e-3);
    near(LossField::edge().of_squares(), 0.44127, 1e-3);
    near(LossField::edge().of_vacuum(0.4), 0.5846, 1e-3);
}

/// T7 [1.4] Strip.
#[test]
fn t07_strip_open_on_both_sides() {
    for (width, kept_squares, middle, kept) in
        [(2.0, 0.5857, 0.2610, 0.4883), (1.0, 0.3579, 0.5447, 0.2753)]
    {
        let strip = LossField::strip(width, 1.0, 0.0);
        near(1.0 - strip.of_squares(), kept_squares, 2e-3);
        near(strip_share(0.0, width), middle, 2e-3);
        near(1.0 - strip.of_vacuum(0.4), kept, 2e-3);
    }
}

/// T8 [1.5] Kerf.
#[test]
fn t08_kerf_into_porous_board() {
    near(kerf_shape_factor(1.0 / 3.0), 1.1499, 1e-3);
    near(kerf_shape_factor(0.5), 1.3463, 1e-3);
    let air = Air::default();
    for (k, flow) in [(1e-13, 0.9781), (4e-13, 3.912)] {
        let board = Board::new(0.018, k);
        let drive = 101_325.0_f64.powi(2) - 40_000.0_f64.powi(2);
        let m = board.mobility(&air) * kerf_shape_factor(6.0 / 18.0) * drive;
        near(air.free_air_m3_h(m), flow, 1e-3);
    }
}

/// T9 [1.6] Orifice.
#[test]
fn t09_orifice_and_choking() {
    let air = Air::default();
    let hole = Orifice::round(0.006, 0.61);
    let perry = Orifice { discharge: Discharge::Perry, ..hole };
    let cases = [
        (95_000.0, 2.056e-3, 2.051e-3),
        (80_000.0, 3.440e-3, 3.602e-3),
        (60_000.0, 4.088e-3, 4.761e-3),
        (53_000.0, 4.125e-3, 5.001e-3),
        (30_000.0, 4.125e-3, 5.517e-3),
    ];
    for (downstream, fixed, fitted) in cases {
        near(hole.flow(downstream, &air).kg_s, fixed, 1e-3);
        near(perry.flow(downstream, &air).kg_s, fitted, 1e-3);
    }
    near(air.free_air_m3_h(hole.flow(30_000.0, &air).kg_s) / 0.06, 205.5, 1e-3);
}

/// T18 [1.4–1.5] Gap leak and interface band.
#[test]
fn t18_gap_under_an_edge() {
    let air = Air::default();
    let flow = |height_m| Gap { height_m, path_m: 0.02 }.flow_kg_s_m(101_325.0, 40_000.0, &air);
    near(air.free_air_m3_h(flow(50e-6)), 4.430, 1e-3);
    near(reynolds(flow(50e-6), &air), 164.0, 2e-3);
    assert!(reynolds(flow(50e-6), &air) < LAMINAR_REYNOLDS);
    near(air.free_air_m3_h(flow(100e-6)), 35.44, 1e-3);
    near(Board::new(0.018, 2e-13).contact_length_m(20e-6), 7.746e-3, 1e-3);
}

/// T20 [1.7] Isothermal pipe; `fluids` isothermal_gas.
#[test]
fn t20_isothermal_pipe() {
    let air = Air::default();
    let pipe = Pipe { bore_m: 0.05, length_m: 10.0, friction_factor: 0.02, fittings: 0.0 };
    near(pipe.outlet_pa(40_000.0, 0.03, &air).unwrap(), 38_992.6, 5e-4);
    let law = pipe.branch_law(&air);
    let without_log = (40_000.0_f64.powi(2) - law.quadratic * 0.03 * 0.03).sqrt();
    near(without_log, 39_005.4, 5e-4);
}
