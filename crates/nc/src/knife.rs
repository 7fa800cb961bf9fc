//! Turned knives and wheels: where the edge points against where it is going, and corners taken
//! without lifting. Figures only; what is too much is for checks to say.

use crate::toolpath::{Move, MoveKind, Toolpath};
use kw_base::math::wrap_to_pi;

/// How a turned head is judged.
#[derive(Clone, Debug, PartialEq)]
pub struct KnifeRules {
    /// Whether each head of the machine is turned to the heading, by index.
    pub turned_heads: Vec<bool>,
    /// Angle of the edge at 0° of the rotary axis, degrees counterclockwise from +X.
    pub zero_heading_deg: f64,
    /// Z of the sheet's upper face: a tip below it is in the material, machine coordinates, mm.
    pub surface_z_mm: f64,
}

/// One motion of a turned head in the material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnifeStep {
    /// Index of the move.
    pub move_index: usize,
    /// Largest angle between edge and heading during the move, degrees, 0 to 180; 0 for motions
    /// without way in the plane. The angle runs evenly from start to end, so that it is largest at
    /// one of them.
    pub off_heading_deg: f64,
    /// Angle by which the path turns at the start of the move without the knife having left the
    /// material since the move before it, degrees, 0 to 180; 0 where it came in fresh.
    pub corner_deg: f64,
    /// Angle by which the edge turns on the spot in the material in this move, degrees, not
    /// negative.
    pub turned_on_spot_deg: f64,
}

/// Ways shorter than this in the plane have no heading, mm: shorter than any control resolves.
const NO_WAY_MM: f64 = 1e-6;

/// Headings of a motion at its start and end, degrees; `None` if it has no way in the plane.
fn headings_deg(step: &Move<'_>) -> Option<(f64, f64)> {
    if let Some(arc) = step.axis_arc() {
        let at = |fraction| arc.direction_in_plane(fraction).map(|d| d.angle_rad().to_degrees());
        return Some((at(0.0)?, at(1.0)?));
    }
    let way = (step.to_mm - step.from_mm).xy();
    let heading = way.angle_rad().to_degrees();
    (way.length() > NO_WAY_MM).then_some((heading, heading))
}

/// Angle between two directions, degrees, 0 to 180.
fn apart_deg(a: f64, b: f64) -> f64 {
    wrap_to_pi((a - b).to_radians()).to_degrees().abs()
}

/// Every motion in which a turned head is in the material, in order.
pub fn knife_steps(path: &Toolpath, rules: &KnifeRules) -> Vec<KnifeStep> {
    let mut steps = Vec::new();
    let mut heading_before: Option<f64> = None;
    for step in path.moves() {
        let turned = rules.turned_heads.get(usize::from(step.state.head)) == Some(&true);
        let deepest = step.tip_from_mm().z.min(step.tip_to_mm().z);
        if !turned || deepest >= rules.surface_z_mm {
            heading_before = None;
            continue;
        }
        let headings = headings_deg(&step);
        let blade = |angle: f64| angle + rules.zero_heading_deg;
        let off_heading_deg = headings.map_or(0.0, |(start, end)| {
            let at_start = apart_deg(blade(step.rotary_deg.0), start);
            at_start.max(apart_deg(blade(step.rotary_deg.1), end))
        });
        let corner_deg = match (heading_before, headings) {
            (Some(before), Some((start, _))) => apart_deg(start, before),
            _ => 0.0,
        };
        let on_spot = step.kind == MoveKind::Turn || headings.is_none();
        steps.push(KnifeStep {
            move_index: step.index,
            off_heading_deg,
            corner_deg,
            turned_on_spot_deg: if on_spot { step.turn_deg() } else { 0.0 },
        });
        if step.tip_to_mm().z >= rules.surface_z_mm {
            heading_before = None;
        } else if let Some((_, end)) = headings {
            heading_before = Some(end);
        }
    }
    steps
}
