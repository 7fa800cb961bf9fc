//! Engagement of each move: means over the move, or over its neighbours where it is short.

use crate::columns::is_straight_down;
use crate::moves::{MoveColumns, MoveFlags};
use crate::rig::Rig;
use kw_geometry::Plane;
use kw_nc::toolpath::{MoveKind, Toolpath};
use rayon::prelude::*;
use std::ops::Range;

/// Moves averaged side by side; a run of short moves ends here at the latest. Fixed, so that the
/// number of threads does not matter.
const CHUNK_MOVES: usize = 8192;

/// Fills axial depth, radial width and climb with means over the move, or over the run of moves
/// around it where it is shorter than the window.
pub(crate) fn average(columns: &mut MoveColumns, path: &Toolpath, rig: &Rig, window_mm: f64) {
    let MoveColumns {
        volume_mm3, swept_mm2, axial_depth_mm, radial_width_mm, climb, flags, ..
    } = columns;
    (
        volume_mm3.par_chunks(CHUNK_MOVES),
        swept_mm2.par_chunks(CHUNK_MOVES),
        axial_depth_mm.par_chunks_mut(CHUNK_MOVES),
        radial_width_mm.par_chunks_mut(CHUNK_MOVES),
        climb.par_chunks_mut(CHUNK_MOVES),
        flags.par_chunks(CHUNK_MOVES),
    )
        .into_par_iter()
        .enumerate()
        .for_each(|(chunk, (volume_mm3, swept_mm2, axial, radial, climb, flags))| {
            let first = chunk * CHUNK_MOVES;
            let mut chunk = Chunk { volume_mm3, swept_mm2, axial, radial, climb, flags };
            chunk.average(&Ways { path, rig, first, window_mm });
        });
}

struct Chunk<'a> {
    volume_mm3: &'a [f32],
    swept_mm2: &'a [f32],
    axial: &'a mut [f32],
    radial: &'a mut [f32],
    climb: &'a mut [f32],
    flags: &'a [MoveFlags],
}

/// The moves of a chunk, counted from its first.
struct Ways<'a> {
    path: &'a Toolpath,
    rig: &'a Rig,
    first: usize,
    window_mm: f64,
}

impl Ways<'_> {
    /// Way in the plane of the sheet, mm.
    fn sideways_mm(&self, offset: usize) -> f64 {
        let index = self.first + offset;
        if self.path.kind[index] == MoveKind::Arc {
            let Some(arc) = self.path.get(index).tip_arc() else { return 0.0 };
            return if arc.plane == Plane::Xy {
                arc.radius_mm() * arc.sweep_rad.abs()
            } else {
                arc.length_mm()
            };
        }
        let at = self.rig.place(self.path, index);
        at.from.xy().distance(at.to.xy())
    }

    fn is_feed(&self, offset: usize) -> bool {
        let kind = self.path.kind[self.first + offset];
        matches!(kind, MoveKind::Line | MoveKind::Arc | MoveKind::Probe)
    }

    fn is_plunge(&self, offset: usize) -> bool {
        is_straight_down(self.path, self.rig, self.first + offset)
    }

    fn tool(&self, offset: usize) -> Option<u32> {
        self.path.states[self.path.state[self.first + offset] as usize].tool
    }

    fn diameter_mm(&self, offset: usize) -> f64 {
        let tool = self.rig.tool(self.path, self.first + offset).ok().flatten();
        tool.map_or(0.0, |t| 2.0 * t.true_radius * self.rig.maker.grid.step_mm)
    }
}

impl Chunk<'_> {
    fn average(&mut self, ways: &Ways<'_>) {
        let mut start = 0;
        while start < self.flags.len() {
            if !self.flags[start].has(MoveFlags::CUTS) {
                start += 1;
                continue;
            }
            let (run, way_mm) = self.run_from(start, ways);
            start = run.end;
            self.fill(run, way_mm, ways);
        }
    }

    /// Feed moves that follow one another with the same tool until the window is full, and their
    /// way. A long move stands alone; a plunge or a rapid too.
    fn run_from(&self, start: usize, ways: &Ways<'_>) -> (Range<usize>, f64) {
        let mut way_mm = ways.sideways_mm(start);
        let mut end = start + 1;
        if ways.is_plunge(start) || !ways.is_feed(start) {
            return (start..end, way_mm);
        }
        while way_mm < ways.window_mm && end < self.flags.len() {
            let way = ways.sideways_mm(end);
            let stays = ways.is_feed(end) && ways.tool(end) == ways.tool(start);
            if !stays || way >= ways.window_mm || ways.is_plunge(end) {
                break;
            }
            way_mm += way;
            end += 1;
        }
        (start..end, way_mm)
    }

    fn fill(&mut self, run: Range<usize>, way_mm: f64, ways: &Ways<'_>) {
        let sum = |column: &[f32]| column[run.clone()].iter().map(|&v| f64::from(v)).sum::<f64>();
        let (volume, area) = (sum(self.volume_mm3), sum(self.swept_mm2));
        let climbed: f64 =
            run.clone().map(|i| f64::from(self.climb[i]) * f64::from(self.volume_mm3[i])).sum();
        let axial = if area > 0.0 { volume / area } else { 0.0 };
        let widest = ways.diameter_mm(run.start);
        let width = if way_mm > 1e-6 { (area / way_mm).min(widest) } else { 0.0 };
        let climb = if volume > 0.0 { climbed / volume } else { 0.0 };
        for index in run {
            if self.flags[index].has(MoveFlags::CUTS) {
                self.axial[index] = axial as f32;
                self.radial[index] = width as f32;
                self.climb[index] = climb as f32;
            }
        }
    }
}
