//! The report of one check.

use crate::loads::{ToolLoadsOut, ToolWearOut};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Everything `kerfwright check` has to say about one program in one setup.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Report {
    /// Format name and version, `kerfwright-report/1`.
    pub format: String,
    /// The program.
    pub program: ProgramFacts,
    /// The machine it was checked against.
    pub machine: Named,
    /// The sheet it was checked against.
    pub sheet: SheetFacts,
    /// What the checks have to say, heaviest first, then by place in the text.
    pub findings: Vec<FindingOut>,
    /// Checks with more findings than are listed.
    pub left_out: Vec<LeftOut>,
    /// Counts, lengths, times.
    pub summary: Summary,
    /// Tools in order of first use.
    pub tools: Vec<ToolUseOut>,
    /// Pieces that the program sets free, in the order in which they come free; the skeleton is not
    /// among them.
    pub pieces: Vec<PieceOut>,
    /// What each turning tool goes through, by number; empty if the sheet could not be mapped.
    #[serde(default)]
    pub loads: Vec<ToolLoadsOut>,
    /// Wear of each turning tool, by number; empty if the sheet could not be mapped.
    #[serde(default)]
    pub wear: Vec<ToolWearOut>,
    /// What people must mind whatever the findings say.
    pub cautions: Vec<String>,
}

/// Facts of the program text.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ProgramFacts {
    /// File name.
    pub file: String,
    /// Size, bytes.
    pub bytes: u64,
    /// Lines.
    pub lines: u32,
}

/// An id and a name for people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Named {
    /// Id used on the command line and in addresses.
    pub id: String,
    /// Name for people.
    pub name: String,
}

/// The sheet of a report.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SheetFacts {
    /// Id.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Material, name for people.
    pub material: String,
    /// Size along X and Y, mm.
    pub size_mm: [f64; 2],
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum SeverityOut {
    /// The run must not be released like this.
    Stop,
    /// A person should look before the run.
    Care,
    /// Worth knowing.
    Note,
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FindingOut {
    /// Name of the check; `kerfwright explain NAME` explains it.
    pub check: String,
    /// Weight.
    pub severity: SeverityOut,
    /// File that it points at: the program or a file of the shop.
    pub file: String,
    /// Line from 1; 0 for the file as a whole.
    pub line: u32,
    /// Column from 1, in characters; 0 where there is none.
    pub column: u32,
    /// One past the last column.
    pub end_column: u32,
    /// What is wrong, one line, with value and unit.
    pub message: String,
    /// Words beside the marked text.
    pub label: String,
    /// The value found, in `unit`.
    pub value: Option<f64>,
    /// The limit, in `unit`.
    pub limit: Option<f64>,
    /// Unit of `value` and `limit`.
    pub unit: String,
    /// Where the limit is set, `file:line`.
    pub limit_source: Option<String>,
    /// How to mend it.
    pub help: String,
    /// Index of the move concerned.
    pub move_index: Option<u32>,
    /// Tool tip concerned, machine coordinates, mm.
    pub tip_mm: Option<[f64; 3]>,
    /// Further places: `file:line` and what is there.
    pub notes: Vec<NoteOut>,
}

/// A further place that explains a finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NoteOut {
    /// `file:line`; empty for the program as a whole.
    pub at: String,
    /// What is there.
    pub text: String,
}

/// Findings of one check beyond those listed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LeftOut {
    /// Name of the check.
    pub check: String,
    /// Weight.
    pub severity: SeverityOut,
    /// How many more there are.
    pub count: u64,
}

/// Counts, lengths, times of a program in its setup.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Summary {
    /// Number of findings that must stop the run.
    pub stop: u64,
    /// Number of findings a person should look at.
    pub care: u64,
    /// Number of findings worth knowing.
    pub note: u64,
    /// Total time, s.
    pub time_s: f64,
    /// Time of moves at feed, s.
    pub feed_time_s: f64,
    /// Time of rapid moves, s.
    pub rapid_time_s: f64,
    /// Time of tool changes, hand loading, spindle starts, dwells and switching, s.
    pub other_time_s: f64,
    /// Length of moves at feed, mm.
    pub cut_length_mm: f64,
    /// Length of rapid moves, mm.
    pub rapid_length_mm: f64,
    /// Blocks read.
    pub blocks: u64,
    /// Moves.
    pub moves: u64,
    /// Times a person must act: hand loading and programmed stops.
    pub waits_for_person: u32,
    /// Where the tool tip goes at feed, machine (table) coordinates.
    pub bounds: BoundsOut,
    /// The same from the sheet's corner of least X and Y and its upper face.
    pub bounds_on_sheet: BoundsOut,
}

/// A box with sides parallel to the axes, mm; zeros if nothing moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BoundsOut {
    /// Least X, Y, Z, mm.
    pub min: [f64; 3],
    /// Greatest X, Y, Z, mm.
    pub max: [f64; 3],
}

/// What one tool does in a program.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ToolUseOut {
    /// Number that the program calls.
    pub number: u32,
    /// Name of its type; empty if the shop does not have the tool.
    pub name: String,
    /// Where it is, in words: `pocket 4`, `hand-load`, `shelf`, `unknown`.
    pub place: String,
    /// Time from its change to the next, s.
    pub time_s: f64,
    /// Length of its moves at feed, mm.
    pub cut_length_mm: f64,
    /// Lowest point its tip reaches, from the sheet's upper face, mm; negative is below.
    pub lowest_mm: f64,
    /// Spindle speeds it runs at, 1/min.
    pub speed_rpm: [f64; 2],
    /// Feeds it runs at, mm/min.
    pub feed_mm_min: [f64; 2],
}

/// What a piece is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum PieceKind {
    /// Somebody wants it.
    Part,
    /// Waste from inside a part.
    Slug,
}

/// A piece that the program sets free; machine coordinates.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PieceOut {
    /// Number, from 1, in the order in which pieces come free.
    pub number: u32,
    /// What it is taken for; a program does not say what is wanted.
    pub kind: PieceKind,
    /// Area without holes, mm².
    pub area_mm2: f64,
    /// Centre of area, mm.
    pub centroid_mm: [f64; 2],
    /// Least and greatest corner, mm.
    pub box_mm: [[f64; 2]; 2],
    /// Line of the block that sets it free.
    pub freed_line: u32,
    /// When it comes free, s from the start.
    pub freed_at_s: f64,
    /// Moves that touch it after it is free.
    pub later_touches: u32,
    /// Outline on the lower face, counterclockwise, mm.
    pub outline_mm: Vec<[f64; 2]>,
    /// Holes, clockwise, mm.
    pub holes_mm: Vec<Vec<[f64; 2]>>,
}
