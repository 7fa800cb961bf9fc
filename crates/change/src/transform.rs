//! Moving, turning and mirroring a toolpath on the table.

use kw_base::math;
use kw_geometry::{Plane, Vec2, Vec3};
use kw_nc::toolpath::{ArcData, NewMove, Origin};
use kw_nc::{Move, MoveKind, Toolpath};

/// What is done to a toolpath, in machine coordinates: mirrored, then turned about `about_mm`, then
/// moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transform {
    /// Point that turning and mirroring leave where it is, mm.
    pub about_mm: Vec2,
    /// Whether X is mirrored before turning.
    pub mirror_x: bool,
    /// Angle, rad, counterclockwise.
    pub turn_rad: f64,
    /// Shift afterwards, mm.
    pub shift_mm: Vec3,
    /// Largest departure where an arc must become chords, mm.
    pub chord_tolerance_mm: f64,
}

impl Default for Transform {
    /// Nothing happens; chords within a hundredth of a millimetre.
    fn default() -> Self {
        Self {
            about_mm: Vec2::default(),
            mirror_x: false,
            turn_rad: 0.0,
            shift_mm: Vec3::ZERO,
            chord_tolerance_mm: 0.01,
        }
    }
}

/// A changed toolpath and what a person must know of the change.
#[derive(Clone, Debug, PartialEq)]
pub struct Transformed {
    /// The new toolpath.
    pub toolpath: Toolpath,
    /// Whether climb cutting became conventional and the other way round.
    pub sides_swapped: bool,
    /// Arcs in upright planes that became chords, because their plane no longer is one of the
    /// machine's.
    pub arcs_as_chords: usize,
}

/// Why a toolpath cannot be changed so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TransformError {
    /// A figure of the transform is not finite, or the tolerance is not above 0.
    NotUsable,
}

impl std::fmt::Display for TransformError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotUsable => {
                write!(f, "angle, shift and point must be finite and the tolerance above 0 mm")
            }
        }
    }
}

impl std::error::Error for TransformError {}

/// Applies a transform to all moves but those to the machine's own positions (G28, G30).
///
/// Tool tips are transformed, so that heads beside the reference head land right. Arcs in XY stay
/// arcs; arcs in upright planes stay arcs at quarter turns and become chords else. A knife's rotary
/// position turns along.
pub fn transform(path: &Toolpath, t: &Transform) -> Result<Transformed, TransformError> {
    let finite = t.about_mm.length().is_finite()
        && t.turn_rad.is_finite()
        && t.shift_mm.is_finite()
        && t.chord_tolerance_mm > 0.0;
    if !finite {
        return Err(TransformError::NotUsable);
    }
    let mut new = Toolpath {
        start_mm: path.start_mm,
        start_rotary_deg: path.start_rotary_deg,
        states: path.states.clone(),
        blocks_run: path.blocks_run,
        ..Toolpath::default()
    };
    let map = Map::of(t);
    let mut first_of_move = Vec::with_capacity(path.len() + 1);
    let mut arcs_as_chords = 0;
    for m in path.moves() {
        first_of_move.push(new.len() as u32);
        if map.arc_plane(&m).is_none() {
            arcs_as_chords += 1;
            push_chords(&mut new, &m, &map, t.chord_tolerance_mm);
        } else {
            push_move(&mut new, &m, &map);
        }
    }
    first_of_move.push(new.len() as u32);
    new.events = path.events.clone();
    for event in &mut new.events {
        event.before_move = first_of_move[(event.before_move as usize).min(path.len())];
    }
    Ok(Transformed { toolpath: new, sides_swapped: t.mirror_x, arcs_as_chords })
}

/// The transform with its sine and cosine ready.
struct Map {
    about: Vec2,
    mirror: bool,
    /// Exact for quarter turns.
    sin: f64,
    cos: f64,
    turn_deg: f64,
    quarter_turns: Option<i64>,
    shift: Vec3,
}

/// An angle this near a quarter turn is one, rad.
const QUARTER_RAD: f64 = 1e-12;

impl Map {
    fn of(t: &Transform) -> Self {
        let quarters = (t.turn_rad / math::FRAC_PI_2).round();
        let is_quarter = (t.turn_rad - quarters * math::FRAC_PI_2).abs() < QUARTER_RAD;
        let quarter_turns = is_quarter.then_some((quarters as i64).rem_euclid(4));
        let (sin, cos) = match quarter_turns {
            Some(0) => (0.0, 1.0),
            Some(1) => (1.0, 0.0),
            Some(2) => (0.0, -1.0),
            Some(_) => (-1.0, 0.0),
            None => math::sincos(t.turn_rad),
        };
        Self {
            about: t.about_mm,
            mirror: t.mirror_x,
            sin,
            cos,
            turn_deg: t.turn_rad.to_degrees(),
            quarter_turns,
            shift: t.shift_mm,
        }
    }

