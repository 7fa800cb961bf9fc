//! Margins of a piece against loads: resisting over driving, for each way it can move.

use super::anchor::Anchor;
use super::contact::{Contact, GrippedPiece};
use super::edge::lift_off_margin;
use super::twist::Points;
use kw_base::math::{self, TAU};
use kw_geometry::Vec2;

/// What the cutter does to a piece at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Load {
    /// Force in the plane of the sheet, N.
    pub force_n: Vec2,
    /// Where it acts, mm.
    pub at_mm: Vec2,
    /// Height of the force above the underside of the piece, mm; the sheet's top unless known.
    pub height_mm: f64,
    /// Upward force of the cutter at the same point, N; negative for one that presses down.
    pub up_n: f64,
}

impl Load {
    /// The same load turned into `count` directions all round: for a direction that is not known.
    pub fn all_round(self, count: usize) -> Vec<Self> {
        let strength = self.force_n.length();
        let turned = |i: usize| {
            let (sin, cos) = math::sincos(TAU * i as f64 / count as f64);
            Self { force_n: Vec2::new(cos, sin) * strength, ..self }
        };
        (0..count).map(turned).collect()
    }

    fn is_finite(&self) -> bool {
        let all =
            [self.force_n.x, self.force_n.y, self.at_mm.x, self.at_mm.y, self.height_mm, self.up_n];
        all.iter().all(|value| value.is_finite())
    }

    fn scaled(self, factor: f64) -> Self {
        Self { force_n: self.force_n * factor, up_n: self.up_n * factor, ..self }
    }
}

/// A way in which a piece can move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Criterion {
    /// Lifted off the board as a whole.
    Lift,
    /// Slides and turns on the board.
    Slide,
    /// Lifts off at one edge, after which air rushes in.
    EdgeLift,
}

impl Criterion {
    /// The words shown to people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lift => "lifts off",
            Self::Slide => "slides or turns",
            Self::EdgeLift => "lifts at an edge",
        }
    }
}

/// Margins against one load; infinite where the load does nothing of the kind, 0 for a load that is no
/// number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// (Vacuum + weight)/upward force.
    pub lift: f64,
    /// Friction capacity against slide and turn together/force in the plane.
    pub slide: f64,
    /// Load at which an edge starts to lift/this load.
    pub edge_lift: f64,
}

impl Margins {
    /// The smallest and what it is about.
    pub fn smallest(&self) -> (f64, Criterion) {
        [(self.slide, Criterion::Slide), (self.edge_lift, Criterion::EdgeLift)].into_iter().fold(
            (self.lift, Criterion::Lift),
            |least, next| if next.0 < least.0 { next } else { least },
        )
    }
}

/// The smallest margin over several loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Resisting over driving; above 1 the piece stays. Infinite without loads.
    pub value: f64,
    /// How the piece would move.
    pub criterion: Criterion,
    /// Index of the load concerned.
    pub load: usize,
}

impl Margin {
    /// Nothing drives the piece.
    pub const NOTHING: Self = Self { value: f64::INFINITY, criterion: Criterion::Lift, load: 0 };
}

/// Remembers friction capacities by load: they depend only on the load's line and on how the pull is shared
/// among zones, so most events and all ends of the bands find them here.
#[derive(Clone, Debug, Default)]
pub struct TwistMemo {
    entries: Vec<Option<Entry>>,
    points: Points,
}

#[derive(Clone, Debug)]
struct Entry {
    line: [f64; 4],
    shares: Vec<f64>,
    factor: f64,
}

/// Loads a memo holds; further ones are computed anew.
const MEMO_LOADS: usize = 256;
/// Change of a zone's share of the pull from which a capacity is computed anew; moves it by less than the
/// polish.
const SAME_SHARE: f64 = 1e-5;

