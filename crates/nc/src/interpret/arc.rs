//! Arcs: centre from offsets or radius, sweep, what makes an arc impossible.

use super::Interpreter;
use super::compensation::{Contour, FirstArc, Shape};
use super::emit::Step;
use super::modal::{axis_letters, centre_letters};
use crate::faults;
use crate::lex::Block;
use crate::lex::block::{Letter, ROTARY};
use crate::toolpath::{ArcData, MoveKind, Origin};
use kw_base::math::{self, PI, TAU};
use kw_geometry::{Arc, Vec2, Vec3};

/// End and start nearer than this are one point, mm: far below any machine's resolution, far above
/// rounding of sums of offsets. Larger would turn tiny arcs into full circles.
const SAME_POINT_MM: f64 = 1e-9;

/// Radius tolerance of the published language in inch programs: 0.0002 in, mm.
const INCH_TOLERANCE_MM: f64 = 0.00508;

/// Radius tolerance of the published language in metric programs, mm.
const METRIC_TOLERANCE_MM: f64 = 0.002;

/// Largest radius mismatch, as a share of the radius, up to which the arc is still drawn as one.
/// Beyond it a straight line keeps faults of a wild arc from hiding the true fault.
const MOST_MISMATCH: f64 = 0.05;

/// An arc in its plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PlaneArc {
    /// Centre, axis position in the plane, mm.
    pub(crate) centre: Vec2,
    /// Swept angle, rad, counterclockwise positive.
    pub(crate) sweep_rad: f64,
}

/// What the words of an arc say, scaled and rotated.
#[derive(Clone, Copy, Debug)]
struct ArcWords {
    shape: Shape,
    counterclockwise: bool,
    has_end: bool,
}