    fn point(&self, p: Vec2) -> Vec2 {
        let mut d = p - self.about;
        if self.mirror {
            d.x = -d.x;
        }
        let turned = Vec2::new(d.x * self.cos - d.y * self.sin, d.x * self.sin + d.y * self.cos);
        self.about + turned + self.shift.xy()
    }

    /// Axis position after the transform of the tool tip.
    fn axis(&self, axis: Vec3, tip_offset: Vec3) -> Vec3 {
        let tip = axis + tip_offset;
        let p = self.point(tip.xy());
        Vec3::new(p.x, p.y, tip.z + self.shift.z) - tip_offset
    }

    fn rotary_deg(&self, deg: f64) -> f64 {
        let mirrored = if self.mirror { 180.0 - deg } else { deg };
        mirrored + self.turn_deg
    }

    /// Plane of a move's arc afterwards; `None` if it is an arc that must become chords.
    fn arc_plane(&self, m: &Move<'_>) -> Option<Plane> {
        let Some(arc) = m.arc else { return Some(Plane::Xy) };
        match (arc.plane, self.quarter_turns) {
            (Plane::Xy, _) => Some(Plane::Xy),
            (plane, Some(q)) if q % 2 == 0 => Some(plane),
            (Plane::Zx, Some(_)) => Some(Plane::Yz),
            (Plane::Yz, Some(_)) => Some(Plane::Zx),
            (_, None) => None,
        }
    }
}

fn stays(m: &Move<'_>) -> bool {
    m.origin == Origin::Home
}

fn template(m: &Move<'_>, end_mm: Vec3, rotary_deg: Option<f64>) -> NewMove {
    NewMove {
        kind: m.kind,
        origin: m.origin,
        end_mm,
        arc: None,
        rotary_deg,
        feed: m.feed,
        block_at: m.block_at,
        state: m.state_index,
    }
}

/// Where the axes are at the start of a move afterwards.
fn from_after(new: &Toolpath) -> Vec3 {
    new.end_mm.last().copied().unwrap_or(new.start_mm)
}

fn push_move(new: &mut Toolpath, m: &Move<'_>, map: &Map) {
    let offset = m.state.tip_offset_mm;
    // Axes that a move does not change keep their place: straight up stays straight up even where
    // the move before it went to a position of the machine's own.
    let mut end = if stays(m) { m.to_mm } else { map.axis(m.to_mm, offset) };
    if m.from_mm.xy().distance(m.to_mm.xy()) == 0.0 && m.arc.is_none() {
        let at = from_after(new);
        end = Vec3::new(at.x, at.y, end.z);
    }
    let turns = m.rotary_deg.0 != m.rotary_deg.1 || !new.rotary_deg.is_empty();
    let rotary =
        turns.then(|| if stays(m) { m.rotary_deg.1 } else { map.rotary_deg(m.rotary_deg.1) });
    let mut next = template(m, end, rotary);
    next.arc = m.arc.map(|arc| moved_arc(&arc, m, map));
    new.push(next);
}

fn moved_arc(arc: &ArcData, m: &Move<'_>, map: &Map) -> ArcData {
    let offset = m.state.tip_offset_mm;
    let normal = arc.plane.split(m.from_mm).1;
    let centre = map.axis(arc.plane.join(arc.centre_mm, normal), offset);
    let plane = map.arc_plane(m).unwrap_or(arc.plane);
    ArcData {
        centre_mm: plane.split(centre).0,
        sweep_rad: arc.sweep_rad * sense(arc.plane, plane, map),
        plane,
    }
}

/// +1 if an arc keeps its sense of turning, −1 if the transform swaps it. The sense is that of the
/// plane's first axis towards its second, so it swaps when the images of both together do.
fn sense(from: Plane, to: Plane, map: &Map) -> f64 {
    let image = |p: Plane, first: bool| {
        let unit = if first { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) };
        let space = p.join(unit, 0.0);
        let mut x = space.x;
        if map.mirror {
            x = -x;
        }
        let turned =
            Vec3::new(x * map.cos - space.y * map.sin, x * map.sin + space.y * map.cos, space.z);
        to.split(turned).0
    };
    if image(from, true).cross(image(from, false)) < 0.0 { -1.0 } else { 1.0 }
}

fn push_chords(new: &mut Toolpath, m: &Move<'_>, map: &Map, tolerance_mm: f64) {
    let Some(arc) = m.axis_arc() else { return };
    let chords = arc.chord_count(tolerance_mm);
    let (from_deg, to_deg) = m.rotary_deg;
    for i in 1..=chords {
        let t = i as f64 / chords as f64;
        let end = map.axis(arc.point_at(t), m.state.tip_offset_mm);
        let deg = from_deg + (to_deg - from_deg) * t;
        let turns = from_deg != to_deg || !new.rotary_deg.is_empty();
        let rotary = turns.then(|| map.rotary_deg(deg));
        new.push(NewMove { kind: MoveKind::Line, ..template(m, end, rotary) });
    }
}
