//! What one block does, in the order of NISTIR 6556, table 8.

use super::Interpreter;
use super::modal::{FeedMode, plane_of};
use crate::faults;
use crate::lex::block::{AXES, Letter, letters};
use crate::lex::{Block, Code, Group};
use crate::toolpath::{CornerMode, EventKind, SpindleTurn};
use kw_base::{SettingRef, Span};
use kw_model::dialect::{DwellUnit, FeedUnit};

/// Letters of a block that only moves.
const PLAIN_LETTERS: u32 = letters(b"NXYZIJKRF");

/// Letters that mean something without a code.
const FREE_LETTERS: u32 = letters(b"NFST");

impl Interpreter<'_> {
    /// Runs one block.
    #[inline]
    pub(crate) fn execute(&mut self, block: &Block) {
        let plain = block.groups & !Group::Motion.bit() == 0
            && block.present & !PLAIN_LETTERS == 0
            && block.mapped_count == 0
            && block.settings.is_empty()
            && block.message.is_none();
        if !plain {
            return self.execute_fully(block);
        }
        if block.has(b'F') {
            self.feed_word(block);
        }
        let mut used = FREE_LETTERS;
        self.motion(block, 0, &mut used);
        if block.present & !used != 0 {
            self.report_unused(block, used);
        }
    }

    fn execute_fully(&mut self, block: &Block) {
        for &(number, value) in &block.settings {
            self.set_parameter(block, number, value);
        }
        let mut used = FREE_LETTERS;
        let forbidden = self.before_motion(block, &mut used);
        let claimed = self.axis_claiming_codes(block, forbidden, &mut used);
        self.motion(block, claimed, &mut used);
        self.after_motion(block, &mut used);
        if block.present & !used != 0 {
            self.report_unused(block, used);
        }
    }

    /// Everything before the axis words; gives the groups that are not to be run.
    fn before_motion(&mut self, block: &Block, used: &mut u32) -> u32 {
        if let Some(span) = block.message {
            self.event(block.at, EventKind::Message(span));
        }
        if let Some(code) = block.code(Group::FeedMode) {
            self.set_feed_mode(code);
        }
        if block.has(b'F') {
            self.feed_word(block);
        }
        if block.has(b'S') {
            self.speed_word(block);
        }
        if block.tool_count > 0 || block.groups & Group::ToolChange.bit() != 0 {
            self.tool_words(block);
        }
        if let Some(code) = block.code(Group::Spindle) {
            self.spindle_code(block, code);
        }
        if let Some(code) = block.code(Group::Coolant) {
            self.coolant_code(block, code);
        }
        if block.mapped_count > 0 {
            self.mapped_codes(block, false);
        }
        if block.has_code(Code::G4, Group::Once) {
            self.dwell(block, used);
        }
        let forbidden = self.forbidden_groups(block);
        self.modal_codes(block, forbidden, used);
        forbidden
    }

    /// Groups that only change what later words mean.
    fn modal_codes(&mut self, block: &Block, forbidden: u32, used: &mut u32) {
        if let Some(code) = block.code(Group::Plane)
            && forbidden & Group::Plane.bit() == 0
        {
            self.stated.plane.get_or_insert(block.at);
            self.modal.plane = plane_of(code);
        }
        if let Some(code) = block.code(Group::Units) {
            self.units_code(block, code);
        }
        if let Some(code) = block.code(Group::Compensation) {
            self.compensation_code(block, code, used);
        }
        if let Some(code) = block.code(Group::Length) {
            self.length_code(block, code, used);
        }
        if let Some(code) = block.code(Group::WorkSystem)
            && forbidden & Group::WorkSystem.bit() == 0
        {
            self.work_system_code(block, code);
        }
        if let Some(code) = block.code(Group::Corner) {
            self.set_corner(code);
        }
        if let Some(code) = block.code(Group::Distance) {
            self.stated.distance.get_or_insert(block.at);
            self.modal.absolute = code == Code::G90;
        }
        if let Some(code) = block.code(Group::ArcCentre) {
            self.modal.arc_absolute = code == Code::G90_1;
        }
        if let Some(code) = block.code(Group::Retract) {
            self.modal.retract_to_r = code == Code::G99;
        }
    }

    /// Codes outside group 1 that use axis words; gives the letters that they claim.
    fn axis_claiming_codes(&mut self, block: &Block, forbidden: u32, used: &mut u32) -> u32 {
        let mut claimed = 0;
        if let Some(code) = block.code(Group::Rotation) {
            self.rotation_code(block, code, used);
            claimed |= if code == Code::G68 { AXES } else { 0 };
        }
        if let Some(code) = block.code(Group::Scaling) {
            self.scaling_code(block, code, used);
            claimed |= if code == Code::G51 { AXES } else { 0 };
        }
        let Some(code) = block.code(Group::Once) else { return claimed };
        let uses = matches!(code, Code::G10 | Code::G28 | Code::G30 | Code::G52 | Code::G92);
        claimed |= if uses { AXES } else { 0 };
        if forbidden & Group::Once.bit() != 0 {
            *used |= block.present & claimed;
            return claimed;
        }
        match code {
            Code::G10 => self.set_origin(block, used),
            Code::G28 | Code::G30 => self.go_home(block, code == Code::G30, used),
            Code::G52 => self.local_shift(block, used),
            Code::G92 | Code::G92_1 | Code::G92_2 | Code::G92_3 => {
                self.axis_offset(block, code, used);
            }
            _ => {}
        }
        claimed
    }

    fn after_motion(&mut self, block: &Block, used: &mut u32) {
        if block.mapped_count > 0 {
            self.mapped_codes(block, true);
        }
        match block.code(Group::Stopping) {
            Some(Code::M0 | Code::M60) => {
                self.event(block.at, EventKind::Stop { optional: false });
            }
            Some(Code::M1) => {
                let optional = !self.context.optional_stop;
                self.event(block.at, EventKind::Stop { optional });
            }
            Some(_) => self.end_program(block),
            None => {}
        }
        if let Some(code) = block.code(Group::Call) {
            self.call_or_return(block, code, used);
        }
    }

    /// M2, M30.
    fn end_program(&mut self, block: &Block) {
        if self.compensates() {
            let message = || "the program ends with compensation on".to_owned();
            self.log.say(faults::COMPENSATION_LEFT_ON, block.span(), message);
        }
        self.compensation_off();
        self.reset_frame();
        self.reset_offsets();
        self.modal.motion = Code::G1;
        self.modal.plane = kw_geometry::Plane::Xy;
        self.modal.absolute = true;
        self.modal.feed_mode = FeedMode::PerMinute;
        self.state.spindle = SpindleTurn::Still;
        self.set_coolant(false, false);
        self.state_changed();
        self.event(block.at, EventKind::End);
        self.stated.end = Some(block.at);
        self.flow.ended = true;
    }

    /// G93, G94, G95.
    pub(crate) fn set_feed_mode(&mut self, code: Code) {
        let mode = match code {
            Code::G93 => FeedMode::InverseTime,
            Code::G95 => FeedMode::PerTurn,
            _ => FeedMode::PerMinute,
        };
        if mode != self.modal.feed_mode {
            // A number meant for one mode has no meaning in another.
            self.modal.feed = None;
            self.modal.feed_mode = mode;
        }
        self.update_rate();
    }

    /// G61, G61.1, G64.
    pub(crate) fn set_corner(&mut self, code: Code) {
        let corner = match code {
            Code::G61 => CornerMode::ExactPath,
            Code::G61_1 => CornerMode::ExactStop,
            _ => CornerMode::Continuous,
        };
        if self.state.corner != corner {
            self.state.corner = corner;
            self.state_changed();
        }
    }

    #[inline]
    fn feed_word(&mut self, block: &Block) {
        let feed = block.value(b'F');
        if feed < 0.0 {
            let message = || format!("F{feed} is negative");
            return self.log.say(faults::VALUE_NEGATIVE, self.word(block, 'F'), message);
        }
        self.stated.feed.get_or_insert(block.at);
        self.modal.feed_is_of_other_units = false;
        if self.modal.feed != Some(feed) {
            self.modal.feed = Some(feed);
            self.update_rate();
        }
    }

    /// Unit of F in the mode of length per minute.
    pub(crate) fn feed_unit(&self) -> &'static str {
        match self.context.dialect.feed_unit {
            _ if self.modal.inch => "in/min",
            _ if self.rules.strict => "mm/min",
            FeedUnit::MmPerMin => "mm/min",
            FeedUnit::MPerMin => "m/min",
            FeedUnit::MmPerS => "mm/s",
        }
    }

    /// mm/min for F1 in the mode of length per minute.
    pub(crate) fn feed_unit_mm_min(&self) -> f64 {
        match self.context.dialect.feed_unit {
            _ if self.modal.inch => 25.4,
            _ if self.rules.strict => 1.0,
            FeedUnit::MmPerMin => 1.0,
            FeedUnit::MPerMin => 1000.0,
            FeedUnit::MmPerS => 60.0,
        }
    }

    /// Computes the feed in mm/min anew after F, units, mode or spindle speed changed.
    pub(crate) fn update_rate(&mut self) {
        let number = self.modal.feed.unwrap_or(0.0);
        let unit = self.feed_unit_mm_min();
        self.modal.rate = match self.modal.feed_mode {
            FeedMode::PerMinute => number * unit,
            FeedMode::PerTurn => number * self.modal.unit_mm() * self.state.spindle_rpm,
            FeedMode::InverseTime => 0.0,
        };
    }

    fn units_code(&mut self, block: &Block, code: Code) {
        self.stated.units.get_or_insert(block.at);
        let inch = code == Code::G20;
        if inch != self.modal.inch {
            self.modal.inch = inch;
            self.modal.feed_is_of_other_units = self.modal.feed.is_some() && !block.has(b'F');
            self.update_rate();
        }
    }

    fn dwell(&mut self, block: &Block, used: &mut u32) {
        *used |= Letter::of(b'P').bit();
        let Some(p) = block.get(b'P') else {
            let message = || "G4 without P".to_owned();
            return self.log.say(faults::WORD_MISSING, block.span(), message);
        };
        if p < 0.0 {
            let message = || format!("a dwell of {p} is negative");
            return self.log.say(faults::VALUE_NEGATIVE, self.word(block, 'P'), message);
        }
        let seconds = self.dwell_s(block, p);
        self.event(block.at, EventKind::Dwell(seconds));
    }

    /// Seconds of a P word.
    pub(crate) fn dwell_s(&self, block: &Block, p: f64) -> f64 {
        let millis = !self.rules.strict
            && self.context.dialect.dwell_unit == DwellUnit::MillisecondsWithoutPoint
            && block.pointless & Letter::of(b'P').bit() != 0;
        if millis { p / 1000.0 } else { p }
    }

    /// Where a setting of the dialect stands in the machine's file, if that is known.
    pub(crate) fn dialect_setting(&self, key: &str) -> Option<SettingRef> {
        self.context.settings.map(|index| index.find(&format!("dialect.{key}")))
    }

    /// Place of a word of the block; the whole block if it is not there.
    pub(crate) fn word(&self, block: &Block, letter: char) -> Span {
        crate::spans::word_span(self.sources, block.at, letter).unwrap_or_else(|| block.span())
    }

    #[cold]
    fn report_unused(&mut self, block: &Block, used: u32) {
        if block.faulty || block.unknown_code {
            return;
        }
        for index in 0..26 {
            if block.present & !used & (1 << index) != 0 {
                let letter = (b'A' + index) as char;
                let message = || format!("no code in the block uses {letter}");
                self.log.say(faults::WORD_UNUSED, self.word(block, letter), message);
            }
        }
    }
}
