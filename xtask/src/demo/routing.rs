//! What routing programs of the demo shop do again and again: start, change tools, follow an
//! outline in passes with ramps and tabs, bore, clear a round pocket, drill.

use super::post::{ArcMove, Post};
use super::shape::{Outline, Point, Side};

/// Feeds and heights of one tool.
#[derive(Clone, Copy, Debug)]
pub struct Cut {
    /// Feed in the plane, mm/min.
    pub feed: f64,
    /// Feed downward and in ramps, mm/min.
    pub down: f64,
    /// Height for travel above the sheet, mm.
    pub safe: f64,
}

/// Bridges left in the last pass.
#[derive(Clone, Copy, Debug)]
pub struct Tabs {
    /// At most how many, spread over the straight sides that are long enough.
    pub count: usize,
    /// Length along the cutter's way, cutter diameter included, mm.
    pub length: f64,
    /// Z of their top, mm.
    pub top: f64,
}

/// Gap between the sheet's face and where feed begins, mm.
const APPROACH: f64 = 2.0;

/// First blocks of a program for the long table: state, pins, pumps, zones, extraction.
pub fn start_long_table(post: &mut Post, zone_codes: &[&str]) {
    post.block("G21 G17 G90 G94");
    post.block("G40 G49 G80 G54");
    post.block("M62");
    post.block("M51 M52");
    for code in zone_codes {
        post.block(code);
    }
    post.block("M63");
}

/// Last blocks of a program for the long table; `zone_codes` shut the zones.
pub fn end_long_table(post: &mut Post, zone_codes: &[&str]) {
    post.block("M5");
    post.block_that_moves("G91 G28 Z0");
    post.block("G90 G49");
    post.block_that_moves("G28 X0 Y0");
    post.block("M64");
    for code in zone_codes {
        post.block(code);
    }
    post.block("M53 M54");
    post.block("M61");
    post.block("M30");
}

/// A spindle tool of the long table and its speed.
#[derive(Clone, Copy, Debug)]
pub struct LongTableTool<'a> {
    /// Number.
    pub number: u32,
    /// What the comment calls it.
    pub name: &'a str,
    /// Speed, 1/min.
    pub rpm: u32,
}

/// Changes to a tool, starts it and brings it to the safe height over the first point.
pub fn change_long_table(post: &mut Post, tool: LongTableTool<'_>, first: Point, safe: f64) {
    let LongTableTool { number, name, rpm } = tool;
    post.block("M5");
    post.block_that_moves("G91 G28 Z0");
    post.block("G90");
    post.comment(&format!("T{number} {name}"));
    post.block(&format!("T{number} M6"));
    post.block(&format!("S{rpm} M3"));
    post.rapid(first);
    post.block_to_z(&format!("G43 H{number}"), safe);
}

/// Follows an outline once per depth, ramping down along its first side, which must be straight.
pub fn contour(post: &mut Post, outline: &Outline, depths: &[f64], cut: Cut, tabs: Option<Tabs>) {
    let first = outline.sides[0].to;
    post.rapid(outline.start);
    post.rapid_z(APPROACH);
    post.plunge(0.0, cut.down);
    let mut above = 0.0;
    let mut ramp_end = outline.start;
    for &depth in depths {
        let length = ((above - depth) * 12.0).min(outline.start.distance(first) * 0.9);
        ramp_end = outline.start.step_toward(first, length);
        post.line_z(ramp_end, depth, cut.down);
        let bridged = tabs.filter(|t| depth < t.top);
        follow(post, outline, depth, cut, bridged);
        above = depth;
    }
    post.line(ramp_end, cut.feed);
    post.rapid_z(cut.safe);
}

