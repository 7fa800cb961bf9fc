//! A figure with its band and its source.

use serde::Deserialize;

/// A number with the band in which it is believed to lie, and who says so.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// Likely value.
    pub likely: f64,
    /// Low end of the band, at most `likely`.
    pub low: f64,
    /// High end of the band, at least `likely`.
    pub high: f64,
    /// Where it comes from; "common practice, no source" or "from memory" where that is so.
    pub source: String,
}

impl Figure {
    /// Whether all three are finite and in order.
    pub fn is_ordered(&self) -> bool {
        self.low.is_finite()
            && self.high.is_finite()
            && self.low <= self.likely
            && self.likely <= self.high
    }
}
