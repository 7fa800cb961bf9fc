//! All loads of a cutter in a steady cut: the chip, forces, power and bending at one setting.

use crate::chip::{self, Engagement};
use crate::deflection::Beam;
use crate::force::{Helix, Layer, axial_ratio, force_on_edge_n, stack_thickness_mm};
use crate::power::torque_nm;
use kw_base::Band;

/// A turning cutter as far as its loads need it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cutter {
    /// Cutting diameter, mm, above 0.
    pub diameter_mm: f64,
    /// Number of flutes, at least 1.
    pub flutes: u32,
    /// Helix of the flutes.
    pub helix: Helix,
    /// The cutter as a beam, if its lengths are known.
    pub beam: Option<Beam>,
}

/// What the cutter is in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bite<'a> {
    /// The layers cut, top first: their thicknesses add up to the axial depth.
    pub layers: &'a [Layer],
    /// Radial depth, mm, 0 to diameter.
    pub radial_mm: f64,
    /// Height of the lowest edge in the material above the tip, mm; 0 where the tip cuts.
    pub above_tip_mm: f64,
    /// Radial over tangential force, e.g. [`crate::force::RADIAL_SHARE`].
    pub radial_share: Band,
    /// Corrections of the specific cutting force, multiplied: wear, rake and so on; 1 for none.
    pub correction: Band,
}

/// What can be set at the machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Spindle speed, 1/min, above 0.
    pub speed_rpm: f64,
    /// Feed, mm/min, at least 0.
    pub feed_mm_min: f64,
}

/// Loads at one setting. Means are over a turn; peaks are upper bounds over a turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loads {
    /// Speed of the edge, m/s.
    pub surface_speed_m_s: f64,
    /// Feed per tooth, mm.
    pub feed_per_tooth_mm: f64,
    /// Mean chip thickness, mm.
    pub mean_chip_mm: f64,
    /// Largest chip thickness, mm.
    pub max_chip_mm: f64,
    /// Removal rate, mm³/min.
    pub removal_mm3_min: f64,
    /// Mean force along the cutting speed, all edges, N.
    pub tangential_n: Band,
    /// Peak force in the plane of the sheet, N: √(Ft² + Fr²) at the largest chip on as many edges
    /// as can cut at one height. Holds the part against sliding.
    pub in_plane_peak_n: Band,
    /// Peak force along the axis, N, positive lifting the part.
    pub lift_peak_n: Band,
    /// Cutting power, W.
    pub power_w: Band,
    /// Mean torque, N·m.
    pub torque_nm: Band,
    /// Movement of the tip under the peak force in the middle of the depth, mm, if the beam is
    /// known.
    pub deflection_mm: Option<Band>,
    /// Path of each edge in the material, m per minute of cutting.
    pub edge_path_m_min: f64,
}

impl Bite<'_> {
    /// Axial depth, mm.
    pub fn axial_mm(&self) -> f64 {
        stack_thickness_mm(self.layers)
    }
}

impl Loads {
    /// Loads of a cut; `None` for a cutter without diameter or flutes, a standing spindle or a
    /// negative feed. At a feed of 0 the edge part of the force is left: the edge rubs.
    pub fn of(cutter: &Cutter, bite: &Bite, setting: Setting) -> Option<Self> {
        let Setting { speed_rpm, feed_mm_min } = setting;
        let cut = Engagement::new(cutter.diameter_mm, bite.radial_mm)?;
        let feed_per_tooth_mm = chip::feed_per_tooth_mm(feed_mm_min, speed_rpm, cutter.flutes)?;
        if feed_per_tooth_mm.is_nan() || feed_per_tooth_mm < 0.0 {
            return None;
        }
        let axial_mm = bite.axial_mm();
        let surface_speed_m_s = chip::surface_speed_m_s(cutter.diameter_mm, speed_rpm);
        let mean_chip_mm = cut.mean_chip_mm(feed_per_tooth_mm);
        let max_chip_mm = cut.max_chip_mm(feed_per_tooth_mm);

        let on_edge = |chip_mm| force_on_edge_n(bite.layers, chip_mm) * bite.correction;
        let mean_edges = chip::edges_in_cut(&cut, cutter.flutes, 0.0, 0.0);
        let tangential_n = on_edge(mean_chip_mm) * mean_edges;
        let power_w = tangential_n * surface_speed_m_s;

        let peak_n = on_edge(max_chip_mm) * chip::most_edges_in_cut(&cut, cutter.flutes);
        let in_plane_peak_n =
            peak_n * bite.radial_share.map_rising(|share| (1.0 + share * share).sqrt());
        let heights_mm = (bite.above_tip_mm, bite.above_tip_mm + axial_mm);
        let ratio = axial_ratio(cutter.helix.angle_rad);
        let middle_mm = bite.above_tip_mm + axial_mm / 2.0;

        Some(Self {
            surface_speed_m_s,
            feed_per_tooth_mm,
            mean_chip_mm,
            max_chip_mm,
            removal_mm3_min: crate::power::removal_rate_mm3_min(
                axial_mm,
                cut.radial_mm(),
                feed_mm_min,
            ),
            tangential_n,
            in_plane_peak_n,
            lift_peak_n: cutter.helix.net_lift_n(peak_n, ratio, heights_mm),
            power_w,
            torque_nm: torque_nm(power_w, speed_rpm)?,
            deflection_mm: cutter
                .beam
                .and_then(|beam| beam.tip_deflection_mm(in_plane_peak_n, middle_mm)),
            edge_path_m_min: edge_path_m_min(&cut, speed_rpm),
        })
    }
}

