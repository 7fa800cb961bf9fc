//! Whether two toolpaths are the same, and where they first differ.

use kw_nc::Toolpath;

/// Positions may differ by this much and still be the same, mm: what writing promises.
pub const SAME_MM: f64 = 1e-6;

/// Feeds may differ by this share and still be the same.
const SAME_FEED: f64 = 1e-9;

/// Swept angles may differ by this much, rad; at a radius of 1 m this is 1 µm.
const SAME_SWEEP_RAD: f64 = 1e-5;

/// The first difference of two toolpaths.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    /// They have different numbers of moves.
    Count {
        /// Moves of the first.
        first: usize,
        /// Moves of the second.
        second: usize,
    },
    /// A move differs.
    Move {
        /// Its index.
        index: usize,
        /// In what.
        what: &'static str,
    },
}

/// Whether two rotary positions point the same way; whole turns apart is the same, because a
/// control that takes the shorter way round counts them as it likes.
fn same_heading(first_deg: f64, second_deg: f64) -> bool {
    let apart = (first_deg - second_deg).rem_euclid(360.0);
    apart.min(360.0 - apart) < SAME_MM
}

/// The first difference of two toolpaths in kind, end, rotary position, sweep, feed, tool and
/// spindle of their moves; `None` if there is none.
pub fn first_difference(first: &Toolpath, second: &Toolpath) -> Option<Difference> {
    for (a, b) in first.moves().zip(second.moves()) {
        let what = if a.kind != b.kind {
            "kind"
        } else if a.to_mm.distance(b.to_mm) > SAME_MM {
            "end"
        } else if !same_heading(a.rotary_deg.1, b.rotary_deg.1) {
            "rotary position"
        } else if (a.feed - b.feed).abs() > SAME_FEED * a.feed.abs().max(1.0) {
            "feed"
        } else if a.state.tool != b.state.tool {
            "tool"
        } else if a.state.spindle != b.state.spindle {
            "spindle"
        } else if a.arc.zip(b.arc).is_some_and(|(p, q)| {
            p.plane != q.plane || (p.sweep_rad - q.sweep_rad).abs() > SAME_SWEEP_RAD
        }) {
            "sweep"
        } else {
            continue;
        };
        return Some(Difference::Move { index: a.index, what });
    }
    let (first, second) = (first.len(), second.len());
    (first != second).then_some(Difference::Count { first, second })
}
