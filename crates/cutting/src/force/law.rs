//! Specific cutting force against chip thickness, in two forms, and the way from one to the other.

use crate::log_line::LogSums;
use kw_base::{Band, math};

/// Linear form: a force on an edge of width b of `b·(Kc·h + Ke)`, hence kc(h) = Kc + Ke/h.
///
/// The form to store: stable at small h, and in plastics and wood Ke reads as fracture toughness,
/// Kc as a yield term (Patel, Blackman & Williams 2009, Eng. Fract. Mech. 76:2711).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinearLaw {
    /// Area part Kc, N/mm², at least 0.
    pub area_n_mm2: Band,
    /// Edge part Ke, N/mm, at least 0.
    pub edge_n_mm: Band,
}

/// Power form (Kienzle): kc(h) = kc1.1·h^(−mc), h in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerLaw {
    /// kc1.1: specific cutting force at h = 1 mm, N/mm².
    pub at_one_mm_n_mm2: Band,
    /// mc, in 0…1.
    pub exponent: f64,
}

/// A power form fitted to measurements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerLawFit {
    /// The law; no band, the scatter is in `worst_share`.
    pub law: PowerLaw,
    /// Largest distance of a measurement from the law, as a share of the law.
    pub worst_share: f64,
}

/// Specific cutting force of one material in either form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CuttingLaw {
    /// Kc + Ke/h.
    Linear(LinearLaw),
    /// kc1.1·h^(−mc).
    Power(PowerLaw),
}

impl LinearLaw {
    /// Both parts known without doubt.
    pub const fn exact(area_n_mm2: f64, edge_n_mm: f64) -> Self {
        Self { area_n_mm2: Band::exact(area_n_mm2), edge_n_mm: Band::exact(edge_n_mm) }
    }

    /// Force on an edge of 1 mm width at chip thickness `chip_mm`, N/mm; below 0 counts as 0, where
    /// the edge part is left: the edge rubs.
    pub fn force_per_width_n_mm(&self, chip_mm: f64) -> Band {
        self.area_n_mm2 * chip_mm.max(0.0) + self.edge_n_mm
    }

    /// The power form that agrees at two thicknesses `0 < thin_mm < thick_mm`; in between it runs
    /// above the linear form, outside below it. `None` for other thicknesses or without force.
    ///
    /// mc = ln(k1/k2)/ln(h2/h1), kc1.1 = k1·h1^mc. The exponent is that of the likely values; the
    /// band of kc1.1 is widened to hold the band of the linear form at both thicknesses.
    pub fn to_power(&self, thin_mm: f64, thick_mm: f64) -> Option<PowerLaw> {
        let law = CuttingLaw::Linear(*self);
        let at_thin = law.specific_n_mm2(thin_mm)?;
        let at_thick = law.specific_n_mm2(thick_mm)?;
        if thick_mm <= thin_mm || at_thick.likely <= 0.0 {
            return None;
        }
        let exponent = math::log(at_thin.likely / at_thick.likely) / math::log(thick_mm / thin_mm);
        let from_thin = at_thin * math::pow(thin_mm, exponent);
        let from_thick = at_thick * math::pow(thick_mm, exponent);
        Some(PowerLaw {
            at_one_mm_n_mm2: Band {
                low: from_thin.low.min(from_thick.low),
                likely: from_thin.likely,
                high: from_thin.high.max(from_thick.high),
            },
            exponent,
        })
    }
}

impl PowerLaw {
    /// Both figures known without doubt.
    pub const fn exact(at_one_mm_n_mm2: f64, exponent: f64) -> Self {
        Self { at_one_mm_n_mm2: Band::exact(at_one_mm_n_mm2), exponent }
    }

    /// Force on an edge of 1 mm width at chip thickness `chip_mm`, N/mm; 0 without a chip.
    pub fn force_per_width_n_mm(&self, chip_mm: f64) -> Band {
        if chip_mm > 0.0 {
            self.at_one_mm_n_mm2 * math::pow(chip_mm, 1.0 - self.exponent)
        } else {
            Band::ZERO
        }
    }

    /// The law through measurements (chip thickness mm, specific cutting force N/mm²), by least
    /// squares in logarithms; `None` for fewer than two thicknesses or values not above 0.
    pub fn fit(measured: &[(f64, f64)]) -> Option<PowerLawFit> {
        let sums = LogSums::of(measured).filter(|sums| sums.xx > 0.0)?;
        let exponent = -sums.xy / sums.xx;
        let law = Self::exact(math::exp(sums.mean_y + exponent * sums.mean_x), exponent);
        let share = |&(chip_mm, force): &(f64, f64)| {
            (force / (law.at_one_mm_n_mm2.likely * math::pow(chip_mm, -exponent)) - 1.0).abs()
        };
        Some(PowerLawFit { law, worst_share: measured.iter().map(share).fold(0.0, f64::max) })
    }

