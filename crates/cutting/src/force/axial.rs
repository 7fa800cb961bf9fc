//! Force along the tool's axis: from the helix of its flutes, with the sign that lifts or presses.

use kw_base::{Band, math};

/// Rake and friction angle, rad, of the oblique model at the low end of [`axial_ratio`]: 10° and
/// 30°, a usual carbide cutter. From memory.
const USUAL_RAKE_RAD: f64 = core::f64::consts::PI / 18.0;
const USUAL_FRICTION_RAD: f64 = core::f64::consts::FRAC_PI_6;

/// Helix of the flutes of a cutter that turns clockwise seen from its spindle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Helix {
    /// Angle at the tip, rad, within ±π/2: positive lifts the material and pulls the tool out of
    /// its holder (up-cut), negative presses the material down (down-cut), 0 is straight.
    pub angle_rad: f64,
    /// Compression cutter: height above the tip, mm, from which on the helix runs the other way.
    pub reversed_above_mm: Option<f64>,
}

impl Helix {
    /// Straight flutes.
    pub const STRAIGHT: Self = Self { angle_rad: 0.0, reversed_above_mm: None };

    /// Net share, −1…1, of an edge cutting from `from_mm` to `to_mm` above the tip that lifts:
    /// 1 for an up-cut cutter, (a_up − a_dn)/ap for a compression cutter, 0 for straight flutes or
    /// nothing cut.
    pub fn lift_share(&self, from_mm: f64, to_mm: f64) -> f64 {
        let cut_mm = to_mm - from_mm;
        if self.angle_rad == 0.0 || cut_mm.is_nan() || cut_mm <= 0.0 {
            return 0.0;
        }
        let turn_mm = self.reversed_above_mm.unwrap_or(f64::INFINITY).clamp(from_mm, to_mm);
        self.angle_rad.signum() * ((turn_mm - from_mm) - (to_mm - turn_mm)) / cut_mm
    }

    /// Net lift, N, positive away from the table, of a cutter with `tangential_n` spread evenly
    /// from `from_mm` to `to_mm` above its tip; `ratio` is axial over tangential force.
    pub fn net_lift_n(
        &self,
        tangential_n: Band,
        ratio: Band,
        (from_mm, to_mm): (f64, f64),
    ) -> Band {
        tangential_n * ratio * self.lift_share(from_mm, to_mm)
    }
}

/// Axial over tangential force of an edge without friction: tan λ, an upper bound and the safe
/// figure for holding parts down. Common practice, no source.
pub fn axial_ratio_bound(helix_rad: f64) -> f64 {
    math::tan(helix_rad.abs())
}

/// Axial over tangential force by the oblique model with chip flow along the helix (Altintas,
/// Manufacturing Automation, 2nd ed. 2012):
/// tan λ·[cos(βn−αn) − sin βn]/[cos(βn−αn) + tan²λ·sin βn].
///
/// Angles in rad: normal rake αn and friction βn within 0…π/4 and λ below π/2.
pub fn axial_ratio_oblique(helix_rad: f64, rake_rad: f64, friction_rad: f64) -> f64 {
    let tan = axial_ratio_bound(helix_rad);
    let cos = math::cos(friction_rad - rake_rad);
    let sin = math::sin(friction_rad);
    tan * (cos - sin) / (cos + tan * tan * sin)
}

/// Band of axial over tangential force where rake and friction are not known: from the oblique
/// model (10°, 30°) up to the bound, halfway as the likely value. Published ratios for aluminium,
/// 0.29 to 0.43, lie in between (Chinese J. Mech. Eng. 2021, table 5).
pub fn axial_ratio(helix_rad: f64) -> Band {
    let high = axial_ratio_bound(helix_rad);
    let low = axial_ratio_oblique(helix_rad, USUAL_RAKE_RAD, USUAL_FRICTION_RAD);
    Band { low, likely: 0.5 * (low + high), high }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_follow_the_helix() {
        let up = Helix { angle_rad: 0.5, reversed_above_mm: None };
        let down = Helix { angle_rad: -0.5, reversed_above_mm: None };
        assert_eq!(up.lift_share(0.0, 18.0), 1.0);
        assert_eq!(down.lift_share(0.0, 18.0), -1.0);
        assert_eq!(Helix::STRAIGHT.lift_share(0.0, 18.0), 0.0);
        assert_eq!(up.lift_share(5.0, 5.0), 0.0);
        let force = Band { low: 50.0, likely: 80.0, high: 120.0 };
        let pressed = down.net_lift_n(force, axial_ratio(0.5), (0.0, 18.0));
        assert!(pressed.is_ordered() && pressed.high < 0.0);
    }

    #[test]
    fn a_compression_cutter_lifts_until_its_upper_flutes_reach_the_sheet() {
        let helix = Helix { angle_rad: 0.5, reversed_above_mm: Some(6.0) };
        assert_eq!(helix.lift_share(0.0, 4.0), 1.0);
        assert_eq!(helix.lift_share(0.0, 12.0), 0.0);
        assert!((helix.lift_share(0.0, 18.0) + 1.0 / 3.0).abs() < 1e-15);
        assert_eq!(helix.lift_share(8.0, 18.0), -1.0);
    }

    #[test]
    fn published_ratios_lie_in_the_band() {
        let at_30 = axial_ratio(core::f64::consts::FRAC_PI_6);
        assert!(at_30.contains(0.29) && at_30.contains(0.433));
        assert!(axial_ratio(0.0) == Band::ZERO);
    }
}
