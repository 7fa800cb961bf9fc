//! Chip thickness that suits a material: too thin rubs and burns, too thick breaks the edge.
//!
//! No published table of diameter by material could be found; this one is common practice.

use kw_base::{Band, math};

/// Who says so.
pub const SOURCE: &str = "common practice, no source";

/// Chip thickness below which an edge rubs in wood and plastics (heat, burn marks), mm. Common
/// practice, no source.
pub const RUBBING_CHIP_MM: Band = Band { low: 0.02, likely: 0.025, high: 0.03 };

/// Share of the window by axial depth in diameters, held beyond both ends.
const DEPTH_SHARE: [(f64, f64); 3] = [(1.0, 1.0), (2.0, 0.75), (3.0, 0.5)];

/// Diameters of the table, mm.
const DIAMETERS_MM: [f64; 4] = [3.0, 6.0, 10.0, 12.0];

/// Families of materials that share a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ChipFamily {
    /// Fibreboard and particleboard.
    FibreBoard,
    /// Softwood and plywood.
    SoftwoodPlywood,
    /// Hardwood.
    Hardwood,
    /// Compact laminate.
    Laminate,
    /// HDPE, PP, PC.
    SoftPlastic,
    /// Acrylic, rigid PVC.
    HardPlastic,
    /// Aluminium and composite panel.
    Aluminium,
    /// Rigid foam.
    RigidFoam,
}

/// Feed per tooth that suits a material and cutter, mm, in cuts of at least half the diameter;
/// with less radial depth the largest chip should lie in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChipWindow {
    /// Below: rubbing, heat.
    pub low_mm: f64,
    /// Above: broken edges, torn material.
    pub high_mm: f64,
    /// Where it comes from.
    pub source: &'static str,
}

impl ChipFamily {
    /// All families.
    pub const ALL: [Self; 8] = [
        Self::FibreBoard,
        Self::SoftwoodPlywood,
        Self::Hardwood,
        Self::Laminate,
        Self::SoftPlastic,
        Self::HardPlastic,
        Self::Aluminium,
        Self::RigidFoam,
    ];

    /// The window for a carbide cutter of `diameter_mm` cutting `axial_mm` deep; `None` unless the
    /// diameter is above 0.
    ///
    /// Straight between diameters of the table, in proportion to the diameter below 3 mm, held
    /// above 12 mm. Full up to one diameter of depth, ×0.75 at two, ×0.5 from three on.
    pub fn window(self, diameter_mm: f64, axial_mm: f64) -> Option<ChipWindow> {
        if diameter_mm.is_nan() || diameter_mm <= 0.0 {
            return None;
        }
        let small = (diameter_mm / DIAMETERS_MM[0]).min(1.0);
        let share = small * math::interpolate(&DEPTH_SHARE, axial_mm / diameter_mm)?;
        let rows = self.rows();
        let end = |side: usize| {
            let table: [(f64, f64); 4] = std::array::from_fn(|i| (DIAMETERS_MM[i], rows[i][side]));
            math::interpolate(&table, diameter_mm)
        };
        Some(ChipWindow { low_mm: end(0)? * share, high_mm: end(1)? * share, source: SOURCE })
    }

    /// Chip thickness below which the edge rubs, mm; none known for metal.
    pub fn rubbing_chip_mm(self) -> Option<Band> {
        (self != Self::Aluminium).then_some(RUBBING_CHIP_MM)
    }

    /// Windows, mm, at the diameters of the table.
    fn rows(self) -> [[f64; 2]; 4] {
        match self {
            Self::FibreBoard => [[0.10, 0.18], [0.33, 0.41], [0.51, 0.58], [0.64, 0.69]],
            Self::SoftwoodPlywood => [[0.10, 0.15], [0.28, 0.33], [0.43, 0.51], [0.53, 0.58]],
            Self::Hardwood => [[0.08, 0.13], [0.23, 0.28], [0.38, 0.46], [0.48, 0.53]],
            Self::Laminate => [[0.08, 0.13], [0.23, 0.30], [0.38, 0.46], [0.58, 0.64]],
            Self::SoftPlastic => [[0.08, 0.15], [0.18, 0.25], [0.25, 0.30], [0.30, 0.41]],
            Self::HardPlastic => [[0.05, 0.10], [0.15, 0.23], [0.20, 0.25], [0.25, 0.30]],
            Self::Aluminium => [[0.02, 0.10], [0.05, 0.18], [0.10, 0.20], [0.13, 0.25]],
            Self::RigidFoam => [[0.10, 0.30], [0.20, 0.60], [0.30, 0.80], [0.40, 1.00]],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(family: ChipFamily, diameter_mm: f64, axial_mm: f64) -> ChipWindow {
        family.window(diameter_mm, axial_mm).expect("a diameter")
    }

    #[test]
    fn the_table_is_met_and_interpolated() {
        let got = at(ChipFamily::FibreBoard, 12.0, 12.0);
        assert_eq!((got.low_mm, got.high_mm, got.source), (0.64, 0.69, SOURCE));
        let got = at(ChipFamily::HardPlastic, 8.0, 4.0);
        assert!((got.low_mm - 0.175).abs() < 1e-12 && (got.high_mm - 0.24).abs() < 1e-12);
        assert_eq!(at(ChipFamily::Laminate, 20.0, 1.0), at(ChipFamily::Laminate, 12.0, 1.0));
        assert!((at(ChipFamily::RigidFoam, 1.5, 1.0).high_mm - 0.15).abs() < 1e-12);
    }

    #[test]
    fn depth_narrows_it() {
        for (axial_mm, share) in [(3.0, 1.0), (12.0, 0.75), (18.0, 0.5), (60.0, 0.5), (9.0, 0.875)]
        {
            let got = at(ChipFamily::SoftwoodPlywood, 6.0, axial_mm);
            assert!((got.low_mm - 0.28 * share).abs() < 1e-12, "{axial_mm}");
        }
    }

    #[test]
    fn windows_are_in_order_and_grow_with_the_diameter() {
        for family in ChipFamily::ALL {
            let mut before = 0.0;
            for step in 1..60 {
                let window = at(family, f64::from(step) * 0.25, 1.0);
                assert!(0.0 < window.low_mm && window.low_mm < window.high_mm, "{family:?}");
                assert!(window.low_mm >= before, "{family:?} {step}");
                before = window.low_mm;
            }
        }
    }

    #[test]
    fn no_cutter_no_window() {
        assert_eq!(ChipFamily::Hardwood.window(0.0, 1.0), None);
        assert_eq!(ChipFamily::Hardwood.window(f64::NAN, 1.0), None);
        assert_eq!(ChipFamily::Aluminium.rubbing_chip_mm(), None);
        assert_eq!(ChipFamily::Hardwood.rubbing_chip_mm(), Some(RUBBING_CHIP_MM));
    }
}
