//! The proof of an edit: the new text is read again, and its toolpath must differ from the old one
//! exactly as wished.

mod depth;
mod same;

use super::scope::line;
use super::style::ROUNDING_SHARE;
use super::traced::Traced;
use super::wish::{self, Wish};
use super::{Edit, EditError, EditRequest};
use kw_base::{Severity, Sources};
use kw_geometry::Vec3;
use kw_nc::{Move, MoveState, ReadContext};
use same::{Compared, compare_events, same_axes, same_kind};

/// Feeds that are to stay may differ by this share: they are computed from the same number.
const SAME_SHARE: f64 = 1e-12;

/// Positions that are to stay may differ by this much, mm.
const SAME_MM: f64 = 1e-9;

/// Old and new program beside each other.
pub(super) struct Pair<'a> {
    old_sources: &'a Sources,
    context: &'a ReadContext<'a>,
    old: Traced,
    new: Traced,
}

/// Proves an edit, also for a control that skips blocks beginning with `/` if there are any; gives
/// the number of moves that changed.
pub(super) fn prove(
    old_sources: &Sources,
    new_sources: &Sources,
    context: &ReadContext<'_>,
    request: &EditRequest,
) -> Result<usize, EditError> {
    let changed = prove_one(old_sources, new_sources, context, request)?;
    let other = ReadContext { block_delete: !context.block_delete, ..context.clone() };
    let has_marks = old_sources.files().iter().any(|f| memchr::memchr(b'/', f.bytes()).is_some());
    // A pause at a block that is skipped is skipped with it.
    let pause = matches!(request.edit, Edit::InsertPause { .. } | Edit::RemovePause { .. });
    if has_marks && !pause {
        prove_one(old_sources, new_sources, &other, request)?;
    }
    Ok(changed)
}

fn prove_one(
    old_sources: &Sources,
    new_sources: &Sources,
    context: &ReadContext<'_>,
    request: &EditRequest,
) -> Result<usize, EditError> {
    let old = Traced::read(old_sources, context)?;
    let new = Traced::read(new_sources, context)?;
    let pair = Pair { old_sources, context, old, new };
    pair.no_new_faults(request)?;
    match request.edit {
        Edit::Feed { .. } => pair.feeds(request),
        Edit::Speed(_) => pair.speeds(request),
        Edit::SwapTool { from, to } => pair.tools((from, to)),
        Edit::Datum { from, to } => pair.datums((from, to)),
        Edit::Depth { from, to } => depth::prove(&pair, request, to - from),
        Edit::InsertPause { before_line } => pair.one_stop_more(before_line),
        Edit::RemovePause { line } => pair.one_stop_less(line),
    }
}

