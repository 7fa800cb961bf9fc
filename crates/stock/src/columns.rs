//! From sums over cells to the columns of moves.

use crate::moves::{MoveColumns, MoveFlags};
use crate::rig::{GapReason, HOLDER_BIT, Rig, SHANK_BIT};
use crate::sweep::{SweepGap, SweepOptions};
use crate::tile::Tally;
use kw_nc::toolpath::{MoveKind, SpindleTurn, Toolpath};
use rayon::prelude::*;
use std::ops::Range;

/// What the columns are made from.
pub(crate) struct Columns<'a> {
    pub path: &'a Toolpath,
    pub rig: &'a Rig,
    pub options: &'a SweepOptions,
    pub thickness_mm: f64,
}

/// Columns before anything is removed: the tip's depth below the sheet, marks, and moves in the
/// sheet that cannot be swept.
pub(crate) fn without_removal(context: &Columns<'_>, end: usize) -> (MoveColumns, Vec<SweepGap>) {
    let count = context.path.len();
    let zeros = || vec![0.0_f32; count];
    let mut columns = MoveColumns {
        volume_mm3: zeros(),
        swept_mm2: zeros(),
        opened_mm2: zeros(),
        axial_depth_mm: zeros(),
        radial_width_mm: zeros(),
        climb: zeros(),
        bite_mm: zeros(),
        below_bottom_mm: zeros(),
        flags: vec![MoveFlags::default(); count],
    };
    let below = &mut columns.below_bottom_mm[..end];
    let flags = &mut columns.flags[..end];
    (below, flags).into_par_iter().enumerate().for_each(|(index, (below, flags))| {
        context.before_removal(index, below, flags);
    });
    let gaps = context.gaps(&columns.flags[..end]);
    (columns, gaps)
}

/// Moves whose sums are added by one thread.
const CHUNK_MOVES: usize = 8192;

/// Adds what the tiles counted in a batch of moves; gives the number of cells visited.
pub(crate) fn add(
    context: &Columns<'_>,
    columns: &mut MoveColumns,
    moves: Range<usize>,
    tallies: &[Vec<(u32, Tally)>],
) -> u64 {
    let mut sums = vec![Tally::default(); moves.len()];
    sums.par_chunks_mut(CHUNK_MOVES).enumerate().for_each(|(chunk, sums)| {
        let first = (moves.start + chunk * CHUNK_MOVES) as u32;
        for list in tallies {
            let start = list.partition_point(|(index, _)| *index < first);
            let mut rest = list[start..].iter();
            while let Some((index, tally)) = rest.next()
                && let Some(sum) = sums.get_mut((*index - first) as usize)
            {
                sum.add(tally);
            }
        }
    });
    let visited = sums.par_iter().map(|sum| sum.visited).sum();
    let columns = (
        &mut columns.volume_mm3[moves.clone()],
        &mut columns.swept_mm2[moves.clone()],
        &mut columns.opened_mm2[moves.clone()],
        &mut columns.climb[moves.clone()],
        &mut columns.bite_mm[moves.clone()],
        &mut columns.flags[moves.clone()],
    );
    columns.into_par_iter().zip(&sums).enumerate().for_each(
        |(offset, ((volume, swept, opened, climb, bite, flags), tally))| {
            let found = context.of_move(moves.start + offset, tally, *flags);
            (*volume, *swept, *opened) = (found.volume_mm3, found.swept_mm2, found.opened_mm2);
            (*climb, *bite, *flags) = (found.climb, found.bite_mm, found.flags);
        },
    );
    visited
}

/// Entries of one move.
#[derive(Default)]
struct Entry {
    volume_mm3: f32,
    swept_mm2: f32,
    opened_mm2: f32,
    climb: f32,
    bite_mm: f32,
    flags: MoveFlags,
}

