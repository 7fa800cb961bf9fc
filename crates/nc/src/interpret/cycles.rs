//! Canned cycles G73 and G81 to G89 (NISTIR 6556, section 3.5.16).
//!
//! All heights and positions here are unframed axis positions, so that rotation and scaling act on
//! every step alike.

use super::Interpreter;
use super::emit::Step;
use super::modal::{FeedMode, axis_letters};
use crate::faults;
use crate::lex::block::{Letter, ROTARY};
use crate::lex::{Block, Code};
use crate::toolpath::{EventKind, MoveKind, Origin, SpindleTurn};
use kw_geometry::Vec2;
use kw_model::dialect::RetractHeight;

/// Most pecks of one hole; no drill needs more, and a lost decimal point asks for millions.
const MOST_PECKS: u32 = 10_000;

/// Words of a cycle that later blocks may leave out, mm and s.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sticky {
    depth: Option<f64>,
    retract: Option<f64>,
    peck: Option<f64>,
    dwell_s: Option<f64>,
    back: [Option<f64>; 3],
    /// Height before the first of a row of cycles, mm.
    chain_height: Option<f64>,
}

/// Heights of one block's holes along the plane's normal, mm.
#[derive(Clone, Copy, Debug)]
struct Hole {
    retract: f64,
    bottom: f64,
    clear: f64,
}

/// Whether a code is a canned cycle.
pub(crate) fn is_cycle(code: Code) -> bool {
    use Code::{G73, G81, G82, G83, G84, G85, G86, G87, G88, G89};
    matches!(code, G73 | G81 | G82 | G83 | G84 | G85 | G86 | G87 | G88 | G89)
}

fn waits(code: Code) -> bool {
    matches!(code, Code::G82 | Code::G86 | Code::G88 | Code::G89)
}

fn pecks(code: Code) -> bool {
    matches!(code, Code::G73 | Code::G83)
}

