//! The toolpath as the page draws it: straight segments in columns, few enough to draw.
//!
//! Little endian: `KWD1`, u32 number of segments n, u32 moves of the program, u32 1 if simplified;
//! then the columns `f32[4n]` x0 y0 x1 y1 of the tool tip (machine coordinates, mm), `f32[n]` height at
//! the end above the sheet's upper face (mm), `f32[n]` end time (s), `u32[n]` index of the last move,
//! `u32[n]` source line, `u8[n]` class, `u8[n]` index into the report's tools (255: none).

mod join;

use join::{Joiner, Joins, Level};
use kw_base::Sources;
use kw_checks::Analysis;
use kw_geometry::{Vec2, Vec3};
use kw_model::Setup;
use kw_nc::{Move, MoveKind};

/// Chord error of arcs at the finest level, mm. Our choice: below what a screen shows of a sheet.
const FINEST_CHORD_MM: f64 = 0.02;

/// Class of a segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum SegmentClass {
    /// Rapid move.
    Rapid = 0,
    /// At feed below the sheet's surface.
    Cut = 1,
    /// Mostly up or down.
    Plunge = 2,
    /// At feed above the sheet.
    Above = 3,
}

/// A straight piece of the drawing.
#[derive(Clone, Copy, Debug)]
struct Segment {
    from: Vec2,
    to: Vec3,
    end_s: f64,
    move_index: u32,
    block_at: u32,
    class: SegmentClass,
    tool: u8,
}

/// Coarser levels in turn, each of four times the tolerance. A whole sheet on a screen shows about
/// 2 mm a pixel, so that joining unlike moves from 1.28 mm on hides less than joining like ones at
/// more. The last is larger than any machine: all becomes one.
const COARSER: &[Level] = &[
    Level { tolerance_mm: 0.08, joins: Joins::Alike },
    Level { tolerance_mm: 0.32, joins: Joins::Alike },
    Level { tolerance_mm: 1.28, joins: Joins::Alike },
    Level { tolerance_mm: 1.28, joins: Joins::Any },
    Level { tolerance_mm: 5.12, joins: Joins::Any },
    Level { tolerance_mm: 20.48, joins: Joins::Any },
    Level { tolerance_mm: 82.0, joins: Joins::Any },
    Level { tolerance_mm: 328.0, joins: Joins::Any },
    Level { tolerance_mm: 1311.0, joins: Joins::Any },
    Level { tolerance_mm: 1e9, joins: Joins::Any },
];

/// Times the tolerance that fits is halved towards the one before, on a scale of ratios.
const REFINEMENTS: usize = 3;

/// The drawing of an analysis with at most `budget` segments, and at least one if anything moves.
///
/// Where there are more moves than that, those that stay within a tolerance of a straight line are
/// drawn as one; a tolerance close to the least that is needed is taken.
pub fn drawing(analysis: &Analysis, sources: &Sources, setup: &Setup, budget: usize) -> Vec<u8> {
    let fitting = |level: Level| segments_of(analysis, setup, level, budget.max(1));
    let finest = Level { tolerance_mm: FINEST_CHORD_MM, joins: Joins::Nothing };
    let (segments, simplified) = match fitting(finest) {
        Some(segments) => (segments, false),
        None => (coarser(fitting), true),
    };
    let moves = analysis.reading.toolpath.len() as u32;
    encode(&segments, sources, setup.sheet_top_z_mm(), moves, simplified)
}

/// The segments of the finest level that fits, found on the ladder and then between its rungs.
fn coarser(fitting: impl Fn(Level) -> Option<Vec<Segment>>) -> Vec<Segment> {
    let on_ladder = COARSER.iter().find_map(|&level| Some((level, fitting(level)?)));
    let Some((mut level, mut segments)) = on_ladder else { return Vec::new() };
    let mut too_fine_mm = level.tolerance_mm / 4.0;
    for _ in 0..REFINEMENTS {
        let tolerance_mm = (too_fine_mm * level.tolerance_mm).sqrt();
        match fitting(Level { tolerance_mm, ..level }) {
            Some(finer) => (level.tolerance_mm, segments) = (tolerance_mm, finer),
            None => too_fine_mm = tolerance_mm,
        }
    }
    segments
}

/// The segments at a level; `None` as soon as there are more than the budget.
fn segments_of(
    analysis: &Analysis,
    setup: &Setup,
    level: Level,
    budget: usize,
) -> Option<Vec<Segment>> {
    let path = &analysis.reading.toolpath;
    let surface = setup.sheet_top_z_mm();
    let mut joiner = Joiner::new(level, path.len().min(budget));
    for m in path.moves() {
        let template = Segment {
            from: m.tip_from_mm().xy(),
            to: m.tip_to_mm(),
            end_s: analysis.plan.end_s[m.index],
            move_index: m.index as u32,
            block_at: m.block_at,
            class: class_of(&m, surface),
            tool: tool_index(analysis, &m),
        };
        let Some(arc) = m.tip_arc() else {
            if joiner.add(template) > budget {
                return None;
            }
            continue;
        };
        let chords = arc.chord_count(level.tolerance_mm);
        let start_s = template.end_s - analysis.plan.duration_s(m.index);
        let mut from = template.from;
        for i in 1..=chords {
            let t = i as f64 / chords as f64;
            let to = arc.point_at(t);
            let end_s = start_s + (template.end_s - start_s) * t;
            if joiner.add(Segment { from, to, end_s, ..template }) > budget {
                return None;
            }
            from = to.xy();
        }
    }
    Some(joiner.finish())
}

fn tool_index(analysis: &Analysis, m: &Move<'_>) -> u8 {
    let position = m.state.tool.and_then(|n| analysis.tools.iter().position(|t| t.number == n));
    position.map_or(255, |p| p.min(254) as u8)
}

fn class_of(m: &Move<'_>, surface_mm: f64) -> SegmentClass {
    if m.kind == MoveKind::Rapid {
        return SegmentClass::Rapid;
    }
    let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
    if m.arc.is_none() && from.xy().distance(to.xy()) < (to.z - from.z).abs() {
        SegmentClass::Plunge
    } else if from.z.min(to.z) < surface_mm {
        SegmentClass::Cut
    } else {
        SegmentClass::Above
    }
}

fn encode(
    segments: &[Segment],
    sources: &Sources,
    surface_mm: f64,
    moves: u32,
    simplified: bool,
) -> Vec<u8> {
    let mut out = Vec::with_capacity(16 + segments.len() * 34);
    out.extend_from_slice(b"KWD1");
    for word in [segments.len() as u32, moves, u32::from(simplified)] {
        out.extend_from_slice(&word.to_le_bytes());
    }
    let mut float = |value: f64| out.extend_from_slice(&(value as f32).to_le_bytes());
    for s in segments {
        [s.from.x, s.from.y, s.to.x, s.to.y].into_iter().for_each(&mut float);
    }
    segments.iter().for_each(|s| float(s.to.z - surface_mm));
    segments.iter().for_each(|s| float(s.end_s));
    for s in segments {
        out.extend_from_slice(&s.move_index.to_le_bytes());
    }
    for s in segments {
        let line = sources.file_of(s.block_at).map_or(0, |f| f.line_column(s.block_at).line);
        out.extend_from_slice(&line.to_le_bytes());
    }
    out.extend(segments.iter().map(|s| s.class as u8));
    out.extend(segments.iter().map(|s| s.tool));
    out
}
