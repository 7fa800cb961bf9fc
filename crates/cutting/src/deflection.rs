//! Bending of a cutter as a beam clamped in its holder.
//!
//! The fluted part counts as a round bar of 0.8 times the cutting diameter (Kops & Vo,
//! "Determination of the equivalent diameter of an end mill based on its compliance", CIRP Annals
//! 1990: about 80 % for two and four flutes). Play and bending of holder and spindle are not in it.

use kw_base::{Band, math::PI};

/// Diameter of a round bar that bends like the flutes, over the cutting diameter.
pub const EQUIVALENT_DIAMETER_SHARE: f64 = 0.8;

/// Modulus of elasticity of sintered carbide, N/mm². From memory.
pub const CARBIDE_MODULUS_N_MM2: Band = Band { low: 580e3, likely: 600e3, high: 650e3 };

/// Modulus of elasticity of high-speed steel, N/mm². From memory.
pub const STEEL_MODULUS_N_MM2: Band = Band { low: 200e3, likely: 210e3, high: 220e3 };

/// A cutter as a clamped beam: shank, then flutes to the tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    /// Length out of the holder, mm, above 0.
    pub length_mm: f64,
    /// Cutting diameter, mm, above 0.
    pub flute_diameter_mm: f64,
    /// Length of the flutes, mm; held to 0…`length_mm`.
    pub flute_length_mm: f64,
    /// Diameter of the shank, mm, above 0 where there is one out of the holder.
    pub shank_diameter_mm: f64,
    /// Modulus of elasticity, N/mm², above 0.
    pub modulus_n_mm2: Band,
}

impl Beam {
    /// Flutes all the way up to the holder: the safe figure where the shank is not known.
    pub fn fluted(diameter_mm: f64, length_mm: f64, modulus_n_mm2: Band) -> Self {
        Self {
            length_mm,
            flute_diameter_mm: diameter_mm,
            flute_length_mm: length_mm,
            shank_diameter_mm: diameter_mm,
            modulus_n_mm2,
        }
    }

    /// Movement of the tip, mm, under a force square to the axis at `load_above_tip_mm` (held to
    /// the length). `None` if a length, diameter or modulus is 0, negative or no number.
    ///
    /// Beam theory without shear. At the tip of an even beam F·L³/(3·E·I); of a stepped one
    /// F/(3·E)·[L1³/If + (L³ − L1³)/Is]; off the tip of an even beam F·a²·(3·L − a)/(6·E·I) with a
    /// from the clamp.
    pub fn tip_deflection_mm(&self, force_n: Band, load_above_tip_mm: f64) -> Option<Band> {
        let length = self.length_mm;
        let usable = [length, self.flute_diameter_mm, self.modulus_n_mm2.low];
        let placed = load_above_tip_mm.is_finite() && self.flute_length_mm.is_finite();
        if !placed || !usable.iter().all(|&x| x.is_finite() && x > 0.0) {
            return None;
        }
        let load_at = length - load_above_tip_mm.clamp(0.0, length);
        let step = length - self.flute_length_mm.clamp(0.0, length);
        if step > 0.0 && (self.shank_diameter_mm.is_nan() || self.shank_diameter_mm <= 0.0) {
            return None;
        }
        let flute_bar_mm = EQUIVALENT_DIAMETER_SHARE * self.flute_diameter_mm;
        let in_shank = bending_integral(length, load_at, (0.0, step.min(load_at)));
        let in_flutes = bending_integral(length, load_at, (step.min(load_at), load_at));
        let mut per_stiffness = in_flutes / second_moment_mm4(flute_bar_mm);
        if in_shank > 0.0 {
            per_stiffness += in_shank / second_moment_mm4(self.shank_diameter_mm);
        }
        (force_n * per_stiffness).divided_by(self.modulus_n_mm2)
    }
}

/// Second moment of area of a round bar, mm⁴: π·d⁴/64.
pub fn second_moment_mm4(diameter_mm: f64) -> f64 {
    PI * diameter_mm.powi(4) / 64.0
}

/// ∫ (a − x)·(L − x) dx between two distances x from the clamp, for a load at a on a beam of
/// length L: unit load method.
fn bending_integral(length: f64, load_at: f64, (from, to): (f64, f64)) -> f64 {
    let antiderivative =
        |x: f64| load_at * length * x - (load_at + length) * x * x / 2.0 + x * x * x / 3.0;
    antiderivative(to) - antiderivative(from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn beam() -> Beam {
        Beam {
            length_mm: 40.0,
            flute_diameter_mm: 4.0,
            flute_length_mm: 15.0,
            shank_diameter_mm: 6.0,
            modulus_n_mm2: CARBIDE_MODULUS_N_MM2,
        }
    }

    #[test]
    fn a_stepped_beam_agrees_with_stepping_along_it() {
        for above_tip in [0.0, 4.0, 15.0, 22.0] {
            let (steps, load_at) = (200_000, 40.0 - above_tip);
            let sum: f64 = (0..steps)
                .map(|i| load_at * (f64::from(i) + 0.5) / f64::from(steps))
                .map(|x| {
                    let bar = if x < 25.0 { 6.0 } else { 0.8 * 4.0 };
                    (load_at - x) * (40.0 - x) / second_moment_mm4(bar)
                })
                .sum();
            let want = 20.0 * sum * load_at / f64::from(steps) / 600e3;
            let got = beam().tip_deflection_mm(Band::exact(20.0), above_tip).expect("a beam");
            assert!((got.likely / want - 1.0).abs() < 1e-4, "{above_tip}: {got:?} {want}");
            assert!(got.is_ordered() && got.low < got.high);
        }
    }

    #[test]
    fn a_thick_shank_helps_and_a_shorter_tool_helps_more() {
        let force = Band::exact(20.0);
        let stepped = beam().tip_deflection_mm(force, 0.0).expect("a beam");
        let fluted = Beam::fluted(4.0, 40.0, CARBIDE_MODULUS_N_MM2);
        assert!(stepped.high < fluted.tip_deflection_mm(force, 0.0).expect("a beam").low);
        let short = Beam::fluted(4.0, 20.0, CARBIDE_MODULUS_N_MM2);
        let ratio = fluted.tip_deflection_mm(force, 0.0).expect("a beam").likely
            / short.tip_deflection_mm(force, 0.0).expect("a beam").likely;
        assert!((ratio - 8.0).abs() < 1e-12);
    }

    #[test]
    fn impossible_beams_have_no_answer() {
        let force = Band::exact(20.0);
        for broken in [
            Beam { length_mm: 0.0, ..beam() },
            Beam { flute_diameter_mm: f64::NAN, ..beam() },
            Beam { shank_diameter_mm: 0.0, ..beam() },
            Beam { flute_length_mm: f64::NAN, ..beam() },
            Beam { modulus_n_mm2: Band::ZERO, ..beam() },
        ] {
            assert_eq!(broken.tip_deflection_mm(force, 0.0), None, "{broken:?}");
        }
        assert_eq!(beam().tip_deflection_mm(force, 99.0), Some(Band::ZERO));
        assert_eq!(beam().tip_deflection_mm(force, f64::NAN), None);
    }
}