impl Interpreter<'_> {
    /// A row of cycles ends when another motion comes into force.
    #[inline]
    pub(crate) fn motion_changes(&mut self, code: Code) {
        if self.modal.motion != code {
            if !is_cycle(code) {
                self.sticky = Sticky::default();
            } else if self.rules.strict {
                let chain_height = self.sticky.chain_height;
                self.sticky = Sticky { chain_height, ..Sticky::default() };
            }
            self.modal.motion = code;
        }
    }

    /// Runs a canned cycle at the positions of a block.
    pub(crate) fn cycle(&mut self, block: &Block, code: Code, used: &mut u32) {
        self.stated.first_in_plane.get_or_insert(block.at);
        self.look_at_origin(block);
        *used |= block.present & ROTARY;
        self.check_cycle_state(block, code);
        self.keep_cycle_words(block, code, used);
        let repeats = self.repeat_count(block);
        *used |= Letter::of(b'L').bit();
        let Some(hole) = self.hole(block, code) else { return };
        self.drill_row(block, code, hole, repeats);
    }

    fn check_cycle_state(&mut self, block: &Block, code: Code) {
        if block.present & ROTARY != 0 {
            let message = || "a cycle with a rotary word".to_owned();
            self.log.say(faults::CYCLE_TURNING, block.span(), message);
        }
        if self.modal.feed_mode == FeedMode::InverseTime {
            let message = || "a cycle in inverse time".to_owned();
            self.log.say(faults::CYCLE_IN_INVERSE_TIME, block.span(), message);
        }
        if self.compensates() {
            let message = || "a cycle with compensation on".to_owned();
            self.log.say(faults::CYCLE_IN_COMPENSATION, block.span(), message);
        }
        if code == Code::G84 && self.state.spindle != SpindleTurn::Clockwise {
            let message = || "G84 without the spindle turning clockwise".to_owned();
            self.log.say(faults::TAPPING_SPINDLE_WRONG, block.span(), message);
        }
        let stops = matches!(code, Code::G86 | Code::G87 | Code::G88);
        if stops && self.state.spindle == SpindleTurn::Still {
            let message = || "a boring cycle with the spindle standing still".to_owned();
            self.log.say(faults::CYCLE_SPINDLE_STILL, block.span(), message);
        }
    }

    fn keep_cycle_words(&mut self, block: &Block, code: Code, used: &mut u32) {
        let normal = axis_letters(self.modal.plane)[2];
        let words = |letter: u8| block.has(letter).then(|| self.length(block, letter));
        let (depth, retract, peck) = (words(normal), words(b'R'), words(b'Q'));
        let back = [words(b'I'), words(b'J'), words(b'K')];
        let dwell = block.get(b'P').map(|p| self.dwell_s(block, p));
        *used |= Letter::of(b'R').bit();
        self.sticky.depth = depth.or(self.sticky.depth);
        self.sticky.retract = retract.or(self.sticky.retract);
        if pecks(code) {
            *used |= Letter::of(b'Q').bit();
            self.sticky.peck = peck.or(self.sticky.peck);
        }
        if waits(code) {
            *used |= Letter::of(b'P').bit();
            self.sticky.dwell_s = dwell.or(self.sticky.dwell_s);
        }
        if code == Code::G87 {
            *used |= Letter::of(b'I').bit() | Letter::of(b'J').bit() | Letter::of(b'K').bit();
            for (kept, new) in self.sticky.back.iter_mut().zip(back) {
                *kept = new.or(*kept);
            }
        }
    }

    /// Heights of the holes; `None`, reported, if they cannot be made.
    fn hole(&mut self, block: &Block, code: Code) -> Option<Hole> {
        let plane = self.modal.plane;
        let height = plane.split(self.unframed()).1;
        let shift = plane.split(self.offsets.shift).1;
        let normal = axis_letters(plane)[2] as char;
        let Some(depth) = self.sticky.depth else {
            let message = || format!("the cycle has no {normal}");
            self.log.say(faults::CYCLE_DEPTH_MISSING, block.span(), message);
            return None;
        };
        let Some(retract) = self.sticky.retract else {
            let message = || "the cycle has no R".to_owned();
            self.log.say(faults::CYCLE_RETRACT_MISSING, block.span(), message);
            return None;
        };
        let (retract, bottom) = if self.modal.absolute {
            (retract + shift, depth + shift)
        } else {
            (height + retract, height + retract + depth)
        };
        if retract < bottom {
            self.report_low_retract(block, retract - shift, bottom - shift);
            return None;
        }
        self.check_cycle_words(block, code);
        let before_chain =
            !self.rules.strict && self.context.dialect.retract_height == RetractHeight::BeforeChain;
        let first = *self.sticky.chain_height.get_or_insert(height);
        let old = if before_chain { first } else { height };
        let clear = if self.modal.retract_to_r { retract } else { old.max(retract) };
        Some(Hole { retract, bottom, clear })
    }

    fn report_low_retract(&mut self, block: &Block, retract: f64, bottom: f64) {
        let (unit, per) = if self.modal.inch { ("in", 25.4) } else { ("mm", 1.0) };
        let (retract, bottom) = (retract / per, bottom / per);
        let message = || {
            format!(
                "the starting height {retract:.4} {unit} lies below the bottom {bottom:.4} {unit}"
            )
        };
        self.log.say_with(faults::CYCLE_RETRACT_BELOW_DEPTH, block.span(), message, |finding| {
            finding.with_value(retract, unit).with_limit(bottom, None)
        });
    }

    fn check_cycle_words(&mut self, block: &Block, code: Code) {
        if waits(code) && !self.sticky.dwell_s.is_some_and(|p| p >= 0.0) {
            let message = || match self.sticky.dwell_s {
                Some(p) => format!("a dwell of {p} s"),
                None => "the cycle has no P".to_owned(),
            };
            self.log.say(faults::CYCLE_DWELL_WRONG, block.span(), message);
            self.sticky.dwell_s = None;
        }
        if pecks(code) && !self.sticky.peck.is_some_and(|q| q > 0.0) {
            let message = || match self.sticky.peck {
                Some(q) => format!("a peck depth of {q} mm"),
                None => "the cycle has no Q".to_owned(),
            };
            self.log.say(faults::CYCLE_PECK_WRONG, block.span(), message);
            self.sticky.peck = None;
        }
        if code == Code::G87 && self.sticky.back[2].is_none() {
            let message = || "G87 without K".to_owned();
            self.log.say(faults::WORD_MISSING, block.span(), message);
        }
    }

    fn drill_row(&mut self, block: &Block, code: Code, hole: Hole, repeats: u32) {
        let plane = self.modal.plane;
        let [first, second, _] = axis_letters(plane);
        let (mut position, height) = plane.split(self.unframed());
        let shift = plane.split(self.offsets.shift).0;
        let value = |letter| block.has(letter).then(|| self.length(block, letter));
        let (x, y) = (value(first), value(second));
        let step = if self.modal.absolute {
            position = Vec2::new(
                x.map_or(position.x, |x| x + shift.x),
                y.map_or(position.y, |y| y + shift.y),
            );
            Vec2::default()
        } else {
            Vec2::new(x.unwrap_or(0.0), y.unwrap_or(0.0))
        };
        if height < hole.retract {
            let here = plane.split(self.unframed()).0;
            self.cycle_move(block, MoveKind::Rapid, here, hole.retract);
        }
        for _ in 0..repeats {
            position += step;
            if !self.count_repeated(1, block) {
                return;
            }
            let height = plane.split(self.unframed()).1;
            self.cycle_move(block, MoveKind::Rapid, position, height);
            self.cycle_move(block, MoveKind::Rapid, position, hole.retract);
            self.drill(block, code, position, hole);
        }
    }

    /// One hole, from the R plane to the clear height.
    fn drill(&mut self, block: &Block, code: Code, at: Vec2, hole: Hole) {
        use MoveKind::{Line, Rapid};
        match code {
            Code::G73 | Code::G83 => return self.drill_in_pecks(block, code, at, hole),
            Code::G87 => return self.bore_back(block, at, hole),
            _ => self.cycle_move(block, Line, at, hole.bottom),
        }
        if waits(code) {
            self.event(block.at, EventKind::Dwell(self.sticky.dwell_s.unwrap_or(0.0)));
        }
        let turn = self.state.spindle;
        match code {
            Code::G84 => {
                self.turn_spindle(block, SpindleTurn::Still);
                self.turn_spindle(block, SpindleTurn::Counterclockwise);
                self.cycle_move(block, Line, at, hole.clear);
                self.turn_spindle(block, SpindleTurn::Still);
                self.turn_spindle(block, SpindleTurn::Clockwise);
            }
            Code::G85 | Code::G89 => self.cycle_move(block, Line, at, hole.clear),
            Code::G86 | Code::G88 => {
                self.turn_spindle(block, SpindleTurn::Still);
                if code == Code::G88 {
                    // The operator takes the tool out by hand; it is taken as going to the clear
                    // height.
                    self.event(block.at, EventKind::Stop { optional: false });
                }
                self.cycle_move(block, Rapid, at, hole.clear);
                self.turn_spindle(block, turn);
            }
            _ => self.cycle_move(block, Rapid, at, hole.clear),
        }
    }

    fn drill_in_pecks(&mut self, block: &Block, code: Code, at: Vec2, hole: Hole) {
        use MoveKind::{Line, Rapid};
        let depth = hole.retract - hole.bottom;
        let wanted = self.sticky.peck.unwrap_or(depth.max(1.0));
        let count = (depth / wanted).ceil();
        let peck = if count > f64::from(MOST_PECKS) {
            let message = || format!("{count} pecks for one hole");
            self.log.say_with(faults::CYCLE_TOO_MANY_PECKS, block.span(), message, |finding| {
                finding.with_value(count, "").with_limit(f64::from(MOST_PECKS), None)
            });
            depth
        } else {
            wanted
        };
        let back_off = self.context.dialect.peck_back_off_mm.max(0.0);
        let mut reached = hole.retract;
        while reached > hole.bottom {
            if !self.count_repeated(1, block) {
                return;
            }
            let next = if reached - peck > hole.bottom { reached - peck } else { hole.bottom };
            if reached < hole.retract {
                let above = reached + back_off;
                if code == Code::G83 {
                    self.cycle_move(block, Rapid, at, hole.clear);
                }
                self.cycle_move(block, Rapid, at, above.min(hole.clear));
            }
            self.cycle_move(block, Line, at, next);
            reached = next;
        }
        self.cycle_move(block, Rapid, at, hole.clear);
    }

    /// G87: from below, for a counterbore on the far side.
    fn bore_back(&mut self, block: &Block, at: Vec2, hole: Hole) {
        use MoveKind::{Line, Rapid};
        let [i, j, k] = self.sticky.back.map(|word| word.unwrap_or(0.0));
        let aside = at + Vec2::new(i, j);
        let shift = self.modal.plane.split(self.offsets.shift).1;
        let upper = if self.modal.absolute { k + shift } else { hole.bottom + k };
        let turn = self.state.spindle;
        let height = self.modal.plane.split(self.unframed()).1;
        self.cycle_move(block, Rapid, aside, height);
        self.turn_spindle(block, SpindleTurn::Still);
        self.cycle_move(block, Rapid, aside, hole.bottom);
        self.cycle_move(block, Rapid, at, hole.bottom);
        self.turn_spindle(block, turn);
        self.cycle_move(block, Line, at, upper);
        self.cycle_move(block, Line, at, hole.bottom);
        self.turn_spindle(block, SpindleTurn::Still);
        self.cycle_move(block, Rapid, aside, hole.bottom);
        self.cycle_move(block, Rapid, aside, hole.clear);
        self.cycle_move(block, Rapid, at, hole.clear);
        self.turn_spindle(block, turn);
    }

    fn turn_spindle(&mut self, block: &Block, turn: SpindleTurn) {
        if self.state.spindle != turn {
            self.state.spindle = turn;
            self.state_changed();
            let speed_rpm = self.state.spindle_rpm;
            self.event(block.at, EventKind::Spindle { turn, speed_rpm });
        }
    }

    /// One straight step of a cycle to a position in the plane and a height; none if already there.
    fn cycle_move(&mut self, block: &Block, kind: MoveKind, at: Vec2, height: f64) {
        let end = self.framed(self.modal.plane.join(at, height));
        if end == self.axis {
            return;
        }
        let feed = match kind {
            MoveKind::Rapid => 0.0,
            _ => self.modal.rate,
        };
        if kind != MoveKind::Rapid {
            self.look_at_feed(block, feed);
        }
        self.programmed = end;
        let origin = Origin::Cycle;
        self.push(block.at, Step { kind, origin, end, arc: None, rotary_deg: None, feed });
    }
}
