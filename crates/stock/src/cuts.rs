//! Cuts: runs of moves in the material between a plunge and the next retract, with one tool.

use crate::moves::MoveFlags;
use crate::sweep::Stock;
use kw_nc::toolpath::Toolpath;
use std::ops::Range;

/// A run of moves in the material with one tool.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Its moves: from the one that enters the sheet to the last before the retract.
    pub moves: Range<u32>,
    /// Its tool.
    pub tool: u32,
    /// Volume removed, mm³.
    pub volume_mm3: f64,
    /// Way of the tip in it, mm.
    pub way_mm: f64,
    /// Greatest depth of the tip below the sheet's upper face, mm.
    pub depth_mm: f64,
}

/// Splits a toolpath into cuts.
///
/// A run starts with the first move whose tip goes below the upper face and ends with the tip back
/// at or above it, or with another tool. The move that leaves belongs to it only if it still cuts.
/// Runs in which nothing is cut, severed or marked are left out.
pub fn cuts(path: &Toolpath, stock: &Stock) -> Vec<Cut> {
    let mut cuts = Vec::new();
    let mut open: Option<Cut> = None;
    let end = stock.moves.flags.len().min(path.len());
    for index in 0..end {
        let m = path.get(index);
        let depth = |z_mm: f64| stock.map.top_z_mm - z_mm;
        let below = |depth_mm: f64| depth_mm >= 0.5 * stock.map.depth_step_mm;
        let deepest = depth(m.tip_bounds().min.z);
        let tool = m.state.tool.filter(|_| below(deepest));
        if open.as_ref().is_some_and(|cut| Some(cut.tool) != tool) {
            finish(&mut cuts, open.take(), stock);
        }
        let Some(tool) = tool else { continue };
        let leaves = !below(depth(m.tip_to_mm().z));
        if !leaves || stock.moves.flags[index].has(MoveFlags::CUTS) {
            let start = index as u32;
            let cut = open.get_or_insert(Cut {
                moves: start..start,
                tool,
                volume_mm3: 0.0,
                way_mm: 0.0,
                depth_mm: 0.0,
            });
            cut.moves.end = start + 1;
            cut.volume_mm3 += f64::from(stock.moves.volume_mm3[index]);
            cut.way_mm += m.length_mm();
            cut.depth_mm = cut.depth_mm.max(deepest);
        }
        if leaves {
            finish(&mut cuts, open.take(), stock);
        }
    }
    finish(&mut cuts, open, stock);
    cuts
}

fn finish(cuts: &mut Vec<Cut>, cut: Option<Cut>, stock: &Stock) {
    let works = |flags: &MoveFlags| flags.has(MoveFlags::CUTS) || flags.has(MoveFlags::MARKS);
    cuts.extend(cut.filter(|cut| {
        let moves = cut.moves.start as usize..cut.moves.end as usize;
        stock.moves.flags[moves].iter().any(works)
    }));
}
