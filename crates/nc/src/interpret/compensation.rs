//! Cutter radius compensation (NISTIR 6556, section 3.5.10 and appendix B): the tool is kept
//! tangent to the programmed path, convex corners get an arc about the corner, concave corners are
//! faults.
//!
//! While it is on, the programmed position is a point of the contour, and the axis position minus
//! that point is the spoke from the contour to the tool's centre.

use super::Interpreter;
use super::arc::PlaneArc;
use super::emit::Step;
use super::modal::FeedMode;
use crate::faults;
use crate::lex::block::Letter;
use crate::lex::{Block, Code, Group};
use crate::toolpath::{ArcData, CompensationSide, MoveKind, Origin};
use kw_base::math::{self, PI, TAU};
use kw_geometry::{Plane, Vec2, Vec3};

/// Corner that turns towards the tool by less than this counts as straight, rad. Smaller would
/// refuse tangent joints whose coordinates were rounded; larger would gouge by more than
/// radius × (1 − cos) = 0.005 mm at a radius of 4 mm.
const STRAIGHT_RAD: f64 = 0.05;

/// Corner arcs below this turn are left out, rad: no machine can follow them.
const NO_CORNER_RAD: f64 = 1e-6;

/// Moves shorter than this in the plane leave the contour where it is, mm.
const NO_WAY_MM: f64 = 1e-9;

/// State of compensation beside its side.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Compensation {
    /// Radius, mm, not negative.
    radius_mm: f64,
    /// Whether the diameter is negative, which swaps the side.
    swapped: bool,
    /// Whether the tool touches the contour, so that the first move is done.
    pub(crate) touches: bool,
}

/// A motion whose compensated form is wanted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Contour {
    /// Rapid or at feed.
    pub(crate) kind: MoveKind,
    /// Programmed end as an axis position, mm.
    pub(crate) end: Vec3,
    /// Rotary position at the end, if it changes, degrees.
    pub(crate) rotary_deg: Option<f64>,
}

