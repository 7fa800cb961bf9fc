//! A dialect: what a control understands and what its machine-specific codes do. Data, not code.

use serde::Deserialize;

/// What a control understands beyond (or short of) the published language.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Dialect {
    /// Reads by the published report's rules only; every habit below is then off.
    pub strict: bool,
    /// Codes in force when a program starts, e.g. `["G21", "G17", "G90", "G94", "G64"]`.
    pub start_codes: Vec<String>,
    /// Codes of the published language that this control does not have.
    pub missing_codes: Vec<String>,
    /// Codes that this control reads as other codes.
    pub alias: Vec<CodeAlias>,
    /// Letters E, U, V, W that this control reads as other letters.
    pub letter_alias: Vec<LetterAlias>,
    /// `;` starts a comment to the end of the line.
    pub semicolon_comments: bool,
    /// `'` starts a comment to the end of the line.
    pub apostrophe_comments: bool,
    /// `{` and `}` enclose a comment.
    pub brace_comments: bool,
    /// `O` or `:` with digits is a program number.
    pub program_numbers: bool,
    /// `M98 P… L…` calls a subprogram, `M99` returns.
    pub subprograms: bool,
    /// Deepest nesting of subprograms.
    pub max_nesting: u32,
    /// Most blocks run in one program, repeats counted.
    pub max_blocks_run: u64,
    /// How numbers without a decimal point are read.
    pub integers: IntegerRule,
    /// A comma is a decimal mark.
    pub decimal_comma: bool,
    /// How I, J, K are read at program start (G90.1 and G91.1 change it).
    pub arc_centre: ArcCentre,
    /// Largest difference between an arc's radius at start and end, mm.
    pub arc_tolerance_mm: f64,
    /// When a tool word takes effect.
    pub tool_call: ToolCall,
    /// What the digits of a tool word say.
    pub tool_word: ToolWord,
    /// A tool change makes the head that the tool belongs to the active one.
    pub tool_selects_head: bool,
    /// How tool length is applied.
    pub length_offset: LengthOffset,
    /// Unit of P in a dwell.
    pub dwell_unit: DwellUnit,
    /// Unit of F in metric programs.
    pub feed_unit: FeedUnit,
    /// Spindle speeds, 1/min, that S1, S2, ... stand for; empty if S is the speed itself.
    pub spindle_steps_rpm: Vec<f64>,
    /// G28 and G30 move only the axes that the block names, instead of all.
    pub home_named_axes_only: bool,
    /// Height to which G98 retracts.
    pub retract_height: RetractHeight,
    /// Small back-off of the peck drilling cycles, mm.
    pub peck_back_off_mm: f64,
    /// Corner above which a turned knife must lift, turn and lower again, degrees.
    pub knife_lift_deg: f64,
    /// Machine-specific codes.
    pub code: Vec<MappedCode>,
}

impl Default for Dialect {
    /// Widely used habits on; nothing mapped.
    fn default() -> Self {
        Self {
            strict: false,
            start_codes: Vec::new(),
            missing_codes: Vec::new(),
            alias: Vec::new(),
            letter_alias: Vec::new(),
            semicolon_comments: true,
            apostrophe_comments: false,
            brace_comments: false,
            program_numbers: true,
            subprograms: true,
            max_nesting: 8,
            max_blocks_run: 20_000_000,
            integers: IntegerRule::Plain,
            decimal_comma: false,
            arc_centre: ArcCentre::Incremental,
            arc_tolerance_mm: 0.002,
            tool_call: ToolCall::WithChangeCode,
            tool_word: ToolWord::Number,
            tool_selects_head: false,
            length_offset: LengthOffset::OnCode,
            dwell_unit: DwellUnit::Seconds,
            feed_unit: FeedUnit::MmPerMin,
            spindle_steps_rpm: Vec::new(),
            home_named_axes_only: false,
            retract_height: RetractHeight::BeforeBlock,
            peck_back_off_mm: 0.254,
            knife_lift_deg: 15.0,
            code: Vec::new(),
        }
    }
}

