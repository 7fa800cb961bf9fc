//! What the feed override at the machine does to a cut, the spindle speed staying as it is.

use super::{Assessment, LimitKind, SpeedCase};
use crate::loads::Setting;

/// Overrides to show, as shares of the programmed feed.
pub const OVERRIDE_SHARES: [f64; 16] =
    [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0];

/// One position of the override.
#[derive(Clone, Debug, PartialEq)]
pub struct OverrideStep {
    /// Share of the programmed feed.
    pub share: f64,
    /// Time of the cut over the programmed time, as if it ran at feed throughout.
    pub time_ratio: f64,
    /// Loads and margins there.
    pub assessment: Assessment,
}

/// Positions of the override that keep all limits, within 50 % to 200 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverrideRange {
    /// Lowest share.
    pub low: f64,
    /// What is broken below; none if the override's own end comes first.
    pub low_limit: Option<LimitKind>,
    /// Highest share.
    pub high: f64,
    /// What is broken above; none if the override's own end comes first.
    pub high_limit: Option<LimitKind>,
}

impl SpeedCase<'_> {
    /// Loads and margins at each position of the override; empty where there are no loads.
    pub fn override_steps(&self, setting: Setting) -> Vec<OverrideStep> {
        OVERRIDE_SHARES
            .iter()
            .filter_map(|&share| {
                let feed_mm_min = setting.feed_mm_min * share;
                let assessment = self.assess(Setting { feed_mm_min, ..setting })?;
                Some(OverrideStep { share, time_ratio: share.recip(), assessment })
            })
            .collect()
    }

    /// The safe range of override around a setting; `None` if no position from 50 % to 200 % keeps
    /// all limits, the speed is out of range, or there is no feed.
    pub fn safe_override(&self, setting: Setting) -> Option<OverrideRange> {
        let [(slowest, _), (fastest, _)] = self.limits.speed_range();
        let speed_fits = slowest <= setting.speed_rpm && setting.speed_rpm <= fastest;
        let column = self.column(setting.speed_rpm).filter(super::Column::is_open)?;
        let has_feed = setting.feed_mm_min.is_finite() && setting.feed_mm_min > 0.0;
        if !speed_fits || !has_feed {
            return None;
        }
        let from = column.feed_low_mm_min / setting.feed_mm_min;
        let to = column.feed_high_mm_min / setting.feed_mm_min;
        let (least, most) = (OVERRIDE_SHARES[0], OVERRIDE_SHARES[OVERRIDE_SHARES.len() - 1]);
        let range = OverrideRange {
            low: from.max(least),
            low_limit: column.low_limit.filter(|_| from > least),
            high: to.min(most),
            high_limit: Some(column.high_limit).filter(|_| to < most),
        };
        (range.low <= range.high).then_some(range)
    }
}
