//! How many edges are in the material at a time, and how far each of them runs in it.

use super::Engagement;
use kw_base::math::{self, PI, TAU};

/// Share of an edge by which a count may miss a whole number through rounding alone; an arc of
/// exactly two pitches must not count as three edges.
const WHOLE_EDGE_SLACK: f64 = 1e-9;

/// Edges in the material over the span of rotation from the first touch of a helical edge to its
/// last: z·(φs/2π + ap·tan λ/(π·D)).
///
/// With a helix angle of 0 this is the mean number of edges cutting at one height, which scales
/// mean force and power (Dietrich/Tschätsch).
pub fn edges_in_cut(cut: &Engagement, flutes: u32, axial_mm: f64, helix_rad: f64) -> f64 {
    if cut.radial_mm() == 0.0 {
        return 0.0;
    }
    let lag = axial_mm.max(0.0) * math::tan(helix_rad.abs()) / (PI * cut.diameter_mm());
    f64::from(flutes) * (cut.arc_rad() / TAU + lag)
}

/// The most edges that can cut at one height at the same moment: a whole number.
pub fn most_edges_in_cut(cut: &Engagement, flutes: u32) -> f64 {
    (edges_in_cut(cut, flutes, 0.0, 0.0) - WHOLE_EDGE_SLACK).ceil().max(0.0)
}

/// Path of each edge inside the material, mm, over `feed_length_mm` of feed; `None` without feed
/// per tooth or flutes. What drives abrasive wear.
///
/// s = Lfeed/(fz·z)·D·φs/2.
pub fn edge_path_per_tooth_mm(
    cut: &Engagement,
    flutes: u32,
    feed_per_tooth_mm: f64,
    feed_length_mm: f64,
) -> Option<f64> {
    let per_turn_mm = feed_per_tooth_mm * f64::from(flutes);
    (per_turn_mm > 0.0)
        .then(|| feed_length_mm / per_turn_mm * cut.diameter_mm() * cut.arc_rad() / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slot_holds_half_the_flutes() {
        let slot = Engagement::slot(12.0).expect("a diameter");
        assert_eq!(edges_in_cut(&slot, 2, 18.0, 0.0), 1.0);
        assert_eq!(most_edges_in_cut(&slot, 2), 1.0);
        assert_eq!(most_edges_in_cut(&slot, 3), 2.0);
        assert_eq!(most_edges_in_cut(&slot, 1), 1.0);
    }

    #[test]
    fn helix_widens_the_span_whichever_way_it_runs() {
        let slot = Engagement::slot(12.0).expect("a diameter");
        let right = edges_in_cut(&slot, 2, 18.0, 0.5);
        assert!(right > 1.0);
        assert_eq!(right, edges_in_cut(&slot, 2, 18.0, -0.5));
    }

    #[test]
    fn nothing_engaged_nothing_cut() {
        let none = Engagement::new(12.0, 0.0).expect("a diameter");
        assert_eq!(edges_in_cut(&none, 2, 18.0, 0.5), 0.0);
        assert_eq!(most_edges_in_cut(&none, 2), 0.0);
        assert_eq!(edge_path_per_tooth_mm(&none, 2, 0.1, 1000.0), Some(0.0));
        assert_eq!(edge_path_per_tooth_mm(&none, 2, 0.0, 1000.0), None);
    }
}
