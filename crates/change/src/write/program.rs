//! Writing a whole toolpath.

use super::comments::Comments;
use super::number::NumberStyle;
use kw_base::Sources;
use kw_geometry::{Plane, Vec3};
use kw_model::Action;
use kw_model::dialect::{ArcCentre, DwellUnit, FeedUnit, LengthOffset, ToolCall, ToolWord};
use kw_nc::toolpath::CornerMode;
use kw_nc::{Event, EventKind, Move, MoveKind, MoveState, ReadContext, SpindleTurn, Toolpath};
use std::fmt::Write as _;

/// What is written beside the moves.
#[derive(Clone, Copy, Debug)]
pub struct WriteOptions<'a> {
    /// Whether positions are written in inches.
    pub inch: bool,
    /// Source whose comments are kept.
    pub comments: Option<&'a Sources>,
    /// First index of the moves that are written; events before it are left to the caller.
    pub first_move: usize,
    /// Whether the opening line with units, plane and modes is written.
    pub opening: bool,
}

impl Default for WriteOptions<'_> {
    fn default() -> Self {
        Self { inch: false, comments: None, first_move: 0, opening: true }
    }
}

/// Why a toolpath cannot be written in a dialect.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WriteError {
    /// The dialect lacks a code that is needed.
    MissingCode(String),
    /// A tool length is applied that no tool of the table has.
    UnknownLength {
        /// Move before which it is applied.
        move_index: u32,
    },
    /// A move in the air moves the rotary axis of a machine without one.
    NoRotaryAxis,
}

impl std::fmt::Display for WriteError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::MissingCode(code) => write!(f, "this machine's dialect has no {code}"),
            Self::UnknownLength { move_index } => {
                write!(f, "the tool length applied before move {move_index} is no tool's")
            }
            Self::NoRotaryAxis => {
                write!(f, "the program turns a rotary axis that is not described")
            }
        }
    }
}

impl std::error::Error for WriteError {}

/// Decimals in millimetres: half a unit of the last is less than the 1e-6 mm that is promised.
const DECIMALS_MM: usize = 6;

/// Decimals in inches, to the same end.
const DECIMALS_INCH: usize = 8;

/// Millimetres of an inch, by definition.
const MM_PER_INCH: f64 = 25.4;

/// Writes a toolpath that was read in a context as program text for the same context.
///
/// Reading the text gives the same moves (kind, end within 1e-6 mm, feed, tool, spindle) and the
/// same events but for messages. Errors: what the dialect cannot say.
pub fn write(
    path: &Toolpath,
    context: &ReadContext<'_>,
    options: &WriteOptions<'_>,
) -> Result<String, WriteError> {
    let mut writer = Writer::new(path, context, options);
    if options.opening {
        writer.opening()?;
    }
    let mut next_event =
        path.events.partition_point(|e| (e.before_move as usize) < options.first_move);
    if options.first_move == 0 {
        next_event = 0;
    }
    for m in path.moves().skip(options.first_move) {
        while path.events.get(next_event).is_some_and(|e| e.before_move as usize <= m.index) {
            writer.event(&path.events[next_event])?;
            next_event += 1;
        }
        writer.step(&m)?;
    }
    for event in path.events.iter().skip(next_event) {
        writer.event(event)?;
    }
    Ok(writer.text)
}

pub(crate) struct Writer<'a> {
    path: &'a Toolpath,
    context: &'a ReadContext<'a>,
    inch: bool,
    style: NumberStyle,
    comments: Comments<'a>,
    pub(crate) text: String,
    /// Codes in force in the text so far.
    motion: Option<u8>,
    feed: Option<f64>,
    plane: Plane,
    corner: CornerMode,
    spindle: SpindleTurn,
    tool: Option<u32>,
    /// Position of the text so far, axis coordinates, mm; `None` where it must be said anew.
    at: Option<Vec3>,
    rotary_deg: Option<f64>,
    work_system: u8,
}

impl<'a> Writer<'a> {
    pub(crate) fn new(
        path: &'a Toolpath,
        context: &'a ReadContext<'a>,
        options: &WriteOptions<'a>,
    ) -> Self {
        let decimals = if options.inch { DECIMALS_INCH } else { DECIMALS_MM };
        Self {
            path,
            context,
            inch: options.inch,
            style: NumberStyle::of(context.dialect, decimals),
            comments: Comments::new(options.comments),
            text: String::new(),
            motion: None,
            feed: None,
            plane: Plane::Xy,
            corner: CornerMode::Continuous,
            spindle: SpindleTurn::Still,
            tool: None,
            at: (options.first_move == 0).then_some(path.start_mm),
            rotary_deg: (options.first_move == 0).then_some(path.start_rotary_deg),
            work_system: 1,
        }
    }

