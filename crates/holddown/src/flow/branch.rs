//! The law of a branch between two nodes of the network.

use super::Flow;

/// ψ1 − ψ2 = a m + B m |m| with ψ = p²: laminar plus turbulent loss of a pipe with valves and fittings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchLaw {
    /// a, Pa² s/kg, above 0.
    pub laminar: f64,
    /// B, Pa² s²/kg², at least 0.
    pub quadratic: f64,
}

impl BranchLaw {
    /// A branch so short and wide that it loses nothing worth counting (0.01 Pa at 0.1 kg/s and 50 kPa).
    pub const SHORT: Self = Self { laminar: 1e4, quadratic: 0.0 };

    /// Mass flow, kg/s, for a difference ψ1 − ψ2 in Pa²; slope in kg/(s Pa²). Odd and rising.
    pub fn flow(&self, difference_pa2: f64) -> Flow {
        let root =
            (self.laminar * self.laminar + 4.0 * self.quadratic * difference_pa2.abs()).sqrt();
        Flow { kg_s: 2.0 * difference_pa2 / (self.laminar + root), slope: 1.0 / root }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flow_solves_its_own_law() {
        let law = BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 };
        for difference in [-1e9, -3.0, 0.0, 1.0, 1e5, 1e9] {
            let m = law.flow(difference).kg_s;
            let back = law.laminar * m + law.quadratic * m * m.abs();
            assert!((back - difference).abs() <= 1e-9 * difference.abs(), "{difference}");
        }
        let (low, high) = (law.flow(1e6).kg_s, law.flow(1e6 + 1.0).kg_s);
        assert!((high - low - law.flow(1e6).slope).abs() < 1e-6 * (high - low));
    }
}
