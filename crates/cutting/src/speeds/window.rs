//! The window as columns of feed over speed.

use super::{LimitKind, SpeedCase};

/// Columns in which a window is usually sampled: fine enough to draw, 1 % of the speed range apart.
pub const WINDOW_COLUMNS: usize = 101;

/// Columns at most, so that a window stays bounded.
const MOST_COLUMNS: usize = 10_000;

/// Feeds allowed at one speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Spindle speed, 1/min.
    pub speed_rpm: f64,
    /// Slowest feed, mm/min.
    pub feed_low_mm_min: f64,
    /// What sets it; none at 0.
    pub low_limit: Option<LimitKind>,
    /// Fastest feed, mm/min.
    pub feed_high_mm_min: f64,
    /// What sets it.
    pub high_limit: LimitKind,
}

/// The window of one cut, sampled over speed.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeedWindow {
    /// Columns by rising speed; empty ones stand in it too, so that one can see why.
    pub columns: Vec<Column>,
    /// What sets the slowest and the fastest speed.
    pub speed_limits: [LimitKind; 2],
}

/// Outer bounds of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extents {
    /// Slowest and fastest speed, 1/min.
    pub speed_rpm: [f64; 2],
    /// Slowest and fastest feed, mm/min.
    pub feed_mm_min: [f64; 2],
}

impl Column {
    /// Whether any feed above 0 is allowed.
    pub fn is_open(&self) -> bool {
        self.feed_high_mm_min > 0.0 && self.feed_low_mm_min <= self.feed_high_mm_min
    }
}

impl SpeedCase<'_> {
    /// The window, sampled at `columns` evenly spaced speeds (2 to 10,000), both ends included.
    ///
    /// Without columns where the tool's rating lies below the slowest speed, the range or a limit
    /// is no number, or the cutter cannot cut.
    pub fn window(&self, columns: usize) -> SpeedWindow {
        let [(slowest, low_kind), (fastest, high_kind)] = self.limits.speed_range();
        let usable = slowest.is_finite() && fastest.is_finite() && slowest <= fastest;
        let steps = columns.clamp(2, MOST_COLUMNS) - 1;
        let speed = |i: usize| {
            if i == steps {
                fastest
            } else {
                slowest + (fastest - slowest) * i as f64 / steps as f64
            }
        };
        SpeedWindow {
            columns: (0..=steps).filter(|_| usable).filter_map(|i| self.column(speed(i))).collect(),
            speed_limits: [low_kind, high_kind],
        }
    }
}

impl SpeedWindow {
    /// Whether any setting is allowed.
    pub fn is_open(&self) -> bool {
        self.columns.iter().any(Column::is_open)
    }

    /// Outer bounds of the sampled window; `None` if it is empty.
    pub fn extents(&self) -> Option<Extents> {
        let open = || self.columns.iter().filter(|column| column.is_open());
        let low = open().map(|c| c.feed_low_mm_min).fold(f64::INFINITY, f64::min);
        let high = open().map(|c| c.feed_high_mm_min).fold(0.0, f64::max);
        Some(Extents {
            speed_rpm: [open().next()?.speed_rpm, open().next_back()?.speed_rpm],
            feed_mm_min: [low, high],
        })
    }

    /// Outlines of the window, one for each unbroken range of speeds, as [speed 1/min, feed
    /// mm/min]: along the slowest feeds, back along the fastest.
    pub fn outlines(&self) -> Vec<Vec<[f64; 2]>> {
        self.columns
            .chunk_by(|a, b| a.is_open() == b.is_open())
            .filter(|run| run.iter().all(Column::is_open))
            .map(|run| {
                let low = run.iter().map(|c| [c.speed_rpm, c.feed_low_mm_min]);
                let high = run.iter().rev().map(|c| [c.speed_rpm, c.feed_high_mm_min]);
                low.chain(high).collect()
            })
            .collect()
    }

    /// Why no setting is allowed: the pair of limits that leaves least missing, floor and ceiling.
    /// `None` if the window is open; without columns the speed range itself is the reason.
    pub fn blocked_by(&self) -> Option<(Option<LimitKind>, LimitKind)> {
        if self.is_open() {
            return None;
        }
        let missing = |c: &Column| c.feed_high_mm_min / c.feed_low_mm_min.max(f64::MIN_POSITIVE);
        let nearest = self.columns.iter().max_by(|a, b| missing(a).total_cmp(&missing(b)));
        Some(nearest.map_or((Some(self.speed_limits[0]), self.speed_limits[1]), |column| {
            (column.low_limit, column.high_limit)
        }))
    }
}
