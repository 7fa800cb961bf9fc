//! From an analysis to the report.

use crate::loads::{loads_of, wear_of};
use crate::report::{
    BoundsOut, FindingOut, LeftOut, Named, NoteOut, PieceKind, PieceOut, ProgramFacts, Report,
    SeverityOut, SheetFacts, Summary, ToolUseOut,
};
use kw_base::{Finding, Place, Severity, SourceFile, Sources};
use kw_checks::{Analysis, ToolUse};
use kw_geometry::{Bounds, Polygon};
use kw_model::{Setup, ToolPlace};
use kw_stock::{Piece, PieceClass, Rest};

/// Format name and version of the report.
pub const REPORT_FORMAT: &str = "kerfwright-report/1";

/// What people must mind whatever the findings say; the usual cautions for routing and knife work.
pub const CAUTIONS: &[&str] = &[
    "Kerfwright advises. It never starts, stops or guards a machine: a person does.",
    "Follow the machine builder's instructions, local codes and qualified persons; where they and this report differ, they are right.",
    "Keep hands, hair, sleeves and gloves away from turning tools and moving heads; never reach in while the machine can move.",
    "Wear eye and hearing protection; a broken cutter or a part that comes loose flies.",
    "Run dust extraction; wood, plastic and composite dust harms lungs and burns. Keep aluminium and wood dust apart.",
    "Stay by the machine while it cuts; know the emergency stop and where the fire extinguisher is.",
    "Knives are sharp when they stand still too: change and carry them guarded.",
    "Isolate the machine from power before clearing a jam or working inside the danger zone.",
];

impl Report {
    /// The report of an analysis. The first file of `sources` is the program.
    pub fn of(analysis: &Analysis, sources: &Sources, setup: &Setup) -> Self {
        let log = &analysis.findings;
        let program = sources.files().first();
        Self {
            format: REPORT_FORMAT.to_owned(),
            program: ProgramFacts {
                file: program.map_or_else(String::new, |f| f.name.clone()),
                bytes: program.map_or(0, |f| f.bytes().len() as u64),
                lines: program.map_or(0, SourceFile::line_count),
            },
            machine: Named { id: setup.machine.id.clone(), name: setup.machine.name.clone() },
            sheet: SheetFacts {
                id: setup.sheet.id.clone(),
                name: setup.sheet.name.clone(),
                material: setup.material.name.clone(),
                size_mm: setup.sheet.size_mm,
                thickness_mm: setup.sheet.thickness_mm,
            },
            findings: log.findings().iter().map(|f| FindingOut::of(f, sources)).collect(),
            left_out: left_out_of(log),
            summary: Summary::of(analysis),
            tools: analysis.tools.iter().map(|tool| ToolUseOut::of(tool, setup)).collect(),
            pieces: pieces_of(analysis, sources),
            loads: loads_of(analysis),
            wear: wear_of(analysis),
            cautions: CAUTIONS.iter().map(|&c| c.to_owned()).collect(),
        }
    }
}

/// Pieces that stay loose on the table, in the order in which they come free.
fn pieces_of(analysis: &Analysis, sources: &Sources) -> Vec<PieceOut> {
    let Some(material) = &analysis.material else { return Vec::new() };
    let mut free: Vec<(u32, &Piece, &Rest)> = material
        .pieces
        .all
        .iter()
        .filter_map(|piece| Some((piece.freed_by?, piece, piece.rest.as_ref()?)))
        .filter(|(_, _, rest)| rest.class != PieceClass::Skeleton)
        .collect();
    free.sort_by_key(|&(freed_by, ..)| freed_by);
    let path = &analysis.reading.toolpath;
    let out = |(index, (freed_by, piece, rest)): (usize, (u32, &Piece, &Rest))| {
        let block_at = path.block_at[freed_by as usize];
        let points = |polygon: &Polygon| polygon.points.iter().map(|p| [p.x, p.y]).collect();
        PieceOut {
            number: index as u32 + 1,
            kind: match rest.class {
                PieceClass::Slug => PieceKind::Slug,
                _ => PieceKind::Part,
            },
            area_mm2: rest.area_mm2,
            centroid_mm: [piece.centroid_mm.x, piece.centroid_mm.y],
            box_mm: piece.box_mm.map(|p| [p.x, p.y]),
            freed_line: sources.file_of(block_at).map_or(0, |f| f.line_column(block_at).line),
            freed_at_s: analysis.plan.end_s[freed_by as usize],
            later_touches: rest.touches.len() as u32,
            outline_mm: points(&rest.outline),
            holes_mm: rest.holes.iter().map(points).collect(),
        }
    };
    free.into_iter().enumerate().map(out).collect()
}