impl Interpreter<'_> {
    /// G2 or G3 with at least one axis or centre word.
    pub(crate) fn arc(&mut self, block: &Block, counterclockwise: bool, used: &mut u32) {
        self.stated.first_in_plane.get_or_insert(block.at);
        self.look_at_origin(block);
        let end = self.target(block);
        let rotary_deg =
            if block.present & ROTARY == 0 { None } else { self.rotary_target(block, false) };
        let words = self.arc_words(block, counterclockwise, used);
        if self.compensates() {
            let contour = Contour { kind: MoveKind::Line, end, rotary_deg };
            return self.arc_in_compensation(block, contour, words);
        }
        let found = words.and_then(|words| self.find_arc(block, words, end));
        self.go_along_arc(block, found, end, rotary_deg);
    }

    fn arc_in_compensation(&mut self, block: &Block, contour: Contour, words: Option<ArcWords>) {
        match words {
            Some(ArcWords { shape, counterclockwise, .. }) if !self.compensation.touches => {
                let first = FirstArc { shape, counterclockwise };
                if self.first_arc(block, contour, first).is_none() {
                    self.go_along_arc(block, None, contour.end, contour.rotary_deg);
                }
            }
            Some(words) => match self.find_arc(block, words, contour.end) {
                Some(arc) => self.compensated_arc(block, contour, arc),
                None => self.compensated_line(block, contour),
            },
            None => self.compensated_line(block, contour),
        }
    }

    fn arc_words(
        &mut self,
        block: &Block,
        counterclockwise: bool,
        used: &mut u32,
    ) -> Option<ArcWords> {
        let plane = self.modal.plane;
        let [first, second, _] = axis_letters(plane);
        let [i, j] = centre_letters(plane);
        let centre_bits = Letter::of(i).bit() | Letter::of(j).bit();
        *used |= centre_bits | Letter::of(b'R').bit();
        let has_centre = block.present & centre_bits != 0;
        let has_end = block.has(first) || block.has(second);
        let Some((scale, reversed)) = self.frame.of_arcs(plane) else {
            let message = || "the arc is distorted by scaling or rotation".to_owned();
            self.log.say(faults::ARC_DISTORTED, block.span(), message);
            return None;
        };
        let counterclockwise = counterclockwise != reversed;
        if block.has(b'R') {
            if has_centre {
                let message = || "the arc has both R and centre words".to_owned();
                self.log.say(faults::ARC_CENTRE_TWICE, block.span(), message);
            }
            let shape = Shape::Radius(self.length(block, b'R') * scale);
            return Some(ArcWords { shape, counterclockwise, has_end });
        }
        if !has_centre {
            if !block.faulty {
                let message = || "an arc without radius or centre".to_owned();
                self.log.say(faults::ARC_CENTRE_MISSING, block.span(), message);
            }
            return None;
        }
        if !has_end && self.rules.strict {
            let message = || "an arc without end in its plane".to_owned();
            self.log.say(faults::ARC_END_MISSING, block.span(), message);
        }
        let shape = Shape::Centre(self.arc_centre(block));
        Some(ArcWords { shape, counterclockwise, has_end })
    }

    /// The arc from the programmed position to `end`.
    #[inline]
    fn find_arc(&mut self, block: &Block, words: ArcWords, end: Vec3) -> Option<PlaneArc> {
        let plane = self.modal.plane;
        let ends = (plane.split(self.programmed).0, plane.split(end).0);
        match words.shape {
            Shape::Centre(centre) => self.arc_about(block, ends, centre, words.counterclockwise),
            Shape::Radius(radius) => self.arc_by_radius(block, ends, radius, words),
        }
    }

    /// Centre from the centre words, axis position in the plane, mm.
    #[inline]
    fn arc_centre(&mut self, block: &Block) -> Vec2 {
        let plane = self.modal.plane;
        let [i, j] = centre_letters(plane);
        let offset = |letter| if block.has(letter) { self.length(block, letter) } else { 0.0 };
        let offsets = Vec2::new(offset(i), offset(j));
        if !self.modal.arc_absolute {
            return plane.split(self.programmed).0 + self.framed_displacement(plane, offsets);
        }
        let (start, normal) = plane.split(self.unframed());
        let shift = plane.split(self.offsets.shift).0;
        if !(block.has(i) && block.has(j)) {
            let message = || "an absolute centre with only one word".to_owned();
            self.log.say(faults::ARC_CENTRE_INCOMPLETE, block.span(), message);
        }
        let centre = Vec2::new(
            if block.has(i) { offsets.x + shift.x } else { start.x },
            if block.has(j) { offsets.y + shift.y } else { start.y },
        );
        plane.split(self.framed(plane.join(centre, normal))).0
    }

    /// Largest difference of radii that passes, mm.
    pub(crate) fn arc_tolerance_mm(&self) -> f64 {
        let metric = if self.rules.strict {
            METRIC_TOLERANCE_MM
        } else {
            self.context.dialect.arc_tolerance_mm
        };
        if self.modal.inch { metric.max(INCH_TOLERANCE_MM) } else { metric }
    }

    fn arc_about(
        &mut self,
        block: &Block,
        (start, end): (Vec2, Vec2),
        centre: Vec2,
        counterclockwise: bool,
    ) -> Option<PlaneArc> {
        let (r0, r1) = (start.distance(centre), end.distance(centre));
        let mismatch = (r0 - r1).abs();
        let tolerance = self.arc_tolerance_mm();
        if mismatch > tolerance {
            self.report_mismatch(block, mismatch, tolerance);
            if mismatch > MOST_MISMATCH * r0.max(r1) {
                return None;
            }
        }
        Some(PlaneArc { centre, sweep_rad: sweep(start - centre, end - centre, counterclockwise) })
    }

    #[cold]
    fn report_mismatch(&mut self, block: &Block, mismatch: f64, tolerance: f64) {
        let (unit, per) = if self.modal.inch { ("in", 25.4) } else { ("mm", 1.0) };
        let (value, limit) = (mismatch / per, tolerance / per);
        let source = self.dialect_setting("arc_tolerance_mm");
        let message = || {
            format!(
                "the radius at the arc's end differs by {value:.4} {unit} from that at its start"
            )
        };
        self.log.say_with(faults::ARC_RADIUS_MISMATCH, block.span(), message, |finding| {
            finding.with_value(value, unit).with_limit(limit, source)
        });
    }

    fn arc_by_radius(
        &mut self,
        block: &Block,
        (start, end): (Vec2, Vec2),
        radius: f64,
        words: ArcWords,
    ) -> Option<PlaneArc> {
        let counterclockwise = words.counterclockwise;
        if !words.has_end {
            let message = || "an arc by radius without end in its plane".to_owned();
            self.log.say(faults::ARC_END_MISSING, block.span(), message);
            return None;
        }
        let chord = start.distance(end);
        if chord <= SAME_POINT_MM {
            let message = || "an arc by radius ends where it starts".to_owned();
            self.log.say(faults::ARC_CLOSED_WITH_RADIUS, block.span(), message);
            return None;
        }
        let half = chord / 2.0;
        let size = radius.abs();
        if half - size > self.arc_tolerance_mm() {
            self.report_small_radius(block, chord, size);
            return None;
        }
        let height = (size * size - half * half).max(0.0).sqrt();
        let left = (end - start).perpendicular() * (1.0 / chord);
        let side = if counterclockwise == (radius > 0.0) { 1.0 } else { -1.0 };
        let centre = (start + end) * 0.5 + left * (side * height);
        let small = 2.0 * math::asin((half / size.max(half)).min(1.0));
        let magnitude = if radius > 0.0 { small } else { TAU - small };
        self.note_poor_radius(block, magnitude);
        let sweep_rad = if counterclockwise { magnitude } else { -magnitude };
        Some(PlaneArc { centre, sweep_rad })
    }

    #[cold]
    fn report_small_radius(&mut self, block: &Block, chord: f64, radius: f64) {
        let (unit, per) = if self.modal.inch { ("in", 25.4) } else { ("mm", 1.0) };
        let (chord, diameter) = (chord / per, 2.0 * radius / per);
        let message = || {
            format!(
                "the arc's end is {chord:.4} {unit} from its start, more than twice the radius, \
                 {diameter:.4} {unit}"
            )
        };
        self.log.say_with(faults::ARC_RADIUS_TOO_SMALL, block.span(), message, |finding| {
            finding.with_value(chord, unit).with_limit(diameter, None)
        });
    }

    fn note_poor_radius(&mut self, block: &Block, magnitude: f64) {
        let degrees = magnitude.to_degrees();
        if (165.0..=195.0).contains(&degrees) || degrees > 345.0 {
            let message = || format!("an arc by radius sweeps {degrees:.1} degrees");
            self.log.say_with(faults::ARC_RADIUS_ILL_CONDITIONED, block.span(), message, |f| {
                f.with_value(degrees, "deg")
            });
        }
    }

    fn go_along_arc(
        &mut self,
        block: &Block,
        found: Option<PlaneArc>,
        end: Vec3,
        rotary_deg: Option<f64>,
    ) {
        let plane = self.modal.plane;
        let arc = found.map(|a| ArcData { centre_mm: a.centre, sweep_rad: a.sweep_rad, plane });
        let start = self.programmed;
        let feed = match arc {
            Some(data) => self.arc_feed(block, &data.between(start, end)),
            None => self.line_feed(block, || start.distance(end)),
        };
        self.look_at_feed(block, feed);
        self.programmed = end;
        let kind = if arc.is_some() { MoveKind::Arc } else { MoveKind::Line };
        let step = Step { kind, origin: Origin::Written, end, arc, rotary_deg, feed };
        self.push(block.at, step);
    }

    /// Feed along a helix, mm/min.
    fn arc_feed(&self, block: &Block, arc: &Arc) -> f64 {
        let feed = self.line_feed(block, || arc.length_mm());
        let rise = arc.plane.split(arc.end).1 - arc.plane.split(arc.start).1;
        if !self.context.feed_on_projected_circle || rise == 0.0 {
            return feed;
        }
        let length = arc.length_mm();
        let around = (length * length - rise * rise).max(0.0).sqrt();
        if around > 0.0 { feed * length / around } else { feed }
    }
}

/// Angle from one spoke to another in the sense of turning, rad, magnitude in (0, 2π].
pub(crate) fn sweep(from: Vec2, to: Vec2, counterclockwise: bool) -> f64 {
    let turn = if from.distance(to) <= SAME_POINT_MM {
        0.0
    } else {
        math::atan2(from.cross(to), from.dot(to))
    };
    match (counterclockwise, turn) {
        (true, t) if t <= 0.0 => t + TAU,
        (false, t) if t >= 0.0 => t - TAU,
        (false, PI) => -PI,
        (_, t) => t,
    }
}
