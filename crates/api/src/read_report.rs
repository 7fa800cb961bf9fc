//! What `kerfwright read` prints: a program interpreted, nothing checked against a machine.

use crate::report::{BoundsOut, FindingOut};
use kw_base::Sources;
use kw_geometry::Bounds;
use kw_nc::{EventKind, Move, MoveKind, Reading};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A program as read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReadReport {
    /// Blocks read.
    pub blocks: u64,
    /// Number of moves.
    pub moves: u64,
    /// Axis position after the last move.
    pub end: EndOut,
    /// Path lengths without acceleration.
    pub length_mm: LengthsOut,
    /// Times without acceleration.
    pub time_s: TimesOut,
    /// Box of all axis positions, start included.
    pub bounds: BoundsOut,
    /// What reading has to say.
    pub findings: Vec<FindingOut>,
    /// Every move, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<Vec<MoveOut>>,
}

/// Axis positions at the end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct EndOut {
    /// X, mm.
    pub x: f64,
    /// Y, mm.
    pub y: f64,
    /// Z, mm.
    pub z: f64,
    /// Rotary axis, degrees.
    pub rotary_deg: f64,
}

/// Lengths by kind of move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LengthsOut {
    /// At feed, mm.
    pub feed: f64,
    /// Rapid, mm.
    pub rapid: f64,
}

/// Times without acceleration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TimesOut {
    /// Moves at feed, s; moves without a stated feed are not in it.
    pub feed: f64,
    /// Dwells, s.
    pub dwell: f64,
}

/// One move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MoveOut {
    /// Kind: `rapid`, `line`, `arc`, `turn`, `probe`.
    pub kind: String,
    /// Axis position before, mm.
    pub from: [f64; 3],
    /// Axis position after, mm.
    pub to: [f64; 3],
    /// Centre of an arc in its plane (first, second coordinate), mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub centre: Option<[f64; 2]>,
    /// Swept angle of an arc, degrees, counterclockwise positive.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sweep: Option<f64>,
    /// Feed, mm/min (a `turn`: degrees/min); 0 for rapids.
    pub feed: f64,
    /// Tool in work.
    pub tool: Option<u32>,
    /// Source line.
    pub line: u32,
    /// Rotary position after, degrees, if the program moves that axis.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rotary_deg: Option<f64>,
}

impl ReadReport {
    /// The report of a reading; `with_moves` lists every move.
    pub fn of(reading: &Reading, sources: &Sources, with_moves: bool) -> Self {
        let path = &reading.toolpath;
        let mut lengths = LengthsOut { feed: 0.0, rapid: 0.0 };
        let mut feed_s = 0.0;
        let mut bounds = Bounds::EMPTY;
        bounds.add(path.start_mm);
        for m in path.moves() {
            let length = m.length_mm();
            match m.kind {
                MoveKind::Rapid => lengths.rapid += length,
                _ => lengths.feed += length,
            }
            feed_s += m.feed_time_s().unwrap_or(0.0);
            let reach = m.axis_bounds();
            bounds.add(reach.min);
            bounds.add(reach.max);
        }
        let dwell_s = path.events.iter().map(|e| match e.kind {
            EventKind::Dwell(s) => s,
            _ => 0.0,
        });
        let end = path.end_mm.last().copied().unwrap_or(path.start_mm);
        let rotary_deg = path.rotary_deg.last().copied().unwrap_or(path.start_rotary_deg);
        Self {
            blocks: reading.blocks,
            moves: path.len() as u64,
            end: EndOut { x: end.x, y: end.y, z: end.z, rotary_deg },
            length_mm: lengths,
            time_s: TimesOut { feed: feed_s, dwell: dwell_s.sum() },
            bounds: bounds.into(),
            findings: reading
                .findings
                .findings()
                .iter()
                .map(|f| FindingOut::of(f, sources))
                .collect(),
            path: with_moves.then(|| {
                let turns = !path.rotary_deg.is_empty();
                path.moves().map(|m| MoveOut::of(&m, sources, turns)).collect()
            }),
        }
    }
}

impl MoveOut {
    fn of(m: &Move<'_>, sources: &Sources, turns: bool) -> Self {
        Self {
            kind: match m.kind {
                MoveKind::Rapid => "rapid",
                MoveKind::Line => "line",
                MoveKind::Arc => "arc",
                MoveKind::Turn => "turn",
                MoveKind::Probe => "probe",
            }
            .to_owned(),
            from: m.from_mm.to_array(),
            to: m.to_mm.to_array(),
            centre: m.arc.map(|a| [a.centre_mm.x, a.centre_mm.y]),
            sweep: m.arc.map(|a| a.sweep_rad.to_degrees()),
            feed: m.feed,
            tool: m.state.tool,
            line: sources.file_of(m.block_at).map_or(0, |f| f.line_column(m.block_at).line),
            rotary_deg: turns.then_some(m.rotary_deg.1),
        }
    }
}
