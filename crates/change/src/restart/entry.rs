//! Where the tool enters again.

use super::RestartOptions;
use kw_geometry::Vec3;
use kw_nc::toolpath::Origin;
use kw_nc::{Move, MoveKind, Toolpath};

/// The point of entry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Entry {
    /// First move that runs, from `fraction` of it on.
    pub first_move: usize,
    /// Share of that move that is left out, 0 to 1.
    pub fraction: f64,
    /// Tool tip there, machine coordinates, mm.
    pub tip_mm: Vec3,
    /// Feed for going down, mm/min; 0 if the program never went down at feed before.
    pub plunge_feed: f64,
}

/// Goes back from a move along the path already cut.
pub(super) fn find_entry(path: &Toolpath, at_move: usize, options: &RestartOptions) -> Entry {
    let plunge_feed = plunge_feed_before(path, at_move);
    let (mut index, mut fraction, mut left) = (at_move, 0.0, options.back_mm.max(0.0));
    // A level move that begins in the material began in its own kerf, so that going back along
    // the moves before it keeps to what is cut; a ramp or a hole begins again from its start.
    while must_begin_earlier(path, index, options) {
        index -= 1;
        left = 0.0;
    }
    while left > 0.0 && index > 0 && is_cut(&path.get(index - 1), options) {
        let before = path.get(index - 1);
        let length = before.length_mm();
        index -= 1;
        if length > left {
            fraction = 1.0 - left / length;
            break;
        }
        left -= length;
    }
    let m = path.get(index);
    let tip_mm = m.tip_arc().map_or_else(
        || m.tip_from_mm().lerp(m.tip_to_mm(), fraction),
        |arc| arc.point_at(fraction),
    );
    Entry { first_move: index, fraction, tip_mm, plunge_feed }
}

/// Level and in the material: what can be entered anywhere along it.
fn is_cut(m: &Move<'_>, options: &RestartOptions) -> bool {
    let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
    m.is_feed()
        && m.origin != Origin::Cycle
        && (from.z - to.z).abs() < 1e-6
        && from.z < options.surface_z_mm
}

/// Inside a ramp, a plunge or a cycle: its start must be found first.
fn must_begin_earlier(path: &Toolpath, index: usize, options: &RestartOptions) -> bool {
    if index == 0 {
        return false;
    }
    let (m, before) = (path.get(index), path.get(index - 1));
    let starts_low = m.tip_from_mm().z < options.surface_z_mm;
    let in_cycle = m.origin == Origin::Cycle
        && before.origin == Origin::Cycle
        && m.block_at == before.block_at;
    let before_goes_down =
        before.kind != MoveKind::Rapid && before.tip_to_mm().z < before.tip_from_mm().z - 1e-6;
    let goes_down = m.tip_to_mm().z < m.tip_from_mm().z - 1e-6;
    in_cycle || (starts_low && ((before_goes_down && goes_down) || before.kind == MoveKind::Rapid))
}

/// Feed of the last move before `at_move`, itself included, that went down at feed.
fn plunge_feed_before(path: &Toolpath, at_move: usize) -> f64 {
    (0..=at_move)
        .rev()
        .map(|index| path.get(index))
        .find(|m| m.is_feed() && m.tip_to_mm().z < m.tip_from_mm().z - 1e-6)
        .map_or(0.0, |m| m.feed)
}