impl Dialect {
    /// The published report's rules only.
    pub fn published() -> Self {
        Self {
            strict: true,
            semicolon_comments: false,
            program_numbers: false,
            subprograms: false,
            ..Self::default()
        }
    }
}

/// How numbers without a decimal point are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum IntegerRule {
    /// As they stand.
    Plain,
    /// Thousandths of a millimetre, ten-thousandths of an inch.
    Thousandths,
}

/// What I, J, K count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ArcCentre {
    /// The start of the arc.
    Incremental,
    /// The datum.
    Absolute,
}

/// When a tool word takes effect.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolCall {
    /// T selects, M6 changes.
    WithChangeCode,
    /// T changes at once.
    ToolWord,
}

/// What the digits of a tool word say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolWord {
    /// The tool's number.
    Number,
    /// The tool's number, then two digits for the length offset that comes with it.
    NumberAndOffset,
}

/// How tool length is applied.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthOffset {
    /// By G43 H.
    OnCode,
    /// Always, with the tool change.
    WithTool,
}

/// Unit of P in a dwell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DwellUnit {
    /// Seconds.
    Seconds,
    /// Seconds with a decimal point, milliseconds without.
    MillisecondsWithoutPoint,
}

/// Unit of F in metric programs; in inch programs it is inches per minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FeedUnit {
    /// mm/min.
    MmPerMin,
    /// m/min.
    MPerMin,
    /// mm/s.
    MmPerS,
}

/// Height to which G98 retracts in a canned cycle, never below the R plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RetractHeight {
    /// That before the block of the cycle.
    BeforeBlock,
    /// That before the first of a row of cycles.
    BeforeChain,
}

/// A code that the control reads as one or several other codes.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeAlias {
    /// The code, e.g. `G71`.
    pub code: String,
    /// What it is read as, e.g. `["G21"]`.
    pub means: Vec<String>,
}

/// A letter that the control reads as another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetterAlias {
    /// The letter: `E`, `U`, `V` or `W`.
    pub letter: char,
    /// The letter that it is read as, e.g. `R` or `Z`.
    pub means: char,
}

/// A machine-specific code and what it does.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MappedCode {
    /// The code, e.g. `M21`.
    pub code: String,
    /// What it does.
    pub action: Action,
    /// Name of the zone, pump or head that the action concerns.
    pub target: Option<String>,
    /// What people call it.
    pub name: String,
    /// Time it takes, s.
    #[serde(default)]
    pub duration_s: f64,
    /// Whether it acts after the motion of its block instead of before.
    #[serde(default)]
    pub after_motion: bool,
}

/// What a machine-specific code does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Action {
    /// Makes the target head the active one.
    SelectHead,
    /// Brings the active head down into work.
    HeadDown,
    /// Takes the active head up.
    HeadUp,
    /// Starts the stroke of an oscillating knife.
    KnifeOn,
    /// Stops the stroke of an oscillating knife.
    KnifeOff,
    /// Opens the valve of the target zone.
    ZoneOn,
    /// Shuts the valve of the target zone.
    ZoneOff,
    /// Starts the target pump.
    PumpOn,
    /// Stops the target pump.
    PumpOff,
    /// Starts dust extraction.
    ExtractionOn,
    /// Stops dust extraction.
    ExtractionOff,
    /// Raises the retractable stops.
    PinsUp,
    /// Draws the retractable stops in.
    PinsDown,
    /// Starts mist.
    MistOn,
    /// Stops mist.
    MistOff,
    /// Starts the air blast.
    AirOn,
    /// Stops the air blast.
    AirOff,
    /// Shows a message.
    Message,
    /// Waits for the operator.
    Pause,
    /// Nothing that matters to the cut.
    Nothing,
}