    pub(crate) fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    pub(crate) fn opening(&mut self) -> Result<(), WriteError> {
        let mut codes = vec![if self.inch { "G20" } else { "G21" }, "G17", "G90", "G94", "G40"];
        codes.extend(["G80", "G64", "G54"]);
        if self.context.dialect.arc_centre == ArcCentre::Absolute && self.has("G91.1") {
            codes.push("G91.1");
        }
        codes.retain(|code| self.has(code) || matches!(*code, "G20" | "G21" | "G17" | "G90"));
        self.line(&codes.join(" "));
        Ok(())
    }

    fn has(&self, code: &str) -> bool {
        !self.context.dialect.missing_codes.iter().any(|c| c == code)
    }

    fn need(&self, code: &str) -> Result<(), WriteError> {
        if self.has(code) { Ok(()) } else { Err(WriteError::MissingCode(code.to_owned())) }
    }

    fn keep_comments(&mut self, block_at: u32) {
        for comment in self.comments.up_to(block_at) {
            if !comment.is_empty() {
                self.line(&format!("({comment})"));
            }
        }
    }

    /// Axis position minus program value, mm.
    fn shift(&self, state: &MoveState) -> Vec3 {
        let system = usize::from(state.work_system.clamp(1, 9)) - 1;
        let origin = self.context.origins_mm[system].unwrap_or_default();
        let length = if state.length_applied { state.applied_length_mm } else { 0.0 };
        let head = self.context.heads.get(usize::from(state.head));
        origin + Vec3::new(0.0, 0.0, length) - head.map_or(Vec3::ZERO, |h| h.offset_mm)
    }

    fn in_unit(&self, mm: f64) -> f64 {
        if self.inch { mm / MM_PER_INCH } else { mm }
    }

    fn word(&self, letter: char, mm: f64) -> String {
        format!(" {letter}{}", self.style.text(self.in_unit(mm)))
    }

    /// Writes one event. The codes it stands for take effect before the moves that follow.
    pub(crate) fn event(&mut self, event: &Event) -> Result<(), WriteError> {
        self.keep_comments(event.block_at);
        match &event.kind {
            EventKind::ToolSelected(_) | EventKind::Message(_) => {}
            EventKind::ToolChange { to, .. } => self.change_tool(to.unwrap_or(0)),
            EventKind::Spindle { turn, speed_rpm } => self.spindle(*turn, *speed_rpm),
            EventKind::Dwell(time_s) => self.dwell(*time_s),
            EventKind::Stop { optional } => self.line(if *optional { "M1" } else { "M0" }),
            EventKind::End => self.line("M30"),
            EventKind::Mapped { action, code_index, .. } => self.mapped(*action, *code_index),
            EventKind::Coolant(mist, flood) => self.coolant(*mist, *flood),
            EventKind::LengthOffset(length) => self.length(*length, event.before_move)?,
            EventKind::WorkSystem(system) => self.work_system(*system)?,
        }
        Ok(())
    }

    pub(crate) fn change_tool(&mut self, number: u32) {
        let digits = match self.context.dialect.tool_word {
            ToolWord::Number => format!("T{number}"),
            ToolWord::NumberAndOffset => format!("T{number:02}{number:02}"),
        };
        match self.context.dialect.tool_call {
            ToolCall::WithChangeCode => self.line(&format!("{digits} M6")),
            ToolCall::ToolWord => self.line(&digits),
        }
        self.tool = Some(number);
        self.spindle = SpindleTurn::Still;
    }

    pub(crate) fn spindle(&mut self, turn: SpindleTurn, speed_rpm: f64) {
        let speed = NumberStyle { decimals: 3, always_point: false, comma: false }.text(speed_rpm);
        match turn {
            SpindleTurn::Still if self.spindle == SpindleTurn::Still => {}
            SpindleTurn::Still => self.line("M5"),
            SpindleTurn::Clockwise => self.line(&format!("S{speed} M3")),
            SpindleTurn::Counterclockwise => self.line(&format!("S{speed} M4")),
        }
        self.spindle = turn;
    }

    fn dwell(&mut self, time_s: f64) {
        let style = NumberStyle { decimals: 6, always_point: false, comma: false };
        let text = match self.context.dialect.dwell_unit {
            DwellUnit::Seconds => style.text(time_s),
            DwellUnit::MillisecondsWithoutPoint => {
                NumberStyle { always_point: true, ..style }.text(time_s)
            }
        };
        self.line(&format!("G4 P{text}"));
    }

    /// Writes a machine-specific code of the dialect.
    pub(crate) fn code(&mut self, code_index: u32) {
        if let Some(mapped) = self.context.dialect.code.get(code_index as usize) {
            let code = mapped.code.clone();
            self.line(&code);
        }
    }