/// Path of an edge in the material, m/min: n·D·φs/2.
pub(crate) fn edge_path_m_min(cut: &Engagement, speed_rpm: f64) -> f64 {
    speed_rpm * cut.diameter_mm() * cut.arc_rad() / 2.0 / 1000.0
}

/// Feed per tooth that gives the largest chip `max_chip_mm` in a bite, as a feed in mm/min.
pub(crate) fn feed_for_max_chip_mm_min(
    cutter: &Cutter,
    bite: &Bite,
    (speed_rpm, max_chip_mm): (f64, f64),
) -> Option<f64> {
    let cut = Engagement::new(cutter.diameter_mm, bite.radial_mm)?;
    Some(chip::feed_mm_min(cut.feed_for_max_chip_mm(max_chip_mm)?, speed_rpm, cutter.flutes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::force::{CuttingLaw, LinearLaw, RADIAL_SHARE};

    const FIBREBOARD: CuttingLaw = CuttingLaw::Linear(LinearLaw {
        area_n_mm2: Band { low: 12.5, likely: 25.0, high: 37.5 },
        edge_n_mm: Band { low: 1.0, likely: 2.0, high: 3.0 },
    });
    const CUTTER: Cutter = Cutter {
        diameter_mm: 6.0,
        flutes: 2,
        helix: Helix { angle_rad: 0.5, reversed_above_mm: None },
        beam: None,
    };
    const SETTING: Setting = Setting { speed_rpm: 18_000.0, feed_mm_min: 6_000.0 };

    fn bite(layers: &[Layer]) -> Bite<'_> {
        Bite {
            layers,
            radial_mm: 6.0,
            above_tip_mm: 0.0,
            radial_share: RADIAL_SHARE,
            correction: Band::exact(1.0),
        }
    }

    #[test]
    fn bands_stay_in_order_all_the_way() {
        let layers = [Layer { thickness_mm: 9.0, law: FIBREBOARD }];
        let loads = Loads::of(&CUTTER, &bite(&layers), SETTING).expect("a cut");
        for band in [
            loads.tangential_n,
            loads.in_plane_peak_n,
            loads.lift_peak_n,
            loads.power_w,
            loads.torque_nm,
        ] {
            assert!(band.is_ordered() && band.low < band.high, "{band:?}");
        }
        assert!(loads.lift_peak_n.low > 0.0, "an up-cut cutter lifts");
    }

    #[test]
    fn nothing_to_cut_gives_nothing() {
        let loads = Loads::of(&CUTTER, &bite(&[]), SETTING).expect("a cut of no depth");
        assert_eq!((loads.power_w, loads.in_plane_peak_n), (Band::ZERO, Band::ZERO));
    }

    #[test]
    fn without_feed_the_edge_rubs() {
        let layers = [Layer { thickness_mm: 9.0, law: FIBREBOARD }];
        let still = Setting { feed_mm_min: 0.0, ..SETTING };
        let loads = Loads::of(&CUTTER, &bite(&layers), still).expect("a cut");
        assert!((loads.tangential_n.likely - 9.0 * 2.0).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_cut_has_no_loads() {
        let layers = [Layer { thickness_mm: 9.0, law: FIBREBOARD }];
        let none = |cutter: Cutter, setting| Loads::of(&cutter, &bite(&layers), setting).is_none();
        assert!(none(Cutter { flutes: 0, ..CUTTER }, SETTING));
        assert!(none(Cutter { diameter_mm: 0.0, ..CUTTER }, SETTING));
        assert!(none(CUTTER, Setting { speed_rpm: 0.0, ..SETTING }));
        assert!(none(CUTTER, Setting { feed_mm_min: -1.0, ..SETTING }));
        assert!(none(CUTTER, Setting { feed_mm_min: f64::NAN, ..SETTING }));
    }
}