impl Columns<'_> {
    fn before_removal(&self, index: usize, below_mm: &mut f32, flags: &mut MoveFlags) {
        let (path, maker) = (self.path, &self.rig.maker);
        if path.kind[index] == MoveKind::Turn {
            return;
        }
        let tool = self.rig.tool(path, index);
        let lowest_mm = self.lowest_tip_mm(index);
        let depth_mm = maker.top_z_mm - lowest_mm;
        if depth_mm > self.thickness_mm && tool != Err(GapReason::NoTool) {
            *below_mm = (depth_mm - self.thickness_mm) as f32;
        }
        let in_sheet = depth_mm >= 0.5 * maker.depth_step_mm;
        flags.set(MoveFlags::MARKS, in_sheet && tool == Ok(None));
        let out_of_reach = || {
            let at = self.rig.place(path, index);
            !(maker.is_near(at.from) && maker.is_near(at.to))
        };
        flags.set(MoveFlags::NOT_SWEPT, if tool.is_err() { in_sheet } else { out_of_reach() });
    }

    fn lowest_tip_mm(&self, index: usize) -> f64 {
        if self.path.kind[index] == MoveKind::Arc {
            return self.path.get(index).tip_bounds().min.z;
        }
        let at = self.rig.place(self.path, index);
        at.from.z.min(at.to.z)
    }

    fn gaps(&self, flags: &[MoveFlags]) -> Vec<SweepGap> {
        let mut gaps: Vec<SweepGap> = Vec::new();
        let unswept = flags.iter().enumerate().filter(|(_, f)| f.has(MoveFlags::NOT_SWEPT));
        for (index, _) in unswept {
            let reason = self.rig.tool(self.path, index).err().unwrap_or(GapReason::OutOfReach);
            match gaps.iter_mut().find(|gap| gap.reason == reason) {
                Some(gap) => gap.moves += 1,
                None => gaps.push(SweepGap { reason, first_move: index as u32, moves: 1 }),
            }
        }
        gaps
    }

    fn of_move(&self, index: usize, tally: &Tally, mut flags: MoveFlags) -> Entry {
        flags.set(MoveFlags::SHANK_TOUCHES, tally.contact & SHANK_BIT > 0);
        flags.set(MoveFlags::HOLDER_TOUCHES, tally.contact & HOLDER_BIT > 0);
        if tally.cells == 0 {
            return Entry { flags, ..Entry::default() };
        }
        let tool = self.rig.tool(self.path, index).ok().flatten();
        let removes = tool.is_some_and(|tool| tool.removes);
        let step_mm = self.rig.maker.depth_step_mm;
        let area = self.rig.maker.grid.cell_area_mm2();
        let bite_mm = f64::from(tally.bite) * step_mm;
        let is_plunge = is_straight_down(self.path, self.rig, index);
        let touches = bite_mm > self.options.contact_tolerance_mm;
        flags.set(MoveFlags::CUTS, true);
        flags.set(MoveFlags::SEVERS, !removes);
        flags.set(MoveFlags::RAPID_CUTS, self.path.kind[index] == MoveKind::Rapid && touches);
        flags.set(MoveFlags::PLUNGE, is_plunge);
        let steps = (tally.removed[0] + tally.removed[1]) as f64;
        Entry {
            volume_mm3: if removes { (steps * step_mm * area) as f32 } else { 0.0 },
            swept_mm2: (tally.cells as f64 * area) as f32,
            opened_mm2: (f64::from(tally.opened) * area) as f32,
            climb: if removes && !is_plunge { self.climb(index, tally) } else { 0.0 },
            bite_mm: bite_mm as f32,
            flags,
        }
    }

    /// Share of climb minus share of conventional. Seen from above, a cutter that turns clockwise
    /// climbs in the material to the right of its travel (definition: edge and feed of the work
    /// run the same way).
    fn climb(&self, index: usize, tally: &Tally) -> f32 {
        let sign = match self.path.states[self.path.state[index] as usize].spindle {
            SpindleTurn::Clockwise => 1.0,
            SpindleTurn::Counterclockwise => -1.0,
            SpindleTurn::Still => return 0.0,
        };
        let [left, right] = tally.removed.map(|steps| steps as f64);
        (sign * (right - left) / (right + left)) as f32
    }
}

/// Whether a move goes down without going sideways.
pub(crate) fn is_straight_down(path: &Toolpath, rig: &Rig, index: usize) -> bool {
    let at = rig.place(path, index);
    let sideways = path.kind[index] == MoveKind::Arc || at.from.xy().distance(at.to.xy()) > 1e-6;
    at.to.z < at.from.z && !sideways
}