    fn mapped(&mut self, action: Action, code_index: u32) {
        self.code(code_index);
        if action == Action::SelectHead {
            self.at = None;
        }
    }

    pub(crate) fn coolant(&mut self, mist: bool, flood: bool) {
        match (mist, flood) {
            (false, false) => self.line("M9"),
            (true, false) => self.line("M7"),
            (false, true) => self.line("M8"),
            (true, true) => self.line("M7 M8"),
        }
    }

    pub(crate) fn length(&mut self, length: Option<f64>, before: u32) -> Result<(), WriteError> {
        if self.context.dialect.length_offset == LengthOffset::WithTool {
            return Ok(());
        }
        let Some(length) = length else {
            self.line("G49");
            return Ok(());
        };
        let fits = |number: &u32| {
            let tool = self.context.tools.get(number);
            tool.and_then(|t| t.table_length_mm).is_some_and(|l| (l - length).abs() < 1e-9)
        };
        let slot = self
            .tool
            .filter(fits)
            .or_else(|| self.context.tools.keys().copied().find(|n| fits(n)))
            .or_else(|| (length.abs() < 1e-9).then_some(0))
            .ok_or(WriteError::UnknownLength { move_index: before })?;
        self.line(&format!("G43 H{slot}"));
        Ok(())
    }

    pub(crate) fn work_system(&mut self, system: u8) -> Result<(), WriteError> {
        let codes = ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"];
        let code = codes[usize::from(system.clamp(1, 9)) - 1];
        self.need(code)?;
        self.line(code);
        self.work_system = system;
        Ok(())
    }

    /// Takes the Z axis to a position at rapid, before anything else moves.
    pub(crate) fn go_to_axis_z(&mut self, axis_z_mm: f64) -> Result<(), WriteError> {
        self.need("G53")?;
        let word = self.word('Z', axis_z_mm);
        self.line(&format!("G53 G0{word}"));
        self.motion = Some(0);
        Ok(())
    }

    /// Goes over a point at rapid, in XY first, then down to a clearance height.
    pub(crate) fn go_over(
        &mut self,
        axis_mm: Vec3,
        clear_axis_z_mm: f64,
        rotary_deg: f64,
        state: &MoveState,
    ) -> Result<(), WriteError> {
        let p = axis_mm - self.shift(state);
        let mut block = format!("G0{}{}", self.word('X', p.x), self.word('Y', p.y));
        if !self.path.rotary_deg.is_empty() {
            let rotary = self.context.rotary.ok_or(WriteError::NoRotaryAxis)?;
            let _ = write!(block, " {}{}", rotary.letter, self.style.text(rotary_deg));
            self.rotary_deg = Some(rotary_deg);
        }
        self.line(&block);
        let clear = self.word('Z', clear_axis_z_mm - self.shift(state).z);
        self.line(&format!("G0{clear}"));
        self.motion = Some(0);
        self.at = Some(Vec3::new(axis_mm.x, axis_mm.y, clear_axis_z_mm));
        Ok(())
    }

    /// Goes straight down to a point, at feed where a feed is known.
    pub(crate) fn go_down(
        &mut self,
        axis_mm: Vec3,
        feed_mm_min: f64,
        state: &MoveState,
    ) -> Result<(), WriteError> {
        let needed = self.at.is_none_or(|at| at.z > axis_mm.z);
        if needed && feed_mm_min > 0.0 {
            let z = self.word('Z', axis_mm.z - self.shift(state).z);
            let feed = self.feed_text(MoveKind::Line, feed_mm_min);
            self.line(&format!("G1{z}{feed}"));
            self.motion = Some(1);
            self.feed = Some(feed_mm_min);
            self.at = Some(axis_mm);
        }
        Ok(())
    }

    /// Writes one move.
    pub(crate) fn step(&mut self, m: &Move<'_>) -> Result<(), WriteError> {
        self.keep_comments(m.block_at);
        if m.state.work_system != self.work_system {
            self.work_system(m.state.work_system)?;
        }
        if m.state.corner != self.corner {
            self.corner_mode(m.state.corner)?;
        }
        let mut block = String::new();
        if let Some(arc) = m.arc
            && arc.plane != self.plane
        {
            block.push_str(match arc.plane {
                Plane::Xy => "G17 ",
                Plane::Zx => "G18 ",
                Plane::Yz => "G19 ",
            });
            self.plane = arc.plane;
        }
        self.motion_code(m, &mut block)?;
        let empty = block.len();
        self.axis_words(m, &mut block);
        self.rotary_word(m, &mut block)?;
        if block.len() == empty {
            // Nothing moves; still the move stands in the path, so its end is said.
            block.push_str(&self.word('Z', m.to_mm.z - self.shift(m.state).z));
        }
        self.centre_words(m, &mut block);
        self.feed_word(m, &mut block);
        self.line(block.trim_start());
        self.at = Some(m.to_mm);
        self.rotary_deg = Some(m.rotary_deg.1);
        Ok(())
    }