impl GrippedPiece<'_> {
    /// Margins against one load at a contact, with what still ties the piece to the sheet.
    pub fn margins(&self, contact: &Contact, load: &Load, anchors: &[Anchor]) -> Margins {
        self.margins_remembered(contact, (0, load), anchors, &mut TwistMemo::default())
    }

    /// The smallest margin over loads, each times a factor; infinite without loads.
    ///
    /// `memo` must be used with this piece's shape only.
    pub fn worst(
        &self,
        contact: &Contact,
        (loads, factor): (&[Load], f64),
        anchors: &[Anchor],
        memo: &mut TwistMemo,
    ) -> Margin {
        let mut worst = Margin::NOTHING;
        for (index, load) in loads.iter().enumerate() {
            let scaled = load.scaled(factor);
            let margins = self.margins_remembered(contact, (index, &scaled), anchors, memo);
            let (value, criterion) = margins.smallest();
            if value < worst.value {
                worst = Margin { value, criterion, load: index };
            }
        }
        worst
    }

    /// Upper bound of the margin over loads without edge loss, turning and tipping.
    pub(super) fn largest_margin(&self, vacuum_n: f64, loads: &[Load], factor: f64) -> f64 {
        let down_n = vacuum_n + self.weight_n;
        let of = |load: &Load| {
            let load = load.scaled(factor);
            let lift = if load.up_n > 0.0 { down_n / load.up_n } else { f64::INFINITY };
            let strength = load.force_n.length();
            let grip = self.friction * (down_n - load.up_n).max(0.0);
            if strength > 0.0 { lift.min(grip / strength) } else { lift }
        };
        loads.iter().map(of).fold(f64::INFINITY, f64::min)
    }

    fn margins_remembered(
        &self,
        contact: &Contact,
        (index, load): (usize, &Load),
        anchors: &[Anchor],
        memo: &mut TwistMemo,
    ) -> Margins {
        if !load.is_finite() {
            return Margins { lift: 0.0, slide: 0.0, edge_lift: 0.0 };
        }
        let anchored_n: f64 = anchors.iter().map(|anchor| anchor.force_n.max(0.0)).sum();
        let down_n = contact.force_n() + anchored_n;
        let lift = if load.up_n > 0.0 { down_n / load.up_n } else { f64::INFINITY };
        let normal_n = contact.force_n() - load.up_n;
        let held_n = normal_n + anchored_n;
        if held_n.is_nan() || held_n <= 0.0 {
            return Margins { lift, slide: 0.0, edge_lift: 0.0 };
        }
        let strength = load.force_n.length();
        let slide = match load.force_n.unit() {
            None => f64::INFINITY,
            Some(direction) => {
                let at = load.at_mm - self.shape.origin - contact.centre;
                let normal_n = normal_n.max(0.0);
                let capacity = if anchors.is_empty() {
                    self.friction * normal_n * memo.factor(contact, (index, at, direction))
                } else {
                    memo.anchored(contact, self.friction * normal_n, anchors, (at, direction))
                };
                capacity / strength
            }
        };
        Margins { lift, slide, edge_lift: self.edge_margin(contact, load, anchors, held_n) }
    }

    /// Anchors count as contact that takes their force.
    fn edge_margin(&self, contact: &Contact, load: &Load, anchors: &[Anchor], held_n: f64) -> f64 {
        if !anchors.is_empty() {
            return self.edge_margin(&contact.with_anchors(anchors), load, &[], held_n);
        }
        let lever = load.at_mm - self.shape.origin - contact.centre;
        let shift = (load.force_n * load.height_mm - lever * load.up_n) * (1.0 / held_n);
        lift_off_margin(contact, shift)
    }
}

impl TwistMemo {
    /// Friction capacity over friction coefficient times normal force, 0 to 1.
    fn factor(&mut self, contact: &Contact, (index, at, direction): (usize, Vec2, Vec2)) -> f64 {
        let line = [at.x, at.y, direction.x, direction.y];
        let total = contact.force_n();
        let share =
            |part: usize| contact.pull_n_mm2[part] * contact.shape.parts[part].moments.area / total;
        let parts = contact.pull_n_mm2.len();
        if let Some(Some(entry)) = self.entries.get(index) {
            let same =
                (0..parts).all(|part| (entry.shares[part] - share(part)).abs() <= SAME_SHARE);
            let close = line.iter().zip(&entry.line).all(|(a, b)| (a - b).abs() <= SAME_LINE);
            if same && close {
                return entry.factor;
            }
        }
        self.fill(contact, 1.0 / total);
        let factor = self.points.capacity(at, direction).min(1.0);
        if index < MEMO_LOADS {
            if self.entries.len() <= index {
                self.entries.resize(index + 1, None);
            }
            let shares = (0..parts).map(share).collect();
            self.entries[index] = Some(Entry { line, shares, factor });
        }
        factor
    }

    /// Capacity, N, of friction and anchors together.
    fn anchored(
        &mut self,
        contact: &Contact,
        friction_n: f64,
        anchors: &[Anchor],
        (at, direction): (Vec2, Vec2),
    ) -> f64 {
        self.fill(contact, friction_n / contact.force_n().max(f64::MIN_POSITIVE));
        for anchor in anchors {
            let local = anchor.at_mm - contact.shape.origin - contact.centre;
            self.points.push(local, anchor.force_n, ANCHOR_SPREAD_MM2);
        }
        self.points.capacity(at, direction)
    }

    /// Cells about the centre of pressure with their pull times a factor as weight.
    fn fill(&mut self, contact: &Contact, factor: f64) {
        self.points.clear();
        for cell in &contact.shape.cells {
            let weight = contact.pull_n_mm2[cell.part] * cell.area_mm2 * factor;
            self.points.push(cell.centre - contact.centre, weight, cell.spread_mm2);
        }
    }
}

/// Difference of a load's point (mm) or direction from which its capacity is computed anew.
const SAME_LINE: f64 = 1e-6;
/// A tab is a few mm wide: keeps its power smooth when the piece turns about it.
const ANCHOR_SPREAD_MM2: f64 = 1.0;

impl Contact<'_> {
    /// The contact with anchors as further held points.
    fn with_anchors(&self, anchors: &[Anchor]) -> Self {
        let mut contact = self.clone();
        let anchored: f64 = anchors.iter().map(|anchor| anchor.force_n).sum();
        if anchored <= 0.0 {
            return contact;
        }
        let own = self.force_n();
        let total = own + anchored;
        let local = |anchor: &Anchor| anchor.at_mm - self.shape.origin;
        let centre = anchors
            .iter()
            .fold(self.centre * own, |sum, anchor| sum + local(anchor) * anchor.force_n)
            * (1.0 / total);
        let [mut xx, mut yy, mut xy] = self.spread_mm2.map(|mean| mean * own);
        let own_shift = (self.centre - centre, own);
        for (shift, force) in
            anchors.iter().map(|anchor| (local(anchor) - centre, anchor.force_n)).chain([own_shift])
        {
            xx += force * shift.x * shift.x;
            yy += force * shift.y * shift.y;
            xy += force * shift.x * shift.y;
        }
        contact.centre = centre;
        contact.spread_mm2 = [xx / total, yy / total, xy / total];
        contact
    }
}
