#![doc = include_str!("rapid_below_surface.md")]

use crate::Context;
use crate::context::SURFACE_TOLERANCE_MM;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, Severity};
use kw_geometry::{Bounds, Vec2};
use kw_nc::toolpath::Origin;
use kw_nc::{Move, MoveKind};

check_info!(
    "rapid-below-surface",
    Stop,
    "a rapid move runs below the sheet's surface",
    "rapid_below_surface.md"
);

/// Sideways motion smaller than this still counts as straight up, mm.
const SIDEWAYS_MM: f64 = 1e-6;

/// Tells rapid moves below the surface; remembers the hole being drilled.
#[derive(Default)]
pub struct RapidBelowSurface {
    /// Where the last plunge at feed went, and how deep the tip has been there.
    hole: Option<(Vec2, f64)>,
}

impl RapidBelowSurface {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        let back_in_hole = self.follow_hole(m);
        if m.kind != MoveKind::Rapid
            || m.origin == Origin::Cycle
            || back_in_hole
            || !ctx.reaches_below_surface(tip)
            || is_retract(m)
            || is_beside_sheet(ctx, m, tip)
        {
            return;
        }
        let finding = finding(ctx, m, tip);
        if log.wants(INFO.name, finding.severity) {
            log.push_wanted(finding);
        }
    }

    /// Follows straight plunges; says whether this is a rapid within a hole drilled just before, as
    /// peck drilling does.
    fn follow_hole(&mut self, m: &Move<'_>) -> bool {
        let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
        if m.arc.is_some() || from.xy().distance(to.xy()) >= SIDEWAYS_MM {
            self.hole = None;
            return false;
        }
        match &mut self.hole {
            Some((at, deepest)) if at.distance(to.xy()) < SIDEWAYS_MM => {
                if m.kind == MoveKind::Rapid {
                    return to.z >= *deepest;
                }
                *deepest = deepest.min(to.z);
            }
            _ if m.kind != MoveKind::Rapid => self.hole = Some((to.xy(), from.z.min(to.z))),
            _ => {}
        }
        false
    }
}

/// Straight up out of the material.
fn is_retract(m: &Move<'_>) -> bool {
    let (from, to) = (m.from_mm, m.to_mm);
    from.xy().distance(to.xy()) < SIDEWAYS_MM && to.z >= from.z
}

fn is_beside_sheet(ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds) -> bool {
    let (min, max) = ctx.sheet_extent;
    let r = ctx.radius_mm(m.state);
    tip.max.x < min.x - r || tip.min.x > max.x + r || tip.max.y < min.y - r || tip.min.y > max.y + r
}

fn finding(ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds) -> Finding {
    let depth = ctx.sheet_top_z_mm - tip.min.z;
    let letters = if m.tip_to_mm().z < ctx.sheet_top_z_mm - SURFACE_TOLERANCE_MM {
        ['Z', 'X', 'Y']
    } else {
        ['X', 'Y', 'Z']
    };
    let bite = ctx.material.map(|material| material.stock.moves.bite_mm[m.index]);
    let (through, label) = match bite {
        Some(0.0) => ("; on the depth map the way is clear", "rapid, through what is cut already"),
        Some(_) => (" and meets material", "rapid, not at feed"),
        None => ("", "rapid, not at feed"),
    };
    let mut finding = INFO.finding(
        ctx.place_of_first_word(m.block_at, &letters),
        format!("a rapid move runs {depth:.3} mm below the sheet's surface{through}"),
    );
    if bite == Some(0.0) {
        finding.severity = Severity::Care;
    }
    finding
        .with_label(label)
        .with_value(depth, "mm")
        .with_limit(0.0, None)
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help("retract above the sheet first, or make it a move at feed (G1 with F)")
}