    fn corner_mode(&mut self, mode: CornerMode) -> Result<(), WriteError> {
        let code = match mode {
            CornerMode::ExactPath => "G61",
            CornerMode::ExactStop => "G61.1",
            CornerMode::Continuous => "G64",
        };
        self.need(code)?;
        self.line(code);
        self.corner = mode;
        Ok(())
    }

    fn motion_code(&mut self, m: &Move<'_>, block: &mut String) -> Result<(), WriteError> {
        let (number, code) = match m.kind {
            MoveKind::Rapid => (0, "G0"),
            MoveKind::Line | MoveKind::Turn => (1, "G1"),
            MoveKind::Arc if m.arc.is_some_and(|a| a.sweep_rad < 0.0) => (2, "G2"),
            MoveKind::Arc => (3, "G3"),
            MoveKind::Probe => (38, "G38.2"),
        };
        if self.motion != Some(number) {
            self.need(code)?;
            block.push_str(code);
            self.motion = Some(number);
        }
        Ok(())
    }

    fn axis_words(&self, m: &Move<'_>, block: &mut String) {
        let shift = self.shift(m.state);
        let value = |v: f64| self.style.text(self.in_unit(v));
        let in_plane = |letter: char| match m.arc.map(|a| a.plane) {
            Some(Plane::Xy) => letter != 'Z',
            Some(Plane::Zx) => letter != 'Y',
            Some(Plane::Yz) => letter != 'X',
            None => false,
        };
        let (to, from) = (m.to_mm - shift, self.at.map(|p| p - shift));
        for (letter, target, start) in [
            ('X', to.x, from.map(|p| p.x)),
            ('Y', to.y, from.map(|p| p.y)),
            ('Z', to.z, from.map(|p| p.z)),
        ] {
            let same = start.is_some_and(|s| value(s) == value(target));
            if !same || in_plane(letter) {
                block.push_str(&self.word(letter, target));
            }
        }
    }

    fn rotary_word(&self, m: &Move<'_>, block: &mut String) -> Result<(), WriteError> {
        let target = m.rotary_deg.1;
        if self.rotary_deg == Some(target) || (self.path.rotary_deg.is_empty()) {
            return Ok(());
        }
        let rotary = self.context.rotary.ok_or(WriteError::NoRotaryAxis)?;
        let _ = write!(block, " {}{}", rotary.letter, self.style.text(target));
        Ok(())
    }

    fn centre_words(&self, m: &Move<'_>, block: &mut String) {
        let Some(arc) = m.arc else { return };
        let start = arc.plane.split(m.from_mm).0;
        let (first, second) = match arc.plane {
            Plane::Xy => ('I', 'J'),
            Plane::Zx => ('K', 'I'),
            Plane::Yz => ('J', 'K'),
        };
        let absolute = self.context.dialect.arc_centre == ArcCentre::Absolute && !self.has("G91.1");
        let base = if absolute { arc.plane.split(self.shift(m.state)).0 } else { start };
        let offset = arc.centre_mm - base;
        let (mut one, mut two) = (self.word(first, offset.x), self.word(second, offset.y));
        if arc.plane == Plane::Zx {
            std::mem::swap(&mut one, &mut two);
        }
        block.push_str(&one);
        block.push_str(&two);
    }

    fn feed_word(&mut self, m: &Move<'_>, block: &mut String) {
        if m.kind == MoveKind::Rapid || m.feed <= 0.0 || self.feed == Some(m.feed) {
            return;
        }
        block.push_str(&self.feed_text(m.kind, m.feed));
        // Degrees per minute have no inches: the next straight move says its feed anew.
        self.feed = (m.kind != MoveKind::Turn || !self.inch).then_some(m.feed);
    }

    fn feed_text(&self, kind: MoveKind, feed: f64) -> String {
        let value = match (kind, self.inch, self.context.dialect.feed_unit) {
            (MoveKind::Turn, ..) | (_, false, FeedUnit::MmPerMin) => feed,
            (_, true, _) => feed / MM_PER_INCH,
            (_, false, FeedUnit::MPerMin) => feed / 1000.0,
            (_, false, FeedUnit::MmPerS) => feed / 60.0,
        };
        let style = NumberStyle { decimals: 9, always_point: false, comma: self.style.comma };
        format!(" F{}", style.text(value))
    }
}
