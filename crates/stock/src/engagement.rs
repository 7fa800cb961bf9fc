//! From sums over cells to columns of moves.

use crate::map::DepthMap;
use crate::moves::{MoveColumns, MoveFlags, Tallies};
use crate::rig::{GapReason, Rig};
use crate::setup::StockSetup;
use crate::sweep::{SweepGap, SweepOptions, contact_flags, deepest_tip, is_below_top};
use crate::tile::Tally;
use kw_nc::toolpath::{Move, MoveKind, SpindleTurn, Toolpath};

/// Columns before anything is removed: the tip's depth below the sheet, and marks.
pub(crate) fn columns_without_removal(
    path: &Toolpath,
    setup: &StockSetup,
    rig: &Rig,
    end: usize,
) -> MoveColumns {
    let count = path.len();
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
    let step_mm = rig.maker.depth_step_mm;
    for index in 0..end {
        let m = path.get(index);
        let depth = deepest_tip(&m, setup.top_z_mm, step_mm);
        let below_mm = depth * step_mm - setup.thickness_mm;
        if below_mm > 0.0 && m.state.tool.is_some() {
            columns.below_bottom_mm[index] = below_mm as f32;
        }
        let marks = matches!(rig.tool(&m), Ok(None)) && is_below_top(depth);
        columns.flags[index].set(MoveFlags::MARKS, marks && m.kind != MoveKind::Turn);
    }
    columns
}

/// Moves at or below the sheet's upper face that cannot be swept, by reason.
pub(crate) fn gaps(
    path: &Toolpath,
    rig: &Rig,
    end: usize,
    columns: &mut MoveColumns,
) -> Vec<SweepGap> {
    let mut gaps: Vec<SweepGap> = Vec::new();
    for index in 0..end {
        let m = path.get(index);
        let reason = match rig.tool(&m) {
            Err(reason) => {
                let depth = deepest_tip(&m, rig.maker.top_z_mm, rig.maker.depth_step_mm);
                if !is_below_top(depth) || m.kind == MoveKind::Turn {
                    continue;
                }
                reason
            }
            Ok(None) => continue,
            Ok(Some(_)) if rig.maker.reaches(&m) => continue,
            Ok(Some(_)) => GapReason::OutOfReach,
        };
        columns.flags[index].set(MoveFlags::NOT_SWEPT, true);
        match gaps.iter_mut().find(|gap| gap.reason == reason) {
            Some(gap) => gap.moves += 1,
            None => gaps.push(SweepGap { reason, first_move: index as u32, moves: 1 }),
        }
    }
    gaps
}

/// Writes what the tiles counted.
pub(crate) fn add_tallies(
    columns: &mut MoveColumns,
    map: &DepthMap,
    tallies: &Tallies,
    path: &Toolpath,
    rig: &Rig,
    options: &SweepOptions,
) {
    let area = map.grid.cell_area_mm2();
    for (index, tally) in tallies.iter() {
        let flags = &mut columns.flags[index];
        contact_flags(tally.contact, flags);
        if tally.cells == 0 {
            continue;
        }
        let m = path.get(index);
        let removes = rig.tool(&m).ok().flatten().is_some_and(|tool| tool.removes);
        let bite_mm = f64::from(tally.bite) * map.depth_step_mm;
        flags.set(MoveFlags::CUTS, true);
        flags.set(MoveFlags::SEVERS, !removes);
        let touches = bite_mm > options.contact_tolerance_mm;
        flags.set(MoveFlags::RAPID_CUTS, m.kind == MoveKind::Rapid && touches);
        flags.set(MoveFlags::PLUNGE, is_straight_down(&m));
        columns.bite_mm[index] = bite_mm as f32;
        columns.opened_mm2[index] = (f64::from(tally.opened) * area) as f32;
        columns.swept_mm2[index] = (f64::from(tally.cells) * area) as f32;
        if removes {
            let steps = tally.removed[0] + tally.removed[1];
            columns.volume_mm3[index] = (steps as f64 * map.depth_step_mm * area) as f32;
            columns.climb[index] = climb(tally, &m);
        }
    }
}