fn left_out_of(log: &kw_base::FindingLog) -> Vec<LeftOut> {
    log.left_out()
        .into_iter()
        .map(|(check, severity, count)| LeftOut {
            check: check.to_owned(),
            severity: severity.into(),
            count,
        })
        .collect()
}

impl Summary {
    fn of(analysis: &Analysis) -> Self {
        let (totals, log) = (&analysis.totals, &analysis.findings);
        Self {
            stop: log.count(Severity::Stop),
            care: log.count(Severity::Care),
            note: log.count(Severity::Note),
            time_s: totals.time_s,
            feed_time_s: totals.feed_time_s,
            rapid_time_s: totals.rapid_time_s,
            other_time_s: totals.other_time_s,
            cut_length_mm: totals.cut_length_mm,
            rapid_length_mm: totals.rapid_length_mm,
            blocks: analysis.reading.blocks,
            moves: analysis.reading.toolpath.len() as u64,
            waits_for_person: totals.waits_for_person,
            bounds: totals.bounds.into(),
            bounds_on_sheet: totals.bounds_on_sheet.into(),
        }
    }
}

impl FindingOut {
    /// A finding with its place told in lines and columns.
    pub fn of(finding: &Finding, sources: &Sources) -> Self {
        let (file, line, column, end_column) = located(&finding.place, sources);
        Self {
            check: finding.check.to_owned(),
            severity: finding.severity.into(),
            file,
            line,
            column,
            end_column,
            message: finding.message.clone(),
            label: finding.label.clone(),
            value: finding.value.filter(|v| v.is_finite()),
            limit: finding.limit.filter(|v| v.is_finite()),
            unit: finding.unit.to_owned(),
            limit_source: finding.limit_source.as_ref().map(ToString::to_string),
            help: finding.help.clone(),
            move_index: finding.move_index,
            tip_mm: finding.tip_mm.filter(|p| p.iter().all(|v| v.is_finite())),
            notes: finding
                .notes
                .iter()
                .map(|note| NoteOut {
                    at: match located(&note.place, sources) {
                        (file, 0, ..) => file,
                        (file, line, ..) => format!("{file}:{line}"),
                    },
                    text: note.text.clone(),
                })
                .collect(),
        }
    }
}

/// File, line, first column and one past the last; zeros for a place without lines.
fn located(place: &Place, sources: &Sources) -> (String, u32, u32, u32) {
    match place {
        Place::Text(span) => match sources.file_of(span.start) {
            Some(file) => {
                let start = file.line_column(span.start);
                let end = file.line_column(span.end.max(span.start));
                let end_column = if end.line == start.line { end.column } else { start.column + 1 };
                (file.name.clone(), start.line, start.column, end_column)
            }
            None => (String::new(), 0, 0, 0),
        },
        Place::Setting(setting) => (setting.file.clone(), setting.line, 0, 0),
        Place::Program => {
            (sources.files().first().map_or_else(String::new, |f| f.name.clone()), 0, 0, 0)
        }
    }
}

impl From<Severity> for SeverityOut {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Stop => Self::Stop,
            Severity::Care => Self::Care,
            Severity::Note => Self::Note,
        }
    }
}

impl From<Bounds> for BoundsOut {
    fn from(bounds: Bounds) -> Self {
        if bounds.is_empty() {
            return Self { min: [0.0; 3], max: [0.0; 3] };
        }
        Self { min: bounds.min.to_array(), max: bounds.max.to_array() }
    }
}

impl ToolUseOut {
    fn of(tool: &ToolUse, setup: &Setup) -> Self {
        let known = setup.tool(tool.number);
        let finite = |[low, high]: [f64; 2]| if low <= high { [low, high] } else { [0.0, 0.0] };
        Self {
            number: tool.number,
            name: known.map_or_else(String::new, |t| t.kind.name.clone()),
            place: known.map_or_else(|| "unknown".to_owned(), |t| place_in_words(t.tool.place)),
            time_s: tool.time_s,
            cut_length_mm: tool.cut_length_mm,
            lowest_mm: if tool.lowest_mm.is_finite() { tool.lowest_mm } else { 0.0 },
            speed_rpm: finite(tool.speed_rpm),
            feed_mm_min: finite(tool.feed_mm_min),
        }
    }
}

/// A tool's place in words.
pub fn place_in_words(place: ToolPlace) -> String {
    match place {
        ToolPlace::Pocket(number) => format!("pocket {number}"),
        ToolPlace::InHead => "in its head".to_owned(),
        ToolPlace::HandLoad => "hand-load".to_owned(),
        ToolPlace::Shelf => "shelf".to_owned(),
    }
}
