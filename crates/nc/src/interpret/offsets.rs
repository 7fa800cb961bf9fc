//! Where program coordinates lie: work systems, G92 and G52 shifts, tool length, head.
//!
//! Axis position = program value + shift, where shift = origin of the work system + G92 offset +
//! G52 shift + tool length in Z − offset of the active head. The numbered parameters are the store
//! of origins and G92 offsets, in mm and degrees.

use super::Interpreter;
use crate::faults;
use crate::lex::block::{AXES, Letter};
use crate::lex::{Block, Code};
use crate::toolpath::EventKind;
use kw_base::Span;
use kw_geometry::Vec3;

/// First parameters of the stores (NISTIR 6556, table 2).
const HOME: u16 = 5161;
const SECOND_HOME: u16 = 5181;
const AXIS_OFFSET: u16 = 5211;
const ACTIVE_SYSTEM: u16 = 5220;
const FIRST_ORIGIN: u16 = 5221;
const ORIGIN_STEP: u16 = 20;

/// X, Y, Z in mm and the followed rotary axis in degrees.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Place4 {
    /// X, Y, Z, mm.
    pub(crate) mm: Vec3,
    /// Rotary axis, degrees.
    pub(crate) deg: f64,
}

/// Shifts in force.
#[derive(Clone, Debug, Default)]
pub(crate) struct Offsets {
    /// Work system 1 to 9.
    pub(crate) system: u8,
    /// Its origin.
    origin: Place4,
    /// G92 offset in force.
    axis_offset: Place4,
    /// G52 shift in force.
    local: Place4,
    /// All together, with tool length and head.
    pub(crate) shift: Vec3,
    /// Origin and shifts of the rotary axis, degrees.
    pub(crate) shift_deg: f64,
    /// Bit n − 1 set: the missing origin of system n was reported.
    reported: u16,
}