fn follow(post: &mut Post, outline: &Outline, depth: f64, cut: Cut, tabs: Option<Tabs>) {
    let bridged = tabs.map_or_else(Vec::new, |t| bridged_sides(outline, t));
    for (index, (from, side)) in outline.with_starts().enumerate() {
        if let Some(tabs) = tabs.filter(|_| bridged.contains(&index)) {
            bridge(post, from, side.to, depth, cut, tabs);
        }
        side_at_feed(post, side, cut.feed);
    }
}

/// The sides that carry a tab: straight, long enough, neither the first nor the last.
fn bridged_sides(outline: &Outline, tabs: Tabs) -> Vec<usize> {
    let last = outline.sides.len() - 1;
    let fit: Vec<usize> = outline
        .with_starts()
        .enumerate()
        .filter(|(k, (from, side))| {
            *k > 0 && *k < last && side.arc.is_none() && from.distance(side.to) > 2.0 * tabs.length
        })
        .map(|(k, _)| k)
        .collect();
    let count = tabs.count.min(fit.len());
    (0..count).map(|k| fit[k * fit.len() / count]).collect()
}

fn bridge(post: &mut Post, from: Point, to: Point, depth: f64, cut: Cut, tabs: Tabs) {
    let half = tabs.length / 2.0 / from.distance(to);
    post.line(from.toward(to, 0.5 - half), cut.feed);
    post.plunge(tabs.top, cut.down);
    post.line(from.toward(to, 0.5 + half), cut.feed);
    post.plunge(depth, cut.down);
}

/// One side at feed.
pub fn side_at_feed(post: &mut Post, side: Side, feed: f64) {
    match side.arc {
        None => post.line(side.to, feed),
        Some((centre, clockwise)) => {
            let arc = ArcMove { to: side.to, centre, clockwise, z: None, heading_deg: None };
            post.arc(arc, feed);
        }
    }
}

/// Winds down from the face to a depth at a radius, at most `pitch` a turn, counterclockwise
/// (climbing along the wall), then a level turn.
pub fn bore(post: &mut Post, centre: Point, radius: f64, [depth, pitch]: [f64; 2], cut: Cut) {
    let start = centre.around(radius, 0.0);
    post.rapid(start);
    post.rapid_z(APPROACH);
    post.plunge(0.0, cut.down);
    let turns = (-depth / pitch).ceil() as usize;
    for turn in 1..=turns {
        full_turn(post, start, centre, Some(depth * turn as f64 / turns as f64), cut.down);
    }
    full_turn(post, start, centre, None, cut.feed);
    post.line(centre, cut.feed);
    post.rapid_z(cut.safe);
}

/// Clears a round pocket level by level: a helix in the middle, then circles at the radii given.
pub fn round_pocket(post: &mut Post, centre: Point, radii: &[f64], levels: &[f64], cut: Cut) {
    let start = centre.around(radii[0], 0.0);
    post.rapid(start);
    post.rapid_z(APPROACH);
    post.plunge(0.0, cut.down);
    for &level in levels {
        full_turn(post, start, centre, Some(level), cut.down);
        for &radius in radii {
            let at = centre.around(radius, 0.0);
            post.line(at, cut.feed);
            full_turn(post, at, centre, None, cut.feed);
        }
        post.line(start, cut.feed);
    }
    post.rapid_z(cut.safe);
}

fn full_turn(post: &mut Post, at: Point, centre: Point, z: Option<f64>, feed: f64) {
    post.arc(ArcMove { to: at, centre, clockwise: false, z, heading_deg: None }, feed);
}

/// Drills points with one cycle: its first block, then a block a point.
pub fn drill(post: &mut Post, cycle: &str, points: &[Point]) {
    for (index, point) in points.iter().enumerate() {
        let at = format!("X{} Y{}", short(point.x), short(point.y));
        post.block(&if index == 0 { format!("{cycle} {at}") } else { at });
    }
    post.block_that_moves("G80");
}

/// A coordinate with at most three digits after the point.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0');
    if text.ends_with('.') { format!("{text}0") } else { text.to_owned() }
}