    /// The linear form that agrees at two thicknesses `0 < thin_mm < thick_mm`; `None` for other
    /// thicknesses.
    pub fn to_linear(&self, thin_mm: f64, thick_mm: f64) -> Option<LinearLaw> {
        if !(0.0 < thin_mm && thin_mm < thick_mm) {
            return None;
        }
        let thin_share = math::pow(thin_mm, -self.exponent);
        let thick_share = math::pow(thick_mm, -self.exponent);
        let edge_share = (thin_share - thick_share) / (1.0 / thin_mm - 1.0 / thick_mm);
        Some(LinearLaw {
            area_n_mm2: self.at_one_mm_n_mm2 * (thin_share - edge_share / thin_mm),
            edge_n_mm: self.at_one_mm_n_mm2 * edge_share,
        })
    }
}

impl CuttingLaw {
    /// Specific cutting force kc at chip thickness `chip_mm`, N/mm²; `None` unless that is above 0.
    pub fn specific_n_mm2(&self, chip_mm: f64) -> Option<Band> {
        (chip_mm > 0.0).then(|| match self {
            Self::Linear(law) => law.area_n_mm2 + law.edge_n_mm * chip_mm.recip(),
            Self::Power(law) => law.at_one_mm_n_mm2 * math::pow(chip_mm, -law.exponent),
        })
    }

    /// Force on an edge of 1 mm width, kc(h)·h, N/mm; also defined without a chip.
    pub fn force_per_width_n_mm(&self, chip_mm: f64) -> Band {
        match self {
            Self::Linear(law) => law.force_per_width_n_mm(chip_mm),
            Self::Power(law) => law.force_per_width_n_mm(chip_mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_forms_turn_into_one_another_and_back() {
        let linear = LinearLaw {
            area_n_mm2: Band::give_or_take(25.0, 0.5),
            edge_n_mm: Band::give_or_take(2.0, 0.5),
        };
        let power = linear.to_power(0.05, 0.4).expect("falling");
        let back = power.to_linear(0.05, 0.4).expect("two thicknesses");
        assert!((back.area_n_mm2.likely - 25.0).abs() < 1e-9);
        assert!((back.edge_n_mm.likely - 2.0).abs() < 1e-9);
        assert!((back.area_n_mm2.high - 37.5).abs() < 1e-9);
        assert!((back.edge_n_mm.low - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_power_form_runs_above_in_between() {
        let linear = LinearLaw::exact(25.0, 2.0);
        let power = CuttingLaw::Power(linear.to_power(0.05, 0.4).expect("falling"));
        let linear = CuttingLaw::Linear(linear);
        let gap = |chip| {
            power.specific_n_mm2(chip).expect("a chip").likely
                - linear.specific_n_mm2(chip).expect("a chip").likely
        };
        assert!(gap(0.15) > 0.0 && gap(0.01) < 0.0 && gap(1.0) < 0.0);
    }

    #[test]
    fn no_chip_leaves_the_edge_part() {
        let linear = CuttingLaw::Linear(LinearLaw::exact(25.0, 2.0));
        assert_eq!(linear.specific_n_mm2(0.0), None);
        assert_eq!(linear.force_per_width_n_mm(-1.0), Band::exact(2.0));
        let power = CuttingLaw::Power(PowerLaw::exact(700.0, 0.18));
        assert_eq!(power.force_per_width_n_mm(0.0), Band::ZERO);
    }

    #[test]
    fn a_fit_needs_two_thicknesses() {
        assert_eq!(PowerLaw::fit(&[(0.1, 800.0)]), None);
        assert_eq!(PowerLaw::fit(&[(0.1, 800.0), (0.1, 900.0)]), None);
        assert_eq!(PowerLaw::fit(&[(0.1, 800.0), (0.0, 900.0)]), None);
        let fit = PowerLaw::fit(&[(0.1, 800.0), (0.4, 400.0)]).expect("two thicknesses");
        assert!((fit.law.exponent - 0.5).abs() < 1e-12 && fit.worst_share < 1e-12);
    }

    #[test]
    fn thicknesses_out_of_order_have_no_conversion() {
        let linear = LinearLaw::exact(25.0, 2.0);
        assert_eq!(linear.to_power(0.2, 0.1), None);
        assert_eq!(linear.to_power(0.0, 0.1), None);
        assert_eq!(LinearLaw::exact(0.0, 0.0).to_power(0.1, 0.2), None);
        assert_eq!(PowerLaw::exact(700.0, 0.18).to_linear(0.1, 0.1), None);
    }
}
