//! Moves as straight and round legs of the tool tip, in cells and depth steps.

use crate::grid::Grid;
use kw_geometry::{Arc, Plane, Vec2, Vec3};
use kw_nc::toolpath::{MoveKind, Toolpath};

/// A leg of a move. Depths are in depth steps below the sheet's upper face, negative above it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leg {
    pub from: Vec2,
    pub to: Vec2,
    pub depth: [f64; 2],
    pub turn: Option<Turn>,
}

/// What makes a leg round.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turn {
    pub centre: Vec2,
    /// Counterclockwise positive, magnitude in (0, 2π].
    pub sweep_rad: f64,
}

impl Leg {
    /// The same leg seen from another origin.
    pub fn relative_to(&self, origin: Vec2) -> Self {
        let turn = self.turn.map(|turn| Turn { centre: turn.centre - origin, ..turn });
        Self { from: self.from - origin, to: self.to - origin, turn, ..*self }
    }

    /// X and Y exchanged.
    pub fn transposed(&self) -> Self {
        let swap = |v: Vec2| Vec2::new(v.y, v.x);
        let turn = self.turn.map(|t| Turn { centre: swap(t.centre), sweep_rad: -t.sweep_rad });
        Self { from: swap(self.from), to: swap(self.to), turn, ..*self }
    }

    pub fn deepest(&self) -> f64 {
        self.depth[0].max(self.depth[1])
    }

    /// Smallest box around the leg's path.
    pub fn extent(&self) -> (Vec2, Vec2) {
        if let Some(turn) = self.turn {
            let arc = Arc {
                start: Vec3::new(self.from.x, self.from.y, 0.0),
                end: Vec3::new(self.to.x, self.to.y, 0.0),
                centre: turn.centre,
                sweep_rad: turn.sweep_rad,
                plane: Plane::Xy,
            };
            let bounds = arc.bounds();
            return (bounds.min.xy(), bounds.max.xy());
        }
        (
            Vec2::new(self.from.x.min(self.to.x), self.from.y.min(self.to.y)),
            Vec2::new(self.from.x.max(self.to.x), self.from.y.max(self.to.y)),
        )
    }
}

/// A move of a toolpath with its tip before and after it, machine coordinates, mm.
#[derive(Clone, Copy)]
pub(crate) struct MoveAt<'a> {
    pub path: &'a Toolpath,
    pub index: usize,
    pub from: Vec3,
    pub to: Vec3,
}

/// Turns moves into legs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LegMaker {
    pub grid: Grid,
    pub top_z_mm: f64,
    pub depth_step_mm: f64,
    /// Largest distance between a chord and what it stands for, mm.
    pub chord_tolerance_mm: f64,
    pub dog_leg_speed_mm_min: Option<[f64; 3]>,
}

/// Farthest place from the sheet's corner that a move may reach and still be swept, mm: beyond
/// any machine; keeps arithmetic in cells exact.
const FARTHEST_MM: f64 = 1e6;

/// Most chords that stand for one arc: bounds the time of an arc of absurd radius.
const MOST_CHORDS: usize = 1 << 14;

/// Difference between an arc's radius at both ends above which it is followed by chords, mm.
const SPIRAL_MM: f64 = 1e-3;

impl LegMaker {
    /// Puts the legs of a move into `legs`; says whether it could be placed at all. `from` and `to`
    /// are the tip before and after it, mm.
    ///
    /// Arcs in XY stay round if `round_ramps` or level; all others become chords.
    pub fn legs(&self, at: MoveAt<'_>, round_ramps: bool, legs: &mut Vec<Leg>) -> bool {
        legs.clear();
        let MoveAt { path, index, from, to } = at;
        if !(self.is_near(from) && self.is_near(to)) {
            return false;
        }
        match path.kind[index] {
            MoveKind::Turn => {}
            MoveKind::Rapid if self.dog_leg_speed_mm_min.is_some() => {
                self.dog_leg(from, to, legs);
            }
            MoveKind::Arc => match path.get(index).tip_arc() {
                Some(arc) => self.arc(&arc, round_ramps, legs),
                None => legs.push(self.line(from, to)),
            },
            MoveKind::Rapid | MoveKind::Line | MoveKind::Probe => legs.push(self.line(from, to)),
        }
        true
    }

    /// Whether a place is finite and not absurdly far away.
    #[inline]
    pub fn is_near(&self, place: Vec3) -> bool {
        let (x, y) = (place.x - self.grid.origin_mm.x, place.y - self.grid.origin_mm.y);
        let far = |v: f64| v.abs() <= FARTHEST_MM;
        far(x) && far(y) && far(place.z - self.top_z_mm)
    }

    fn depth(&self, z_mm: f64) -> f64 {
        (self.top_z_mm - z_mm) / self.depth_step_mm
    }

    fn line(&self, from: Vec3, to: Vec3) -> Leg {
        Leg {
            from: self.grid.to_cells(from.xy()),
            to: self.grid.to_cells(to.xy()),
            depth: [self.depth(from.z), self.depth(to.z)],
            turn: None,
        }
    }

    fn arc(&self, arc: &Arc, round_ramps: bool, legs: &mut Vec<Leg>) {
        let radius_mm = arc.radius_mm();
        let end_radius_mm = arc.end.xy().distance(arc.centre);
        let is_level = (arc.start.z - arc.end.z).abs() < 0.5 * self.depth_step_mm;
        let stays_round = arc.plane == Plane::Xy
            && (round_ramps || is_level)
            && radius_mm > SPIRAL_MM
            && radius_mm < FARTHEST_MM
            && (radius_mm - end_radius_mm).abs() <= SPIRAL_MM;
        if stays_round {
            let centre = self.grid.to_cells(arc.centre);
            let turn = Some(Turn { centre, sweep_rad: arc.sweep_rad });
            legs.push(Leg { turn, ..self.line(arc.start, arc.end) });
            return;
        }
        let count = arc.chord_count(self.chord_tolerance_mm).min(MOST_CHORDS);
        let mut from = arc.start;
        for index in 1..=count {
            let to = arc.point_at(index as f64 / count as f64);
            legs.push(self.line(from, to));
            from = to;
        }
    }

    /// Each axis runs at its own full rate until it arrives.
    fn dog_leg(&self, from: Vec3, to: Vec3, legs: &mut Vec<Leg>) {
        let Some(speed) = self.dog_leg_speed_mm_min else { return };
        let way = (to - from).to_array();
        let time = |axis: usize| {
            if speed[axis] > 0.0 { way[axis].abs() / speed[axis] } else { 0.0 }
        };
        let arrival = [time(0), time(1), time(2)];
        let at = |now: f64| {
            let share = |axis: usize| if arrival[axis] > now { now / arrival[axis] } else { 1.0 };
            from + Vec3::new(way[0] * share(0), way[1] * share(1), way[2] * share(2))
        };
        let mut stops = arrival;
        stops.sort_by(f64::total_cmp);
        let mut here = from;
        for (index, stop) in stops.into_iter().enumerate() {
            let there = if index == 2 { to } else { at(stop) };
            if there != here {
                legs.push(self.line(here, there));
            }
            here = there;
        }
    }
}
