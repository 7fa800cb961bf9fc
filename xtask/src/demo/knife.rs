//! Knives and wheels turned to their heading: follow an outline, lifting and turning at corners.

use super::post::{ArcMove, Post};
use super::shape::{Outline, Point, Side};

/// Feeds and heights of a knife.
#[derive(Clone, Copy, Debug)]
pub struct KnifeCut {
    /// Z of the tip while cutting, mm.
    pub depth: f64,
    /// Feed along the cut, mm/min.
    pub feed: f64,
    /// Feed downward, mm/min.
    pub down: f64,
    /// Height above the sheet for turning and travel, mm.
    pub lift: f64,
    /// How far past its start a closed cut runs, mm.
    pub overlap: f64,
}

/// A corner above this is lifted and turned, degrees.
const LIFT_ABOVE_DEG: f64 = 10.0;

/// Cuts along an outline; the first side gives the heading to start with.
pub fn follow(post: &mut Post, outline: &Outline, cut: KnifeCut) {
    let mut heading = heading_at_start(outline.start, outline.sides[0]);
    post.rapid_turned(outline.start, heading);
    post.plunge(cut.depth, cut.down);
    let mut moving = outline.start;
    for side in sides_with_overlap(outline, cut.overlap) {
        if moving.distance(side.to) < 1e-6 {
            continue;
        }
        let wanted = heading_at_start(moving, side);
        if difference_deg(heading, wanted) > LIFT_ABOVE_DEG {
            post.rapid_z(cut.lift);
            post.turn(wanted);
            post.plunge(cut.depth, cut.down);
        }
        heading = cut_side(post, moving, side, cut.feed);
        moving = side.to;
    }
    post.rapid_z(cut.lift);
}

/// Cuts one straight line.
pub fn slit(post: &mut Post, from: Point, to: Point, cut: KnifeCut) {
    let side = Side { to, arc: None };
    follow(post, &Outline { start: from, sides: vec![side] }, KnifeCut { overlap: 0.0, ..cut });
}

fn sides_with_overlap(outline: &Outline, overlap: f64) -> Vec<Side> {
    let mut sides = outline.sides.clone();
    let first = outline.sides[0];
    if overlap > 0.0 && first.arc.is_none() {
        sides.push(Side { to: outline.start.step_toward(first.to, overlap), arc: None });
    }
    sides
}

/// Cuts a side and gives the heading at its end, degrees.
fn cut_side(post: &mut Post, from: Point, side: Side, feed: f64) -> f64 {
    let Some((centre, clockwise)) = side.arc else {
        post.line(side.to, feed);
        return heading_at_start(from, side);
    };
    let heading = heading_of(spoke_turned(side.to.minus(centre), clockwise));
    let heading_deg = Some(heading);
    post.arc(ArcMove { to: side.to, centre, clockwise, z: None, heading_deg }, feed);
    heading
}

fn heading_at_start(from: Point, side: Side) -> f64 {
    heading_of(side.arc.map_or_else(
        || side.to.minus(from),
        |(centre, clockwise)| spoke_turned(from.minus(centre), clockwise),
    ))
}

/// The direction of travel at the end of a spoke.
fn spoke_turned(spoke: Point, clockwise: bool) -> Point {
    if clockwise { Point::new(spoke.y, -spoke.x) } else { Point::new(-spoke.y, spoke.x) }
}

/// Degrees from 0 up to 360, counterclockwise from +X, to a thousandth.
fn heading_of(way: Point) -> f64 {
    let degrees = way.y.atan2(way.x).to_degrees();
    (degrees * 1000.0).round().rem_euclid(360_000.0) / 1000.0
}

fn difference_deg(a: f64, b: f64) -> f64 {
    let difference = (a - b).rem_euclid(360.0);
    difference.min(360.0 - difference)
}
