//! Proof of a changed depth: only Z differs, by the wished step, and only where wished.

use super::{Pair, SAME_MM};
use crate::edit::traced::Traced;
use crate::edit::{EditError, EditRequest};
use kw_geometry::Vec3;
use kw_nc::toolpath::Origin;
use std::ops::Range;

/// Holds both programs run by run: peck drilling may take another number of moves.
pub(super) fn prove(pair: &Pair<'_>, request: &EditRequest, step: f64) -> Result<usize, EditError> {
    let (old, new) = (&pair.old, &pair.new);
    if old.runs.len() != new.runs.len() {
        let what = "other blocks would run".to_owned();
        return Err(EditError::NotAsWished { line: 0, what });
    }
    let mut changed = 0;
    for (index, (a, b)) in old.runs.iter().zip(&new.runs).enumerate() {
        let patched = a.z_word_mm != b.z_word_mm;
        let own_step = b.z_word_mm.zip(a.z_word_mm).map_or(0.0, |(b, a)| b - a);
        if patched && (own_step - step * a.unit_mm).abs() > 1e-6 {
            return Err(pair.refuse(a.block_at, "a Z word would change by another step"));
        }
        let (was, is) = (old.moves_of(index), new.moves_of(index));
        let run = Run { old, new, was, is };
        let step_mm = run.step_mm().map_err(|what| pair.refuse(a.block_at, what))?;
        if step_mm == 0.0 {
            if patched && !run.was.is_empty() {
                return Err(pair.refuse(a.block_at, "the depth would not change"));
            }
            continue;
        }
        if (step_mm.abs() - (step * a.unit_mm).abs()).abs() > 1e-6 && patched {
            return Err(pair.refuse(a.block_at, "the depth would change by another step"));
        }
        if !patched && !a.absolute && a.z_word_mm.is_some() {
            return Err(pair.refuse(a.block_at, "an incremental Z would end at another depth"));
        }
        let path = &old.reading.toolpath;
        if run.was.clone().any(|i| !request.scope.holds(&path.get(i), pair.old_sources)) {
            return Err(pair.refuse(
                a.block_at,
                "a move outside of the range would run at the new depth too; widen the range",
            ));
        }
        changed += run.was.len();
    }
    Ok(changed)
}

/// The moves of one run in both programs.
struct Run<'a> {
    old: &'a Traced,
    new: &'a Traced,
    was: Range<usize>,
    is: Range<usize>,
}

impl Run<'_> {
    /// By how much the depth of its moves changes; 0 if nothing does.
    fn step_mm(&self) -> Result<f64, &'static str> {
        let (old, new) = (&self.old.reading.toolpath, &self.new.reading.toolpath);
        let cycle = self.was.clone().any(|i| old.origin[i] == Origin::Cycle);
        if cycle {
            return self.cycle_step_mm();
        }
        if self.was.len() != self.is.len() {
            return Err("a block would give another number of moves");
        }
        let mut step_mm: Option<f64> = None;
        for (i, j) in self.was.clone().zip(self.is.clone()) {
            let (a, b) = (old.get(i), new.get(j));
            let aside = Vec3::new(a.to_mm.x - b.to_mm.x, a.to_mm.y - b.to_mm.y, 0.0).length();
            if a.kind != b.kind || aside > SAME_MM || a.state != b.state || a.feed != b.feed {
                return Err("more than the depth would change");
            }
            let by = b.to_mm.z - a.to_mm.z;
            let by = if by.abs() < SAME_MM { 0.0 } else { by };
            if step_mm.is_some_and(|s| (s - by).abs() > 1e-6) {
                return Err("the moves of one block would change by different steps");
            }
            step_mm = Some(by);
        }
        Ok(step_mm.unwrap_or(0.0))
    }

    /// A cycle: its holes, its last point and its lowest points.
    fn cycle_step_mm(&self) -> Result<f64, &'static str> {
        let (old, new) = (&self.old.reading.toolpath, &self.new.reading.toolpath);
        let lowest = |path: &kw_nc::Toolpath, moves: &Range<usize>| {
            moves.clone().map(|i| path.end_mm[i].z).fold(f64::INFINITY, f64::min)
        };
        let holes = |path: &kw_nc::Toolpath, moves: &Range<usize>| {
            let mut places: Vec<(f64, f64)> =
                moves.clone().map(|i| (path.end_mm[i].x, path.end_mm[i].y)).collect();
            places.dedup();
            places
        };
        let end = |path: &kw_nc::Toolpath, moves: &Range<usize>| {
            moves.clone().next_back().map(|i| path.end_mm[i])
        };
        let ends = (end(old, &self.was), end(new, &self.is));
        let ends_alike = matches!(ends, (Some(a), Some(b)) if a.distance(b) < SAME_MM);
        if !ends_alike || holes(old, &self.was) != holes(new, &self.is) {
            return Err("a cycle would run at other places or end elsewhere");
        }
        let by = lowest(new, &self.is) - lowest(old, &self.was);
        Ok(if by.abs() < SAME_MM { 0.0 } else { by })
    }
}
