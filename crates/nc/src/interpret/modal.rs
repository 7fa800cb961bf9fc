//! What stays in force from block to block.

use crate::faults;
use crate::lex::codes::{Meaning, parse_code};
use crate::lex::{Code, Group, LexRules};
use kw_base::{Place, SettingRef};
use kw_geometry::Plane;
use kw_model::Dialect;
use kw_model::dialect::ArcCentre;

/// How F is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedMode {
    /// Length units per minute (G94).
    PerMinute,
    /// One over minutes (G93).
    InverseTime,
    /// Length units per turn (G95).
    PerTurn,
}

/// Modal state of the language.
#[derive(Clone, Debug)]
pub(crate) struct Modal {
    /// Motion in force (group 1).
    pub(crate) motion: Code,
    /// Plane of arcs, cycles, rotation.
    pub(crate) plane: Plane,
    /// G90 instead of G91.
    pub(crate) absolute: bool,
    /// G90.1 instead of G91.1.
    pub(crate) arc_absolute: bool,
    /// G20 instead of G21.
    pub(crate) inch: bool,
    /// How F is read.
    pub(crate) feed_mode: FeedMode,
    /// The number of the last F; `None` before the first.
    pub(crate) feed: Option<f64>,
    /// Whether units changed since the last F and no feed move ran since.
    pub(crate) feed_is_of_other_units: bool,
    /// G99 instead of G98.
    pub(crate) retract_to_r: bool,
    /// Feed in mm/min (G94, G95); 0 if it is not known.
    pub(crate) rate: f64,
}

impl Modal {
    /// The state at program start before the dialect's start codes.
    pub(crate) fn new(dialect: &Dialect) -> Self {
        Self {
            motion: Code::G1,
            plane: Plane::Xy,
            absolute: true,
            arc_absolute: !dialect.strict && dialect.arc_centre == ArcCentre::Absolute,
            inch: false,
            feed_mode: FeedMode::PerMinute,
            feed: None,
            feed_is_of_other_units: false,
            retract_to_r: false,
            rate: 0.0,
        }
    }

    /// Millimetres per length unit.
    #[inline]
    pub(crate) fn unit_mm(&self) -> f64 {
        if self.inch { 25.4 } else { 1.0 }
    }
}

/// Plane of G17, G18 or G19.
pub(crate) fn plane_of(code: Code) -> Plane {
    match code {
        Code::G18 => Plane::Zx,
        Code::G19 => Plane::Yz,
        _ => Plane::Xy,
    }
}

/// Letters (first, second, normal) of a plane's axes.
pub(crate) fn axis_letters(plane: Plane) -> [u8; 3] {
    match plane {
        Plane::Xy => *b"XYZ",
        Plane::Zx => *b"ZXY",
        Plane::Yz => *b"YZX",
    }
}

/// Letters of the centre words of a plane.
pub(crate) fn centre_letters(plane: Plane) -> [u8; 2] {
    match plane {
        Plane::Xy => *b"IJ",
        Plane::Zx => *b"KI",
        Plane::Yz => *b"JK",
    }
}

impl super::Interpreter<'_> {
    /// Brings the dialect's start codes into force.
    pub(crate) fn apply_start_codes(&mut self) {
        if self.rules.strict {
            return;
        }
        let codes = &self.context.dialect.start_codes;
        for text in codes {
            match meaning_of(&self.rules, text) {
                Some(Meaning::Known(code, group)) if self.start_in(code, group) => {}
                _ => {
                    let key = "dialect.start_codes".to_owned();
                    let place =
                        Place::Setting(SettingRef { file: "machine".to_owned(), line: 0, key });
                    let message = || format!("`{text}` cannot be in force at program start");
                    self.log.say_at(faults::START_CODE_UNKNOWN, place, message, |f| f);
                }
            }
        }
        self.update_rate();
    }

    /// Brings one code into force without a block; `false` if it is none that can be.
    fn start_in(&mut self, code: Code, group: Group) -> bool {
        match group {
            Group::Motion
                if matches!(code, Code::G0 | Code::G1 | Code::G2 | Code::G3 | Code::G80) =>
            {
                self.modal.motion = code;
            }
            Group::Plane => {
                self.modal.plane = plane_of(code);
                self.stated.plane_by_dialect = true;
            }
            Group::Distance => self.modal.absolute = code == Code::G90,
            Group::ArcCentre => self.modal.arc_absolute = code == Code::G90_1,
            Group::Units => {
                self.modal.inch = code == Code::G20;
                self.stated.units_by_dialect = true;
            }
            Group::FeedMode => self.set_feed_mode(code),
            Group::Retract => self.modal.retract_to_r = code == Code::G99,
            Group::Corner => self.set_corner(code),
            Group::WorkSystem => {
                if let Code::WorkSystem(system) = code {
                    self.select_work_system(system);
                }
            }
            Group::Override => {}
            _ => {
                return matches!(
                    code,
                    Code::G40 | Code::G49 | Code::G50 | Code::G69 | Code::M5 | Code::M9
                );
            }
        }
        true
    }
}

fn meaning_of(rules: &LexRules, text: &str) -> Option<Meaning> {
    parse_code(text).map(|(letter, tenths)| rules.codes.get(letter, tenths))
}
