//! How long tools of one type last, from what a shop has seen: a two-parameter Weibull fit with
//! tools taken out early as right-censored lives, and when to change so that it costs least.
//!
//! Times may be minutes, edge path or shares of reference life: any one unit throughout.

mod fit;
mod gamma;
mod replacement;
mod verdict;
mod weibull;

pub use fit::{FitError, LifeEnd, Observation, WeibullFit, fit_weibull};
pub use replacement::{ChangeCosts, Replacement};
pub use verdict::{Ageing, Verdict};
pub use weibull::Weibull;