/// Whether a move goes down without going sideways.
fn is_straight_down(m: &Move<'_>) -> bool {
    let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
    let sideways = m.kind == MoveKind::Arc || from.xy().distance(to.xy()) > 1e-6;
    to.z < from.z && !sideways
}

/// Share of climb minus share of conventional. Seen from above, a cutter that turns clockwise
/// climbs in the material to the right of its travel (definition: edge and feed of the work run
/// the same way).
fn climb(tally: &Tally, m: &Move<'_>) -> f32 {
    let sign = match m.state.spindle {
        SpindleTurn::Clockwise => 1.0,
        SpindleTurn::Counterclockwise => -1.0,
        SpindleTurn::Still => return 0.0,
    };
    if is_straight_down(m) {
        return 0.0;
    }
    let [left, right] = tally.removed.map(|steps| steps as f64);
    (sign * (right - left) / (right + left)) as f32
}

/// Fills axial depth, radial width and climb with means over the move, or over the run of moves
/// around it where it is shorter than the window.
pub(crate) fn average(columns: &mut MoveColumns, path: &Toolpath, rig: &Rig, window_mm: f64) {
    let mut start = 0;
    while start < path.len() {
        if !columns.flags[start].has(MoveFlags::CUTS) {
            start += 1;
            continue;
        }
        let group = group_from(columns, path, start, window_mm);
        let end = group.end;
        let diameter_mm = rig
            .tool(&path.get(start))
            .ok()
            .flatten()
            .map_or(0.0, |tool| 2.0 * tool.true_radius * rig.maker.grid.step_mm);
        fill_group(columns, group, diameter_mm);
        start = end;
    }
}

struct Group {
    start: usize,
    end: usize,
    way_mm: f64,
}

/// Moves from `start` that belong together: feed moves that follow one another with the same tool
/// until the window is full. A long move stands alone; a plunge too.
fn group_from(columns: &MoveColumns, path: &Toolpath, start: usize, window_mm: f64) -> Group {
    let first = path.get(start);
    let mut way_mm = way_sideways_mm(&first);
    let mut end = start + 1;
    let alone = is_straight_down(&first) || !first.is_feed();
    while !alone && way_mm < window_mm && end < path.len() {
        let m = path.get(end);
        let way = way_sideways_mm(&m);
        let same_tool = m.state.tool == first.state.tool;
        if !m.is_feed() || !same_tool || is_straight_down(&m) || way >= window_mm {
            break;
        }
        if !columns.flags[end].has(MoveFlags::CUTS) && way <= 0.0 {
            break;
        }
        way_mm += way;
        end += 1;
    }
    Group { start, end, way_mm }
}

fn way_sideways_mm(m: &Move<'_>) -> f64 {
    match m.tip_arc() {
        Some(arc) if arc.plane == kw_geometry::Plane::Xy => arc.radius_mm() * arc.sweep_rad.abs(),
        Some(arc) => arc.length_mm(),
        None => m.from_mm.xy().distance(m.to_mm.xy()),
    }
}

fn fill_group(columns: &mut MoveColumns, group: Group, diameter_mm: f64) {
    let range = group.start..group.end;
    let sum = |column: &[f32]| column[range.clone()].iter().map(|&v| f64::from(v)).sum::<f64>();
    let (volume, area) = (sum(&columns.volume_mm3), sum(&columns.swept_mm2));
    let climbed: f64 =
        range.clone().map(|i| f64::from(columns.climb[i]) * f64::from(columns.volume_mm3[i])).sum();
    let axial = if area > 0.0 { volume / area } else { 0.0 };
    let width = if group.way_mm > 1e-6 { (area / group.way_mm).min(diameter_mm) } else { 0.0 };
    let climb = if volume > 0.0 { climbed / volume } else { 0.0 };
    for index in range {
        if columns.flags[index].has(MoveFlags::CUTS) {
            columns.axial_depth_mm[index] = axial as f32;
            columns.radial_width_mm[index] = width as f32;
            columns.climb[index] = climb as f32;
        }
    }
}