impl Pair<'_> {
    pub(super) fn refuse(&self, block_at: u32, what: impl Into<String>) -> EditError {
        EditError::NotAsWished { line: line(self.old_sources, block_at), what: what.into() }
    }

    /// Reading the new text must find nothing worse than in the old one; another tool or datum
    /// may be one that the shop does not know, which is for the checks to say.
    fn no_new_faults(&self, request: &EditRequest) -> Result<(), EditError> {
        let words = matches!(request.edit, Edit::SwapTool { .. } | Edit::Datum { .. });
        let count = |t: &Traced| t.reading.findings.count(Severity::Stop);
        if words || count(&self.new) <= count(&self.old) {
            return Ok(());
        }
        let known: Vec<&str> =
            self.old.reading.findings.findings().iter().map(|f| f.message.as_str()).collect();
        let findings = self.new.reading.findings.findings();
        let first = findings
            .iter()
            .find(|f| f.severity == Severity::Stop && !known.contains(&f.message.as_str()));
        let what = first.map_or_else(|| "more faults".to_owned(), |f| f.message.clone());
        Err(EditError::NotAsWished { line: 0, what })
    }

    /// Moves of both beside each other; they must be as many.
    fn moves(&self) -> Result<impl Iterator<Item = (Move<'_>, Move<'_>)>, EditError> {
        let (old, new) = (&self.old.reading.toolpath, &self.new.reading.toolpath);
        if old.len() != new.len() {
            let what = format!("{} moves instead of {}", new.len(), old.len());
            return Err(EditError::NotAsWished { line: 0, what });
        }
        Ok(old.moves().zip(new.moves()))
    }

    fn feeds(&self, request: &EditRequest) -> Result<usize, EditError> {
        let wishes = wish::of_moves(self.old_sources, &self.old, request)?;
        compare_events(self, Compared::All)?;
        let mut changed = 0;
        for (a, b) in self.moves()? {
            if !same_kind(&a, &b) || !same_axes(&a, &b) || a.state != b.state {
                return Err(self.refuse(a.block_at, "a position or state would change"));
            }
            let (expected, share) = self.expected_feed(&a, wishes[a.index]);
            if (b.feed - expected).abs() > share * expected.abs() {
                let what = format!("feed {:.3} instead of {expected:.3} mm/min", b.feed);
                return Err(self.refuse(a.block_at, what));
            }
            changed += usize::from(a.feed != b.feed);
        }
        Ok(changed)
    }

    fn expected_feed(&self, a: &Move<'_>, wish: Wish) -> (f64, f64) {
        let run = self.old.run_of_move.get(a.index).and_then(|&r| self.old.runs.get(r as usize));
        match (wish, run) {
            (Wish::Set(number), Some(run)) => {
                let share = ROUNDING_SHARE + SAME_SHARE;
                match run.feed {
                    Some(old) if old > 0.0 && a.feed > 0.0 => (a.feed * number / old, share),
                    _ => (number * run.feed_unit_mm_min, share),
                }
            }
            _ => (a.feed, SAME_SHARE),
        }
    }

    fn speeds(&self, request: &EditRequest) -> Result<usize, EditError> {
        let wishes = wish::of_moves(self.old_sources, &self.old, request)?;
        compare_events(self, Compared::AllButSpindle)?;
        let mut changed = 0;
        for (a, b) in self.moves()? {
            let state = MoveState { spindle_rpm: a.state.spindle_rpm, ..b.state.clone() };
            let feed_stays = (a.feed - b.feed).abs() <= SAME_SHARE * a.feed.abs();
            if !same_kind(&a, &b) || !same_axes(&a, &b) || *a.state != state || !feed_stays {
                return Err(self.refuse(a.block_at, "more than the speed would change"));
            }
            let (expected, share) = match wishes[a.index] {
                Wish::Free => continue,
                Wish::Keep => (a.state.spindle_rpm, SAME_SHARE),
                Wish::Set(speed) => (speed, ROUNDING_SHARE + SAME_SHARE),
            };
            let speed_rpm = b.state.spindle_rpm;
            if (speed_rpm - expected).abs() > share * expected.abs() {
                let what = format!("speed {speed_rpm:.1} instead of {expected:.1} 1/min");
                return Err(self.refuse(a.block_at, what));
            }
            changed += usize::from(a.state.spindle_rpm != speed_rpm);
        }
        Ok(changed)
    }

    /// The same way of the tip by another tool.
    fn tools(&self, (from, to): (u32, u32)) -> Result<usize, EditError> {
        let mut changed = 0;
        for (a, b) in self.moves()? {
            let swapped = a.state.tool == Some(from) && b.state.tool == Some(to);
            if a.state.tool != b.state.tool && !swapped {
                return Err(self.refuse(a.block_at, "another tool than wished would be in work"));
            }
            let applied = |m: &Move<'_>| {
                let length = if m.state.length_applied { m.state.applied_length_mm } else { 0.0 };
                m.to_mm - Vec3::new(0.0, 0.0, length)
            };
            let stays = a.to_mm.distance(b.to_mm) < SAME_MM
                || applied(&a).distance(applied(&b)) < SAME_MM
                || a.tip_to_mm().distance(b.tip_to_mm()) < SAME_MM
                || a.state.compensation != kw_nc::toolpath::CompensationSide::Off;
            if !same_kind(&a, &b) || !stays {
                return Err(self.refuse(a.block_at, "the way of the tool would change"));
            }
            changed += usize::from(swapped);
        }
        Ok(changed)
    }

    /// The same way from another origin.
    fn datums(&self, (from, to): (u8, u8)) -> Result<usize, EditError> {
        let origin = |system: u8| {
            let index = usize::from(system.clamp(1, 9)) - 1;
            self.context.origins_mm[index].unwrap_or_default()
        };
        let mut changed = 0;
        let shift = origin(to) - origin(from);
        for (a, b) in self.moves()? {
            let swapped = a.state.work_system == from && b.state.work_system == to;
            if a.state.work_system != b.state.work_system && !swapped {
                return Err(self.refuse(a.block_at, "another datum than wished would be in force"));
            }
            // Each axis is where it was or where the other datum has it: G53 and G28 do not move.
            let moved = b.to_mm - a.to_mm;
            let axis = |by: f64, whole: f64| by.abs() < 1e-6 || (by - whole).abs() < 1e-6;
            let as_wished =
                axis(moved.x, shift.x) && axis(moved.y, shift.y) && axis(moved.z, shift.z);
            if !same_kind(&a, &b) || !as_wished || a.feed != b.feed {
                return Err(self.refuse(a.block_at, "more than the datum would change"));
            }
            changed += usize::from(swapped);
        }
        Ok(changed)
    }

    fn one_stop_more(&self, before_line: u32) -> Result<usize, EditError> {
        self.same_moves()?;
        let (old, new) = (&self.old.reading.toolpath.events, &self.new.reading.toolpath.events);
        same::one_more(old, new).then_some(0).ok_or(EditError::NoBlock { line: before_line })
    }

    fn one_stop_less(&self, line: u32) -> Result<usize, EditError> {
        self.same_moves()?;
        let (old, new) = (&self.old.reading.toolpath.events, &self.new.reading.toolpath.events);
        same::one_more(new, old)
            .then_some(0)
            .ok_or(EditError::RunsDifferently { line, letter: 'M' })
    }

    fn same_moves(&self) -> Result<(), EditError> {
        for (a, b) in self.moves()? {
            let same = same_kind(&a, &b) && same_axes(&a, &b) && a.state == b.state;
            if !same || a.feed != b.feed {
                return Err(self.refuse(a.block_at, "a move would change"));
            }
        }
        Ok(())
    }
}
