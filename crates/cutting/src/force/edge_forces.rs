//! Forces on a straight edge from measured coefficients, at an instant and averaged over a turn.
//!
//! Model: Altintas, Manufacturing Automation, 2nd ed. 2012: each component on an edge of depth ap
//! is ap·(K·h + Ke). The averages are derived anew by integration over the arc.

use super::LinearLaw;
use kw_base::{
    Band,
    math::{self, PI},
};

/// Cutting coefficients of a material and tool, one line each for three directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeCoefficients {
    /// Along the cutting speed.
    pub tangential: LinearLaw,
    /// Towards the tool's axis.
    pub radial: LinearLaw,
    /// Along the tool's axis.
    pub axial: LinearLaw,
}

/// Forces on one edge at an instant, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeForces {
    /// Against the cutting speed.
    pub tangential_n: Band,
    /// Pushing edge and material apart.
    pub radial_n: Band,
    /// Along the axis.
    pub axial_n: Band,
}

/// Forces on the tool averaged over a turn, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AverageForces {
    /// Along the feed.
    pub feed_n: Band,
    /// Square to the feed, in the plane of the sheet.
    pub normal_n: Band,
    /// Along the axis.
    pub axial_n: Band,
}

/// What an average over a turn needs besides coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rotation {
    /// Number of flutes.
    pub flutes: u32,
    /// Axial depth, mm.
    pub axial_mm: f64,
    /// Feed per tooth, mm.
    pub feed_per_tooth_mm: f64,
    /// Angles at which an edge enters and leaves, rad (`Engagement::entry_exit_rad`).
    pub entry_exit_rad: (f64, f64),
}

impl EdgeCoefficients {
    /// Forces on one edge of depth `axial_mm` at chip thickness `chip_mm`.
    pub fn on_edge(&self, axial_mm: f64, chip_mm: f64) -> EdgeForces {
        let component = |law: &LinearLaw| law.force_per_width_n_mm(chip_mm) * axial_mm;
        EdgeForces {
            tangential_n: component(&self.tangential),
            radial_n: component(&self.radial),
            axial_n: component(&self.axial),
        }
    }

    /// Average over a turn of a straight-fluted cutter. In a slot: feed −z·ap·(Krc·fz/4 + Kre/π),
    /// normal z·ap·(Ktc·fz/4 + Kte/π), axial z·ap·(Kac·fz/π + Kae/2).
    pub fn average(&self, turn: &Rotation) -> AverageForces {
        let integrals = Integrals::over(turn.entry_exit_rad);
        let edge = f64::from(turn.flutes) * turn.axial_mm / (2.0 * PI);
        let area = edge * turn.feed_per_tooth_mm;
        let (t, r, a) = (&self.tangential, &self.radial, &self.axial);
        let Integrals { sin, cos, sin_sq, sin_cos, angle } = integrals;
        AverageForces {
            feed_n: t.area_n_mm2 * (-area * sin_cos)
                + t.edge_n_mm * (-edge * cos)
                + r.area_n_mm2 * (-area * sin_sq)
                + r.edge_n_mm * (-edge * sin),
            normal_n: t.area_n_mm2 * (area * sin_sq)
                + t.edge_n_mm * (edge * sin)
                + r.area_n_mm2 * (-area * sin_cos)
                + r.edge_n_mm * (-edge * cos),
            axial_n: a.area_n_mm2 * (area * sin) + a.edge_n_mm * (edge * angle),
        }
    }
}

/// Integrals over the arc in the material.
struct Integrals {
    sin: f64,
    cos: f64,
    sin_sq: f64,
    sin_cos: f64,
    angle: f64,
}

impl Integrals {
    fn over((entry, exit): (f64, f64)) -> Self {
        let twice = (math::sin(2.0 * exit) - math::sin(2.0 * entry)) / 4.0;
        let squares = |angle: f64| math::sin(angle) * math::sin(angle);
        Self {
            sin: math::cos(entry) - math::cos(exit),
            cos: math::sin(exit) - math::sin(entry),
            sin_sq: (exit - entry) / 2.0 - twice,
            sin_cos: (squares(exit) - squares(entry)) / 2.0,
            angle: exit - entry,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chip::{Engagement, Side};

    /// 6082-T6, "Milling force model for aviation aluminum alloy", Chinese J. Mech. Eng. 2021.
    const ALUMINIUM: EdgeCoefficients = EdgeCoefficients {
        tangential: LinearLaw::exact(631.0, 13.0),
        radial: LinearLaw::exact(99.0, 10.0),
        axial: LinearLaw::exact(273.0, 2.8),
    };

    #[test]
    fn closed_forms_agree_with_stepping_round() {
        for (radial_mm, side) in [(1.0, Side::Climb), (4.0, Side::Conventional), (6.0, Side::Climb)]
        {
            let cut = Engagement::new(6.0, radial_mm).expect("a diameter");
            let turn = Rotation {
                flutes: 3,
                axial_mm: 2.5,
                feed_per_tooth_mm: 0.06,
                entry_exit_rad: cut.entry_exit_rad(side),
            };
            let (mut feed, mut normal, mut axial) = (0.0, 0.0, 0.0);
            let (entry, exit) = turn.entry_exit_rad;
            let steps = 20_000;
            for i in 0..steps {
                let angle = entry + (exit - entry) * (f64::from(i) + 0.5) / f64::from(steps);
                let on = ALUMINIUM.on_edge(2.5, cut.chip_at_mm(0.06, angle));
                let (sin, cos) = (math::sin(angle), math::cos(angle));
                feed -= on.tangential_n.likely * cos + on.radial_n.likely * sin;
                normal += on.tangential_n.likely * sin - on.radial_n.likely * cos;
                axial += on.axial_n.likely;
            }
            let weight = 3.0 * (exit - entry) / (2.0 * PI) / f64::from(steps);
            let got = ALUMINIUM.average(&turn);
            for (got, want) in [(got.feed_n, feed), (got.normal_n, normal), (got.axial_n, axial)] {
                assert!((got.likely - want * weight).abs() < 1e-4, "{got:?} {want} {side:?}");
            }
        }
    }
}