impl Interpreter<'_> {
    /// Whether compensation is on.
    #[inline]
    pub(crate) fn compensates(&self) -> bool {
        self.state.compensation != CompensationSide::Off
    }

    /// G40, G41, G42.
    pub(crate) fn compensation_code(&mut self, block: &Block, code: Code, used: &mut u32) {
        if code == Code::G40 {
            return self.compensation_off();
        }
        *used |= Letter::of(b'D').bit();
        if self.compensates() {
            let message = || "compensation is on already".to_owned();
            return self.log.say(faults::COMPENSATION_ON_TWICE, block.span(), message);
        }
        if self.modal.plane != Plane::Xy {
            let message = || "compensation in another plane than G17".to_owned();
            return self.log.say(faults::COMPENSATION_PLANE_WRONG, block.span(), message);
        }
        let slot = match block.get(b'D') {
            Some(value) => self.count_word(block, b'D', value),
            None => Some(self.state.tool.unwrap_or(0)),
        };
        let Some(slot) = slot else { return };
        if !self.slot_exists(block, b'D', slot, faults::OFFSET_NUMBER_TOO_HIGH) {
            return;
        }
        let diameter = self.compensation_diameter(block, slot);
        self.compensation = Compensation {
            radius_mm: diameter.abs() / 2.0,
            swapped: diameter < 0.0,
            touches: false,
        };
        self.state.compensation =
            if code == Code::G41 { CompensationSide::Left } else { CompensationSide::Right };
        self.state_changed();
    }

    fn compensation_diameter(&mut self, block: &Block, slot: u32) -> f64 {
        if slot == 0 {
            return 0.0;
        }
        let known = self.tool_entry(slot).and_then(|t| t.diameter_mm);
        if known.is_none() {
            let message = || format!("the diameter of tool {slot} is not known");
            self.log.say(faults::COMPENSATION_RADIUS_UNKNOWN, block.span(), message);
        }
        known.unwrap_or(0.0)
    }

    /// Switches off without motion: the next move starts where the tool is.
    pub(crate) fn compensation_off(&mut self) {
        if self.compensates() {
            self.state.compensation = CompensationSide::Off;
            self.state_changed();
            self.programmed = self.axis;
        }
        self.compensation = Compensation::default();
    }

    pub(crate) fn warn_of_change_in_compensation(&mut self, block: &Block) {
        if self.compensates() {
            let message = || "the tool is changed while compensation is on".to_owned();
            self.log.say(faults::COMPENSATION_TOOL_CHANGE, block.span(), message);
        }
    }

    /// Reports codes of the block that compensation forbids; gives the groups that are not to be
    /// run.
    pub(crate) fn forbidden_groups(&mut self, block: &Block) -> u32 {
        if !self.compensates() || block.has_code(Code::G40, Group::Compensation) {
            return 0;
        }
        let mut forbidden = 0;
        if matches!(block.code(Group::Plane), Some(Code::G18 | Code::G19)) {
            let message = || "the plane is changed while compensation is on".to_owned();
            self.log.say(faults::COMPENSATION_PLANE_CHANGE, block.span(), message);
            forbidden |= Group::Plane.bit();
        }
        if block.code(Group::Units).is_some_and(|c| (c == Code::G20) != self.modal.inch) {
            let message = || "units are changed while compensation is on".to_owned();
            self.log.say(faults::COMPENSATION_UNITS_CHANGE, block.span(), message);
        }
        let shifts = matches!(
            block.code(Group::Once),
            Some(Code::G92 | Code::G92_1 | Code::G92_2 | Code::G92_3 | Code::G52)
        );
        let sets_active = block.has_code(Code::G10, Group::Once)
            && block.get(b'P').is_some_and(|p| p.round() == f64::from(self.offsets.system));
        let shifts = shifts || sets_active;
        let moves_datum = block.groups & Group::WorkSystem.bit() != 0;
        if shifts || moves_datum {
            let message = || "offsets are changed while compensation is on".to_owned();
            self.log.say(faults::COMPENSATION_OFFSET_CHANGE, block.span(), message);
            forbidden |= Group::WorkSystem.bit();
            forbidden |= if shifts { Group::Once.bit() } else { 0 };
        }
        forbidden
    }

    /// Radius to the left of travel, mm: negative if the tool runs on the right.
    fn left_radius(&self) -> f64 {
        let right = self.state.compensation == CompensationSide::Right;
        let swaps = [right, self.compensation.swapped, self.frame.mirrors_xy()];
        let odd = swaps.iter().filter(|&&s| s).count() % 2 == 1;
        if odd { -self.compensation.radius_mm } else { self.compensation.radius_mm }
    }

    /// A straight motion with compensation on.
    pub(crate) fn compensated_line(&mut self, block: &Block, contour: Contour) {
        let (from, to) = (self.programmed.xy(), contour.end.xy());
        let Some(direction) = (to - from).unit().filter(|_| from.distance(to) > NO_WAY_MM) else {
            let tool = self.axis.xy();
            return self.go_compensated(block, contour, tool, None, 0.0);
        };
        let radius = self.left_radius();
        if !self.compensation.touches {
            let tool = self.first_line(block, from, to, direction, radius);
            return self.go_compensated(block, contour, tool, None, 0.0);
        }
        let spoke = direction.perpendicular() * radius;
        let corner_mm = self.round_corner(block, contour, spoke);
        self.go_compensated(block, contour, to + spoke, None, corner_mm);
    }

    /// Where the tool's centre ends on the first straight move: it touches the programmed end and
    /// the path is tangent to the tool at its start.
    fn first_line(&mut self, block: &Block, from: Vec2, to: Vec2, way: Vec2, radius: f64) -> Vec2 {
        let distance = from.distance(to);
        if distance <= radius.abs() {
            self.report_gouge(block, distance, radius.abs());
            return to;
        }
        self.compensation.touches = true;
        let turn = math::asin(radius / distance);
        from + way.rotated(turn) * (distance * distance - radius * radius).sqrt()
    }

    fn report_gouge(&mut self, block: &Block, distance: f64, radius: f64) {
        let message = || {
            format!(
                "the first move with compensation is {distance:.4} mm long; \
                 the tool's radius is {radius:.4} mm"
            )
        };
        self.log.say_with(faults::ENTRY_GOUGES, block.span(), message, |finding| {
            finding.with_value(distance, "mm").with_limit(radius, None)
        });
    }

    /// Goes round the corner from the present spoke to `spoke`; gives the length of the arc, mm.
    fn round_corner(&mut self, block: &Block, contour: Contour, spoke: Vec2) -> f64 {
        let corner = self.programmed.xy();
        let old = self.axis.xy() - corner;
        let radius = spoke.length();
        if radius <= NO_WAY_MM {
            return 0.0;
        }
        let left = self.left_radius() > 0.0;
        let turn = math::atan2(old.cross(spoke), old.dot(spoke));
        // The tool on the left goes round a convex corner clockwise.
        let round = if left { -turn } else { turn };
        let round = if round < -STRAIGHT_RAD { round + TAU } else { round };
        if round > PI + STRAIGHT_RAD {
            let degrees = (TAU - round).to_degrees();
            let message = || format!("the contour turns towards the tool by {degrees:.1} degrees");
            self.log.say_with(faults::CORNER_CONCAVE, block.span(), message, |finding| {
                finding.with_value(degrees, "deg")
            });
            return 0.0;
        }
        if round < NO_CORNER_RAD {
            return 0.0;
        }
        let sweep_rad = if left { -round } else { round };
        let length = radius * round;
        let end = corner + spoke;
        let arc = ArcData { centre_mm: corner, sweep_rad, plane: Plane::Xy };
        let feed = self.corner_feed(block, contour, length);
        self.push(
            block.at,
            Step {
                kind: MoveKind::Arc,
                origin: Origin::Compensation,
                end: Vec3::new(end.x, end.y, self.axis.z),
                arc: Some(arc),
                rotary_deg: None,
                feed,
            },
        );
        length
    }

    /// Feed of a corner arc: that of its block. In inverse time the block's time covers the corner
    /// and the contour after it.
    fn corner_feed(&self, block: &Block, contour: Contour, corner_mm: f64) -> f64 {
        let contour_mm = self.programmed.distance(contour.end);
        self.line_feed(block, || corner_mm + contour_mm)
    }

    /// Adds the compensated motion that ends with the tool's centre at `tool`.
    fn go_compensated(
        &mut self,
        block: &Block,
        contour: Contour,
        tool: Vec2,
        arc: Option<ArcData>,
        corner_mm: f64,
    ) {
        let end = Vec3::new(tool.x, tool.y, contour.end.z);
        let kind = if arc.is_some() { MoveKind::Arc } else { contour.kind };
        let start = self.axis;
        let length = || match arc {
            Some(data) => data.between(start, end).length_mm(),
            None => start.distance(end),
        };
        let feed = if kind == MoveKind::Rapid {
            0.0
        } else if self.modal.feed_mode == FeedMode::InverseTime && corner_mm > 0.0 {
            self.corner_feed(block, contour, corner_mm)
        } else {
            self.line_feed(block, length)
        };
        if kind != MoveKind::Rapid {
            self.look_at_feed(block, feed);
        }
        let rotary_deg = contour.rotary_deg;
        self.push(block.at, Step { kind, origin: Origin::Written, end, arc, rotary_deg, feed });
        self.programmed = contour.end;
        if !self.compensation.touches {
            self.programmed = end;
        }
    }

    /// An arc with compensation on that touches the contour already.
    pub(crate) fn compensated_arc(&mut self, block: &Block, contour: Contour, arc: PlaneArc) {
        let (from, to) = (self.programmed.xy(), contour.end.xy());
        let (Some(out_from), Some(out_to)) = ((from - arc.centre).unit(), (to - arc.centre).unit())
        else {
            return self.compensated_line(block, contour);
        };
        // The left of a counterclockwise arc is its inside.
        let outward = if arc.sweep_rad > 0.0 { -self.left_radius() } else { self.left_radius() };
        let corner_mm = self.round_corner(block, contour, out_from * outward);
        let tool = to + out_to * outward;
        let radius = from.distance(arc.centre);
        if radius + outward <= 0.0 {
            self.report_tight_arc(block, radius);
            return self.go_compensated(block, contour, tool, None, corner_mm);
        }
        let data = ArcData { centre_mm: arc.centre, sweep_rad: arc.sweep_rad, plane: Plane::Xy };
        self.go_compensated(block, contour, tool, Some(data), corner_mm);
    }

    fn report_tight_arc(&mut self, block: &Block, radius: f64) {
        let tool = self.compensation.radius_mm;
        let message =
            || format!("an inside arc of radius {radius:.4} mm for a tool of radius {tool:.4} mm");
        self.log.say_with(faults::ARC_TIGHTER_THAN_TOOL, block.span(), message, |finding| {
            finding.with_value(radius, "mm").with_limit(tool, None)
        });
    }

    /// An arc as the first move with compensation on: an arc about the programmed centre through
    /// the programmed end, tangent to the tool where it is now. `None`, reported, if there is none.
    pub(crate) fn first_arc(
        &mut self,
        block: &Block,
        contour: Contour,
        first: FirstArc,
    ) -> Option<()> {
        let (tool, to) = (self.axis.xy(), contour.end.xy());
        let left = self.left_radius();
        let outward = if first.counterclockwise { -left } else { left };
        let centre = match first.shape {
            Shape::Centre(centre) => centre,
            Shape::Radius(radius) => {
                let side = first.counterclockwise == (radius > 0.0);
                centre_by_distances(tool, to, [radius.abs() + outward, radius.abs()], side)
                    .or_else(|| {
                        self.report_no_entry(block);
                        None
                    })?
            }
        };
        let radius = to.distance(centre);
        if radius + outward <= 0.0 {
            self.report_tight_arc(block, radius);
            return None;
        }
        let mismatch = (tool.distance(centre) - (radius + outward)).abs();
        if mismatch > self.arc_tolerance_mm() {
            self.report_no_entry(block);
            return None;
        }
        let out = (to - centre).unit()?;
        let end = centre + out * (radius + outward);
        let sweep_rad = super::arc::sweep(tool - centre, end - centre, first.counterclockwise);
        self.compensation.touches = true;
        let data = ArcData { centre_mm: centre, sweep_rad, plane: Plane::Xy };
        self.go_compensated(block, contour, end, Some(data), 0.0);
        Some(())
    }

    fn report_no_entry(&mut self, block: &Block) {
        let message = || "the first arc with compensation is not tangent to the tool".to_owned();
        self.log.say(faults::ENTRY_GOUGES, block.span(), message);
    }
}

/// How a first arc is given.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Shape {
    /// By its centre, mm.
    Centre(Vec2),
    /// By its radius, mm; negative for sweeps above half a turn.
    Radius(f64),
}

/// A first arc.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FirstArc {
    pub(crate) shape: Shape,
    pub(crate) counterclockwise: bool,
}

/// The point at given distances from two points, on the left of the way between them or the right.
fn centre_by_distances(a: Vec2, b: Vec2, [from_a, from_b]: [f64; 2], left: bool) -> Option<Vec2> {
    let way = (b - a).unit()?;
    let distance = a.distance(b);
    let along = (from_a * from_a - from_b * from_b + distance * distance) / (2.0 * distance);
    let height = from_a * from_a - along * along;
    if height < 0.0 || from_a <= 0.0 {
        return None;
    }
    let aside = way.perpendicular() * height.sqrt();
    Some(a + way * along + if left { aside } else { -aside })
}
