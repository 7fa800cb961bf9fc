//! Life at any condition from the life at one: the extended Taylor equation.

use kw_base::math;

/// Exponents of V·Tⁿ·f^n1·d^n2 = C (P. N. Rao, Manufacturing Technology vol. 2, 2nd ed. 2009,
/// equation 2.68).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaylorExponents {
    /// n, of life; above 0.
    pub life: f64,
    /// n1, of feed; 0 for no influence.
    pub feed: f64,
    /// n2, of depth; 0 for no influence.
    pub depth: f64,
}

/// What a tool is run at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CuttingCondition {
    /// Surface speed, m/min.
    pub speed_m_min: f64,
    /// Feed per tooth, mm.
    pub feed_per_tooth_mm: f64,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Wear of the edge by this material relative to another, e.g. to fibreboard.
    pub abrasion: f64,
}

/// Life of a tool at a reference condition, and how it changes away from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReferenceLife {
    /// Cutting time until worn at the reference, min, above 0.
    pub life_min: f64,
    /// The reference.
    pub at: CuttingCondition,
    /// Exponents.
    pub exponents: TaylorExponents,
}

impl ReferenceLife {
    /// Life, min, at another condition: by the extended Taylor equation, divided by the ratio of
    /// abrasion.
    ///
    /// Endless where speed or abrasion is 0; a feed or depth of 0 counts as no wear only if its
    /// exponent is above 0.
    pub fn life_min(&self, condition: &CuttingCondition) -> f64 {
        let harm = self.harm(condition);
        if harm > 0.0 { self.life_min / harm } else { f64::INFINITY }
    }

    /// Feed over feed at equal life when the speed is multiplied by `speed_ratio`; `None` if feed
    /// has no influence.
    pub fn equal_life_feed_ratio(&self, speed_ratio: f64) -> Option<f64> {
        let TaylorExponents { feed, .. } = self.exponents;
        (feed != 0.0 && speed_ratio > 0.0).then(|| math::pow(speed_ratio, -1.0 / feed))
    }

    /// How many times faster the tool wears than at the reference.
    fn harm(&self, condition: &CuttingCondition) -> f64 {
        let TaylorExponents { life, feed, depth } = self.exponents;
        let power = |now: f64, then: f64, exponent: f64| {
            if exponent == 0.0 { 1.0 } else { math::pow((now / then).max(0.0), exponent / life) }
        };
        power(condition.speed_m_min, self.at.speed_m_min, 1.0)
            * power(condition.feed_per_tooth_mm, self.at.feed_per_tooth_mm, feed)
            * power(condition.depth_mm, self.at.depth_mm, depth)
            * (condition.abrasion / self.at.abrasion)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: CuttingCondition = CuttingCondition {
        speed_m_min: 600.0,
        feed_per_tooth_mm: 0.2,
        depth_mm: 12.0,
        abrasion: 1.0,
    };
    const LIFE: ReferenceLife = ReferenceLife {
        life_min: 240.0,
        at: AT,
        exponents: TaylorExponents { life: 0.3, feed: 0.2, depth: 0.1 },
    };

    #[test]
    fn the_reference_gives_itself_and_everything_harsher_less() {
        assert!((LIFE.life_min(&AT) - 240.0).abs() < 1e-9);
        for harsher in [
            CuttingCondition { speed_m_min: 700.0, ..AT },
            CuttingCondition { feed_per_tooth_mm: 0.3, ..AT },
            CuttingCondition { depth_mm: 18.0, ..AT },
            CuttingCondition { abrasion: 1.2, ..AT },
        ] {
            assert!(LIFE.life_min(&harsher) < 240.0, "{harsher:?}");
        }
        let glass = CuttingCondition { abrasion: 10.0, ..AT };
        assert!((LIFE.life_min(&glass) - 24.0).abs() < 1e-9);
    }

    #[test]
    fn no_speed_no_wear() {
        let still = CuttingCondition { speed_m_min: 0.0, ..AT };
        assert_eq!(LIFE.life_min(&still), f64::INFINITY);
        let plain = ReferenceLife {
            exponents: TaylorExponents { life: 0.3, feed: 0.0, depth: 0.0 },
            ..LIFE
        };
        let no_feed = CuttingCondition { feed_per_tooth_mm: 0.0, ..AT };
        assert!((plain.life_min(&no_feed) - 240.0).abs() < 1e-9);
        assert_eq!(plain.equal_life_feed_ratio(2.0), None);
    }
}
