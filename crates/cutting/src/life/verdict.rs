//! Whether a fit may be used to plan changes.

use super::WeibullFit;

/// Scale over longest observed time above which a life is read off far beyond what was seen. Our
/// choice: the data then tell of early failures, not of how long tools last.
const FAR_BEYOND: f64 = 10.0;

/// What the 95 % interval of the shape says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ageing {
    /// All above 1: tools wear; a planned change can pay.
    WearsOut,
    /// Holds 1: wear is not shown; more observations are needed.
    NotShown,
    /// All below 1: failures come early, from a few bad tools or loads; changing makes it worse.
    FailsEarly,
}

/// What a fit is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Verdict {
    /// What the shape says.
    pub ageing: Ageing,
    /// Whether the scale lies far beyond the longest time observed.
    pub beyond_observed: bool,
}

impl Verdict {
    /// Whether a life or a change level may be read from the fit.
    pub fn is_usable(self) -> bool {
        self.ageing == Ageing::WearsOut && !self.beyond_observed
    }

    /// What to tell people, one line.
    pub fn words(self) -> &'static str {
        match (self.ageing, self.beyond_observed) {
            (Ageing::WearsOut, false) => "tools wear out: a planned change can pay",
            (Ageing::NotShown, false) => {
                "too few worn-out tools to show wear: keep logging before planning changes by this"
            }
            (Ageing::FailsEarly, _) => {
                "early failures of a few tools, not wear: look for their cause; no life can be \
                 read from this"
            }
            (_, true) => {
                "nearly all tools were taken out long before they wear: no life can be read from \
                 this"
            }
        }
    }
}

impl WeibullFit {
    /// Whether the fit may be used to plan changes.
    pub fn verdict(&self) -> Verdict {
        let (low, high) = self.shape_95();
        let ageing = if low > 1.0 {
            Ageing::WearsOut
        } else if high < 1.0 {
            Ageing::FailsEarly
        } else {
            Ageing::NotShown
        };
        // an interval that is no number shows nothing
        Verdict { ageing, beyond_observed: self.lives.scale() > FAR_BEYOND * self.longest }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::life::{LifeEnd, Observation, fit_weibull};

    fn verdict(worn: &[f64], taken: (f64, u32)) -> Verdict {
        let mut lives: Vec<_> = worn
            .iter()
            .map(|&time| Observation { time, end: LifeEnd::WornOut, count: 1 })
            .collect();
        lives.push(Observation { time: taken.0, end: LifeEnd::TakenOut, count: taken.1 });
        fit_weibull(&lives).expect("a fit").verdict()
    }

    #[test]
    fn verdicts() {
        let wear = verdict(&[80.0, 90.0, 95.0, 101.0, 104.0, 110.0, 125.0], (60.0, 4));
        assert!(wear.is_usable());
        let early = verdict(&[1.0, 3.0, 8.0, 20.0, 40.0, 70.0, 120.0, 200.0], (45_000.0, 4_000));
        assert_eq!(early, Verdict { ageing: Ageing::FailsEarly, beyond_observed: true });
        let unclear = verdict(&[10.0, 50.0, 90.0], (60.0, 2));
        assert_eq!(unclear, Verdict { ageing: Ageing::NotShown, beyond_observed: false });
        for verdict in [early, unclear] {
            assert!(!verdict.is_usable());
            assert!(verdict.words() != wear.words());
        }
    }
}
