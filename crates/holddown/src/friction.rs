//! Friction to start from between sheet and board.
//!
//! None of the pairs met on a spoilboard was found in a source read, so the likely values are
//! judgements. The low end is three quarters of the likely value, the kinetic share of the CTU Code
//! (IMO/ILO/UNECE, Annex 7, appendix 2): dust, oil and strong vibration take that much away.

use kw_base::Band;

/// The underside of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Underside {
    /// Raw wood-based panel.
    RawPanel,
    /// Laminated or coated panel.
    LaminatedPanel,
    /// Aluminium.
    Aluminium,
    /// Plastic or film-faced sheet.
    PlasticOrFilm,
    /// Rubber gasket: only for the share of the load that the gasket carries.
    RubberGasket,
}

impl Underside {
    /// Band of the coefficient of static friction on raw fibreboard.
    ///
    /// High ends: raw MDF on steel 0.77 and laminated chipboard on steel 0.33 (Kukla, Warguła &
    /// Biszczanik, Wood Research 66(5) 789–805, 2021); timber on grooved aluminium 0.40, plastic on
    /// plywood 0.20 (CTU Code, swept clean), anti-slip rubber 0.6 (same, from memory).
    pub fn friction(self) -> Band {
        let (likely, high) = match self {
            Self::RawPanel => (0.30, 0.77),
            Self::LaminatedPanel => (0.25, 0.33),
            Self::Aluminium => (0.20, 0.40),
            Self::PlasticOrFilm => (0.15, 0.20),
            Self::RubberGasket => (0.50, 0.60),
        };
        Band { low: KINETIC_SHARE * likely, likely, high }
    }
}

const KINETIC_SHARE: f64 = 0.75;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_bands_rise() {
        use Underside as U;
        for face in
            [U::RawPanel, U::LaminatedPanel, U::Aluminium, U::PlasticOrFilm, U::RubberGasket]
        {
            assert!(face.friction().is_ordered(), "{face:?}");
        }
        assert!((Underside::RawPanel.friction().low - 0.225).abs() < 1e-12);
    }
}
