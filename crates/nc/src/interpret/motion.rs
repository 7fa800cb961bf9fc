//! Straight motions, and which motion a block runs.

use super::Interpreter;
use super::compensation::Contour;
use super::cycles::is_cycle;
use super::emit::Step;
use super::modal::FeedMode;
use crate::faults;
use crate::lex::block::{AXES, Letter, ROTARY, XYZ, letters};
use crate::lex::{Block, Code, Group};
use crate::toolpath::{MoveKind, Origin};
use kw_geometry::Vec3;

/// Words that give an arc its centre or radius.
pub(crate) const CENTRE_LETTERS: u32 = letters(b"IJKR");

impl Interpreter<'_> {
    /// Value of a length word in mm.
    #[inline]
    pub(crate) fn length(&self, block: &Block, letter: u8) -> f64 {
        let value = block.value(letter);
        if self.rules.thousandths && block.pointless & Letter::of(letter).bit() != 0 {
            return if self.modal.inch { value / 10_000.0 * 25.4 } else { value / 1000.0 };
        }
        value * self.modal.unit_mm()
    }

    /// Degrees of a rotary word.
    pub(crate) fn degrees(&self, block: &Block, letter: u8) -> f64 {
        let value = block.value(letter);
        let scaled = self.rules.thousandths && block.pointless & Letter::of(letter).bit() != 0;
        if scaled { value / 1000.0 } else { value }
    }

    /// Degrees of the followed rotary axis's word, if it is present; others are reported.
    pub(crate) fn rotary_word(&mut self, block: &Block) -> Option<f64> {
        if block.present & ROTARY == 0 {
            return None;
        }
        let followed = self.context.rotary.map(|r| r.letter as u8);
        let mut value = None;
        for letter in *b"ABC" {
            if !block.has(letter) {
                continue;
            }
            if followed == Some(letter) {
                value = Some(self.degrees(block, letter));
            } else {
                let name = letter as char;
                let message = || format!("the machine has no rotary axis {name}");
                self.log.say(faults::AXIS_NOT_ON_MACHINE, self.word(block, name), message);
            }
        }
        value
    }

    /// Rotary position that a block asks for, degrees; `None` if the axis does not move.
    pub(crate) fn rotary_target(&mut self, block: &Block, machine: bool) -> Option<f64> {
        let value = self.rotary_word(block)?;
        if !self.modal.absolute && !machine {
            return Some(self.rotary_deg + value);
        }
        let goal = if machine { value } else { value + self.offsets.shift_deg };
        if self.context.rotary.is_some_and(|r| r.shortest_way) {
            let turn = goal - self.rotary_deg;
            let short = turn - 360.0 * (turn / 360.0 - 0.5).ceil();
            return Some(self.rotary_deg + short);
        }
        Some(goal)
    }

    /// Axis position that the axis words of a block ask for, mm.
    #[inline]
    pub(crate) fn target(&self, block: &Block) -> Vec3 {
        let unframed = self.unframed_target(block);
        if self.frame.active { self.framed_target(block, unframed) } else { unframed }
    }

    #[inline]
    fn unframed_target(&self, block: &Block) -> Vec3 {
        let (from, shift) = (self.unframed(), self.offsets.shift);
        let absolute = self.modal.absolute;
        let one = |letter: u8, from: f64, shift: f64| {
            if !block.has(letter) {
                return from;
            }
            let value = self.length(block, letter);
            if absolute { value + shift } else { from + value }
        };
        let (x, y) = (one(b'X', from.x, shift.x), one(b'Y', from.y, shift.y));
        Vec3::new(x, y, one(b'Z', from.z, shift.z))
    }

    /// The framed target; keeps coordinates exactly that nothing in the block changes.
    fn framed_target(&self, block: &Block, unframed: Vec3) -> Vec3 {
        let (moves_xy, moves_z) = (block.has(b'X') || block.has(b'Y'), block.has(b'Z'));
        let mut target = self.framed(unframed);
        if self.frame.keeps_xy_apart() {
            if !moves_xy {
                (target.x, target.y) = (self.programmed.x, self.programmed.y);
            }
            if !moves_z {
                target.z = self.programmed.z;
            }
        } else if !(moves_xy || moves_z) {
            target = self.programmed;
        }
        target
    }

    /// Axis position of the axis words read as machine coordinates (G53), mm.
    fn machine_target(&self, block: &Block) -> Vec3 {
        let one = |letter: u8, from: f64| {
            if block.has(letter) { self.length(block, letter) } else { from }
        };
        let from = self.axis;
        Vec3::new(one(b'X', from.x), one(b'Y', from.y), one(b'Z', from.z))
    }

    /// Runs the motion of a block, if it has one. `claimed` are axis letters that another code of
    /// the block uses.
    #[inline]
    pub(crate) fn motion(&mut self, block: &Block, claimed: u32, used: &mut u32) {
        let explicit = block.code(Group::Motion);
        if let Some(code) = explicit {
            self.motion_changes(code);
        }
        let axes = block.present & AXES;
        let code = self.modal.motion;
        if axes == 0 || claimed != 0 || (block.unknown_g_code && explicit.is_none()) {
            return self.no_axis_words(block, claimed, used);
        }
        *used |= axes;
        if block.has_code(Code::G53, Group::Once) {
            *used |= CENTRE_LETTERS;
            return self.machine_move(block, code);
        }
        match code {
            Code::G0 => self.straight(block, MoveKind::Rapid),
            Code::G1 => self.straight(block, MoveKind::Line),
            Code::G2 | Code::G3 => self.arc(block, code == Code::G3, used),
            Code::G38_2 => self.probe(block),
            Code::G80 => {
                let message = || "axis words with G80 in force".to_owned();
                self.log.say(faults::AXIS_WORDS_AFTER_CYCLE_CANCEL, block.span(), message);
            }
            _ => self.cycle(block, code, used),
        }
    }

    /// A block whose motion, if any, has no axis words.
    #[cold]
    fn no_axis_words(&mut self, block: &Block, claimed: u32, used: &mut u32) {
        let explicit = block.code(Group::Motion);
        if claimed & block.present != 0 && explicit.is_some_and(|c| c != Code::G80) {
            let message = || "two codes of the block use axis words".to_owned();
            return self.log.say(faults::AXIS_WORDS_CLAIMED_TWICE, block.span(), message);
        }
        if block.unknown_g_code {
            *used |= block.present;
            return;
        }
        match explicit {
            Some(Code::G2 | Code::G3) if block.present & CENTRE_LETTERS != 0 => {
                self.arc(block, explicit == Some(Code::G3), used);
            }
            Some(Code::G38_2) => self.probe(block),
            Some(code) if is_cycle(code) && !block.faulty => {
                *used |= letters(b"RPQLIJK");
                let message = || "a cycle without X, Y or Z".to_owned();
                self.log.say(faults::CYCLE_AXIS_WORD_MISSING, block.span(), message);
            }
            Some(Code::G0 | Code::G1 | Code::G2 | Code::G3) if !block.faulty => {
                let message = || "a motion code without axis word".to_owned();
                self.log.say(faults::AXIS_WORD_MISSING, block.span(), message);
            }
            _ => {}
        }
    }

    /// G53 with G0 or G1.
    fn machine_move(&mut self, block: &Block, code: Code) {
        let kind = match code {
            Code::G0 => MoveKind::Rapid,
            Code::G1 => MoveKind::Line,
            _ => {
                let message = || "G53 with a motion that is not straight".to_owned();
                let info = faults::MACHINE_COORDINATES_WITHOUT_STRAIGHT;
                return self.log.say(info, block.span(), message);
            }
        };
        if self.compensates() {
            let message = || "G53 with compensation on".to_owned();
            let info = faults::COMPENSATION_MACHINE_COORDINATES;
            return self.log.say(info, block.span(), message);
        }
        let target = self.machine_target(block);
        let rotary = self.rotary_target(block, true);
        self.go_straight(block, kind, target, rotary);
    }

    #[inline]
    fn straight(&mut self, block: &Block, kind: MoveKind) {
        let target = self.target(block);
        let rotary =
            if block.present & ROTARY == 0 { None } else { self.rotary_target(block, false) };
        self.look_at_origin(block);
        self.go_straight(block, kind, target, rotary);
    }

    /// Says so if the motion depends on an origin that is not known.
    #[inline]
    pub(crate) fn look_at_origin(&mut self, block: &Block) {
        let known = self.context.origins_mm[usize::from(self.offsets.system - 1)].is_some();
        if !known && self.modal.absolute && block.present & XYZ != 0 {
            self.require_origin(block.span());
        }
    }

    /// A straight motion from the present position.
    #[inline]
    fn go_straight(&mut self, block: &Block, kind: MoveKind, end: Vec3, rotary_deg: Option<f64>) {
        if self.compensates() {
            return self.compensated_line(block, Contour { kind, end, rotary_deg });
        }
        let turns = kind == MoveKind::Line && rotary_deg.is_some() && end == self.programmed;
        let (kind, feed) = match kind {
            MoveKind::Rapid => (kind, 0.0),
            _ if turns => (MoveKind::Turn, self.turn_feed(block, rotary_deg)),
            _ => (kind, self.line_feed(block, || self.axis.distance(end))),
        };
        if kind != MoveKind::Rapid {
            self.look_at_feed(block, feed);
        }
        self.programmed = end;
        self.push(
            block.at,
            Step { kind, origin: Origin::Written, end, arc: None, rotary_deg, feed },
        );
    }

    /// Feed of a motion of this length, mm/min.
    #[inline]
    pub(crate) fn line_feed(&self, block: &Block, length_mm: impl FnOnce() -> f64) -> f64 {
        if self.modal.feed_mode != FeedMode::InverseTime {
            return self.modal.rate;
        }
        block.get(b'F').map_or(0.0, |f| f.max(0.0) * length_mm())
    }

    /// Feed of a motion of the rotary axis alone, degrees/min.
    fn turn_feed(&self, block: &Block, rotary_deg: Option<f64>) -> f64 {
        let turn = rotary_deg.map_or(0.0, |goal| (goal - self.rotary_deg).abs());
        match self.modal.feed_mode {
            FeedMode::InverseTime => block.get(b'F').map_or(0.0, |f| f.max(0.0) * turn),
            FeedMode::PerMinute => self.modal.feed.unwrap_or(0.0),
            FeedMode::PerTurn => self.modal.feed.unwrap_or(0.0) * self.state.spindle_rpm,
        }
    }

    /// Says what is wrong with the feed of a feed move.
    #[inline]
    pub(crate) fn look_at_feed(&mut self, block: &Block, feed: f64) {
        if feed == 0.0 {
            self.feed_is_missing(block);
        }
        if self.modal.feed_is_of_other_units {
            self.warn_of_feed_units(block);
        }
    }

    /// A feed move without feed: only what the checks on the toolpath do not say themselves.
    #[cold]
    fn feed_is_missing(&mut self, block: &Block) {
        let mode = self.modal.feed_mode;
        if mode == FeedMode::InverseTime {
            if block.get(b'F').is_none() {
                let message = || "a feed move in inverse time without F".to_owned();
                self.log.say(faults::INVERSE_TIME_FEED_MISSING, block.span(), message);
            }
        } else if mode == FeedMode::PerTurn && self.state.spindle_rpm == 0.0 {
            let message = || "feed is per turn and the spindle speed is 0".to_owned();
            self.log.say(faults::FEED_PER_TURN_WITHOUT_SPEED, block.span(), message);
        } else if !self.context.checks_follow {
            let message = || "a feed move without feed".to_owned();
            self.log.say(faults::FEED_MISSING, block.span(), message);
        }
    }

    #[cold]
    fn warn_of_feed_units(&mut self, block: &Block) {
        self.modal.feed_is_of_other_units = false;
        let feed = self.modal.feed.unwrap_or(0.0);
        let unit = if self.modal.inch { "in/min" } else { "mm/min" };
        let message = || format!("F{feed} was stated in other units and is now {feed} {unit}");
        self.log.say(faults::FEED_UNIT_CHANGED, block.span(), message);
    }
}
