//! Where a turned knife looks at both ends of each move.

use crate::Context;
use kw_geometry::{Plane, Vec2};
use kw_model::ToolKind;
use kw_nc::{Move, MoveKind};

/// A move of a turned knife along the sheet, and the turn before it.
#[derive(Clone, Copy)]
pub(super) struct KnifeMove {
    pub move_index: usize,
    pub tool: u32,
    /// Turn from the end of the knife move before it while the blade stayed in the material, rad,
    /// not negative; 0 after a lift.
    pub turn_rad: f64,
    /// The knife move before it, if the blade stayed down.
    pub before: Option<usize>,
    /// Radius of an arc, mm.
    pub radius_mm: Option<f64>,
}

/// All moves along the sheet, in the material, of knives that are turned to their heading.
pub(super) fn knife_moves(ctx: &Context<'_>) -> Vec<KnifeMove> {
    let path = &ctx.reading.toolpath;
    let turned: Vec<Option<u32>> = path
        .states
        .iter()
        .map(|state| {
            let kind = ctx.tool(state)?.kind.kind;
            let turned = matches!(kind, ToolKind::TangentialKnife | ToolKind::OscillatingKnife);
            state.tool.filter(|_| turned)
        })
        .collect();
    let mut found = Vec::new();
    let mut last: Option<(usize, Vec2)> = None;
    for m in path.moves().filter(|_| turned.iter().any(Option::is_some)) {
        let Some(tool) = turned[m.state_index as usize] else {
            last = None;
            continue;
        };
        let tip = m.tip_bounds();
        if !ctx.reaches_below_surface(&tip) || m.tip_from_mm().z >= ctx.sheet_top_z_mm {
            last = None;
        }
        if let Some((start, end)) = headings(&m).filter(|_| ctx.reaches_below_surface(&tip)) {
            let turn_rad = last.map_or(0.0, |(_, before)| turn_between(before, start));
            found.push(KnifeMove {
                move_index: m.index,
                tool,
                turn_rad,
                before: last.map(|(index, _)| index),
                radius_mm: m.tip_arc().map(|arc| arc.radius_mm()),
            });
            last = Some((m.index, end));
        }
        if m.tip_to_mm().z >= ctx.sheet_top_z_mm {
            last = None;
        }
    }
    found
}

/// Angle between two unit directions, rad, 0 to π.
fn turn_between(a: Vec2, b: Vec2) -> f64 {
    kw_base::math::atan2((a.x * b.y - a.y * b.x).abs(), a.x * b.x + a.y * b.y)
}

/// Directions at start and end of a move along the sheet.
fn headings(m: &Move<'_>) -> Option<(Vec2, Vec2)> {
    match m.kind {
        MoveKind::Turn => None,
        MoveKind::Arc => {
            let arc = m.tip_arc().filter(|arc| arc.plane == Plane::Xy)?;
            Some((arc.direction_in_plane(0.0)?, arc.direction_in_plane(1.0)?))
        }
        _ => {
            let way = (m.to_mm - m.from_mm).xy();
            way.unit().map(|heading| (heading, heading))
        }
    }
}