impl Interpreter<'_> {
    /// Fills the parameters that the control keeps from program to program.
    pub(crate) fn load_kept_parameters(&mut self) {
        let context = self.context;
        self.store_place(HOME, Place4 { mm: context.home_mm, deg: 0.0 });
        self.store_place(SECOND_HOME, Place4 { mm: context.second_home_mm, deg: 0.0 });
        self.store_place(AXIS_OFFSET, Place4::default());
        for (index, origin) in context.origins_mm.iter().enumerate() {
            let place = Place4 { mm: origin.unwrap_or_default(), deg: 0.0 };
            self.store_place(origin_parameter(index as u8 + 1), place);
        }
        self.parameters.set(ACTIVE_SYSTEM, 1.0);
    }

    fn rotary_slot(&self) -> u16 {
        self.context.rotary.map_or(3, |r| 3 + (r.letter as u16).saturating_sub(b'A' as u16).min(2))
    }

    fn store_place(&mut self, first: u16, place: Place4) {
        for (slot, value) in place.mm.to_array().into_iter().enumerate() {
            self.parameters.set(first + slot as u16, value);
        }
        for slot in 3..6 {
            self.parameters.set(first + slot, 0.0);
        }
        self.parameters.set(first + self.rotary_slot(), place.deg);
    }

    pub(crate) fn stored_place(&self, first: u16) -> Place4 {
        let get = |slot: u16| self.parameters.get(first + slot);
        Place4 { mm: Vec3::new(get(0), get(1), get(2)), deg: get(self.rotary_slot()) }
    }

    /// Goal of G28 or G30.
    pub(crate) fn home(&self, second: bool) -> Place4 {
        self.stored_place(if second { SECOND_HOME } else { HOME })
    }

    /// Makes a work system the active one.
    pub(crate) fn select_work_system(&mut self, system: u8) {
        self.offsets.system = system;
        self.offsets.origin = self.stored_place(origin_parameter(system));
        self.parameters.set(ACTIVE_SYSTEM, f64::from(system));
        if self.state.work_system != system {
            self.state.work_system = system;
            self.state_changed();
        }
        self.update_shift();
    }

    /// Says once that the origin of the active work system is not known, if it is not.
    pub(crate) fn require_origin(&mut self, span: Span) {
        let system = self.offsets.system;
        let bit = 1 << (system - 1);
        let known = self.context.origins_mm[usize::from(system) - 1].is_some();
        if known || self.offsets.reported & bit != 0 {
            return;
        }
        self.offsets.reported |= bit;
        let message = || format!("the origin of {} is not described", system_name(system));
        self.log.say(faults::WORK_OFFSET_UNKNOWN, span, message);
    }

    /// Computes the shift anew after any part of it changed.
    pub(crate) fn update_shift(&mut self) {
        let o = &mut self.offsets;
        let length = Vec3::new(0.0, 0.0, self.state.applied_length_mm);
        let head = self.tools.head_offset(self.context, self.state.head);
        o.shift = o.origin.mm + o.axis_offset.mm + o.local.mm + length - head;
        o.shift_deg = o.origin.deg + o.axis_offset.deg + o.local.deg;
    }

    /// Present position in program coordinates, mm.
    pub(crate) fn program_position(&self) -> Vec3 {
        self.unframed() - self.offsets.shift
    }

    /// Values of the axis words of a block where present, else of `default`; `used` gets their
    /// letters.
    fn axis_values(&mut self, block: &Block, default: Place4, used: &mut u32) -> Place4 {
        *used |= block.present & AXES;
        let mut place = default;
        let length = |letter| block.has(letter).then(|| self.length(block, letter));
        place.mm.x = length(b'X').unwrap_or(place.mm.x);
        place.mm.y = length(b'Y').unwrap_or(place.mm.y);
        place.mm.z = length(b'Z').unwrap_or(place.mm.z);
        place.deg = self.rotary_word(block).unwrap_or(place.deg);
        place
    }

    /// G10 L2 Pn: sets the origin of a work system.
    pub(crate) fn set_origin(&mut self, block: &Block, used: &mut u32) {
        *used |= block.present & (AXES | Letter::of(b'L').bit() | Letter::of(b'P').bit());
        if block.get(b'L') != Some(2.0) {
            let message = || match block.get(b'L') {
                Some(l) => format!("G10 L{l} is not known"),
                None => "G10 without L".to_owned(),
            };
            self.log.say(faults::OFFSET_KIND_UNKNOWN, block.span(), message);
            return;
        }
        let number = block.get(b'P').unwrap_or(f64::NAN).round();
        if !(1.0..=9.0).contains(&number) {
            let message = || match block.get(b'P') {
                Some(p) => format!("P{p} names no work system"),
                None => "G10 L2 without P".to_owned(),
            };
            self.log.say(faults::WORK_SYSTEM_NUMBER_WRONG, self.word(block, 'P'), message);
            return;
        }
        let first = origin_parameter(number as u8);
        let place = self.axis_values(block, self.stored_place(first), used);
        self.store_place(first, place);
        self.offsets.reported |= 1 << (number as u8 - 1);
        if self.offsets.system == number as u8 {
            self.offsets.origin = place;
            self.update_shift();
        }
    }

    /// G92 and its family.
    pub(crate) fn axis_offset(&mut self, block: &Block, code: Code, used: &mut u32) {
        match code {
            Code::G92 => {
                if block.present & AXES == 0 {
                    let message = || "G92 without axis word".to_owned();
                    return self.log.say(faults::AXIS_WORD_MISSING, block.span(), message);
                }
                let now = Place4 {
                    mm: self.program_position(),
                    deg: self.rotary_deg - self.offsets.shift_deg,
                };
                let wanted = self.axis_values(block, now, used);
                let old = self.offsets.axis_offset;
                let new = Place4 {
                    mm: old.mm + (now.mm - wanted.mm),
                    deg: old.deg + (now.deg - wanted.deg),
                };
                self.offsets.axis_offset = new;
                self.store_place(AXIS_OFFSET, new);
            }
            Code::G92_1 => {
                self.offsets.axis_offset = Place4::default();
                self.store_place(AXIS_OFFSET, Place4::default());
            }
            Code::G92_2 => self.offsets.axis_offset = Place4::default(),
            _ => self.offsets.axis_offset = self.stored_place(AXIS_OFFSET),
        }
        self.update_shift();
    }

    /// G52: shift of all work systems, from their origins.
    pub(crate) fn local_shift(&mut self, block: &Block, used: &mut u32) {
        if block.present & AXES == 0 {
            let message = || "G52 without axis word".to_owned();
            return self.log.say(faults::AXIS_WORD_MISSING, block.span(), message);
        }
        self.offsets.local = self.axis_values(block, self.offsets.local, used);
        self.update_shift();
    }

    /// What M2 and M30 do to offsets.
    pub(crate) fn reset_offsets(&mut self) {
        self.offsets.axis_offset = Place4::default();
        self.offsets.local = Place4::default();
        self.select_work_system(1);
    }

    /// Selects a work system from a block.
    pub(crate) fn work_system_code(&mut self, block: &Block, code: Code) {
        let Code::WorkSystem(system) = code else { return };
        self.stated.work_system.get_or_insert(block.at);
        if self.offsets.system != system {
            self.event(block.at, EventKind::WorkSystem(system));
        }
        self.select_work_system(system);
    }

    /// Takes over a parameter that the program sets itself.
    pub(crate) fn set_parameter(&mut self, block: &Block, number: u16, value: f64) {
        if number == ACTIVE_SYSTEM && !(1.0..=9.0).contains(&value.round()) {
            let message = || format!("#5220 is set to {value}; it must be 1 to 9");
            return self.log.say(faults::ACTIVE_SYSTEM_PARAMETER_WRONG, block.span(), message);
        }
        self.parameters.set(number, value);
    }
}

fn origin_parameter(system: u8) -> u16 {
    FIRST_ORIGIN + ORIGIN_STEP * u16::from(system.saturating_sub(1))
}

/// Name of work system 1 to 9.
pub(crate) fn system_name(system: u8) -> String {
    match system {
        1..=6 => format!("G{}", 53 + system),
        _ => format!("G59.{}", system.saturating_sub(6)),
    }
}
