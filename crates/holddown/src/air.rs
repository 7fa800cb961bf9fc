//! Air as the ideal gas that all flows here use, at one temperature throughout.
//!
//! Pressures are absolute, Pa; "vacuum" is ambient minus absolute pressure.

use kw_base::math;

/// Pressure of the standard atmosphere at sea level, Pa (ISO 2533).
pub const STANDARD_AMBIENT_PA: f64 = 101_325.0;
/// Specific gas constant of dry air, J/(kg K) (ISO 2533, rounded).
pub const GAS_CONSTANT_J_KG_K: f64 = 287.05;
/// Ratio of the specific heats of air.
pub const HEAT_RATIO: f64 = 1.4;
/// Standard acceleration of free fall, m/s² (ISO 80000-3).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Altitude range of [`ambient_pressure_pa`], m: the troposphere of ISO 2533, floor widened a
/// little for mines and dry basins.
const ALTITUDE_RANGE_M: (f64, f64) = (-500.0, 11_000.0);

/// The air of a shop on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Ambient pressure, Pa absolute.
    pub ambient_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

impl Default for Air {
    /// Sea level, 20 °C, 1.81e-5 Pa s: the reference state of all check cases.
    fn default() -> Self {
        Self { ambient_pa: STANDARD_AMBIENT_PA, temperature_k: 293.15, viscosity_pa_s: 1.81e-5 }
    }
}

impl Air {
    /// Air of the standard atmosphere at this altitude (m) and shop temperature (K).
    pub fn at_altitude(altitude_m: f64, temperature_k: f64) -> Self {
        Self {
            ambient_pa: ambient_pressure_pa(altitude_m),
            temperature_k,
            viscosity_pa_s: viscosity_pa_s(temperature_k),
        }
    }

    /// Gas constant times temperature, J/kg.
    pub fn rt(&self) -> f64 {
        GAS_CONSTANT_J_KG_K * self.temperature_k
    }

    /// Density at ambient pressure, kg/m³.
    pub fn density_kg_m3(&self) -> f64 {
        self.ambient_pa / self.rt()
    }

    /// Volume flow at ambient pressure ("free air"), m³/h, of a mass flow in kg/s.
    pub fn free_air_m3_h(&self, mass_flow_kg_s: f64) -> f64 {
        mass_flow_kg_s / self.density_kg_m3() * 3600.0
    }
}

/// Ambient pressure at an altitude, Pa: 101325 (1 − 2.25577e-5 H)^5.25588.
///
/// Troposphere of ISO 2533 (constants from memory); altitudes outside −500 to 11 000 m are taken
/// as the nearest end.
pub fn ambient_pressure_pa(altitude_m: f64) -> f64 {
    let altitude_m = altitude_m.clamp(ALTITUDE_RANGE_M.0, ALTITUDE_RANGE_M.1);
    STANDARD_AMBIENT_PA * math::pow(1.0 - 2.255_77e-5 * altitude_m, 5.255_88)
}

/// Dynamic viscosity of air, Pa s: 1.458e-6 T^1.5 / (T + 110.4).
///
/// Sutherland form of the US Standard Atmosphere 1976 (constants from memory).
pub fn viscosity_pa_s(temperature_k: f64) -> f64 {
    1.458e-6 * temperature_k * temperature_k.sqrt() / (temperature_k + 110.4)
}

/// Published fits of the slip pressure b in k_app = k (1 + b/p).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlipFit {
    /// b = 0.98 k^−0.33, a default of reservoir codes (from memory).
    Reservoir,
    /// b = 0.11 k^−0.39, Heid's form (from memory).
    Heid,
}

/// Slip pressure b, Pa, of a porous body of this permeability (m²); 0 for a sealed body.
///
/// Fitted to rock, not to board: a guess at the size of the effect. A permeability measured near
/// one bar already holds most of it, so the model leaves b at 0 unless told otherwise.
pub fn slip_pressure_pa(permeability_m2: f64, fit: SlipFit) -> f64 {
    if permeability_m2 <= 0.0 {
        return 0.0;
    }
    match fit {
        SlipFit::Reservoir => 0.98 * math::pow(permeability_m2, -0.33),
        SlipFit::Heid => 0.11 * math::pow(permeability_m2, -0.39),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ambient_pressure_falls_as_in_the_standard_atmosphere() {
        // ISO 2533 form, facts 1.1.
        let expected = [
            (0.0, 101_325.0),
            (500.0, 95_461.0),
            (1000.0, 89_875.0),
            (1500.0, 84_556.0),
            (2000.0, 79_495.0),
        ];
        for (altitude, pa) in expected {
            assert!((ambient_pressure_pa(altitude) - pa).abs() < 1.0, "{altitude} m");
        }
        assert!(ambient_pressure_pa(1e9) > 0.0);
    }

    #[test]
    fn viscosity_follows_sutherland() {
        for (celsius, expected) in [(15.0, 1.789e-5), (20.0, 1.813e-5), (40.0, 1.908e-5)] {
            let got = viscosity_pa_s(celsius + 273.15);
            assert!((got / expected - 1.0).abs() < 1e-3, "{celsius} degrees: {got}");
        }
    }

    #[test]
    fn slip_has_the_size_of_the_published_fits() {
        assert!((slip_pressure_pa(1e-13, SlipFit::Reservoir) / 19_100.0 - 1.0).abs() < 5e-3);
        assert!((slip_pressure_pa(1e-13, SlipFit::Heid) / 12_900.0 - 1.0).abs() < 5e-3);
        assert_eq!(slip_pressure_pa(0.0, SlipFit::Heid), 0.0);
    }

    #[test]
    fn reference_air_has_the_constants_of_the_check_cases() {
        let air = Air::default();
        assert!((air.rt() - 84_148.7).abs() < 0.05);
        assert!((air.density_kg_m3() - 1.2041).abs() < 5e-5);
    }
}
