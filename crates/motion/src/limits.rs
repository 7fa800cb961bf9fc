//! The limits that decide how long a program takes, taken from the machine's description.

use kw_model::machine::AxisLetter;
use kw_model::setup::SetupTool;
use kw_model::{Action, Machine, Setup, ToolPlace};
use thiserror::Error;

/// Smallest and largest limit taken as meant, in mm/s, mm/s², mm/s³ or degrees likewise. Outside,
/// a time would lose its digits or a slip of the pen is certain.
const RANGE: [f64; 2] = [1e-4, 1e9];

/// All limits that decide how long a program takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Axes X, Y, Z.
    pub axis: [AxisLimits; 3],
    /// The rotary axis, degrees instead of mm.
    pub rotary: Option<AxisLimits>,
    /// Largest departure from the programmed corner in continuous mode, mm.
    pub corner_tolerance_mm: f64,
    /// Whether each axis runs a rapid at its own full rate.
    pub rapid_dog_leg: bool,
    /// Heads in the machine's order.
    pub heads: Vec<HeadTimes>,
    /// Time of a change pocket to pocket, s; `None` without a magazine.
    pub change_s: Option<f64>,
    /// Time to load a tool by hand, s.
    pub hand_load_s: f64,
    /// Where each tool is, by number.
    pub places: Vec<(u32, ToolPlace)>,
    /// For each mapped code of the dialect the head it selects, if it selects one.
    pub selects_head: Vec<Option<u16>>,
}

/// Limits of one axis: mm (or degrees), seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxisLimits {
    /// Highest speed, mm/s.
    pub speed: f64,
    /// Highest acceleration, mm/s².
    pub acceleration: f64,
    /// Highest jerk, mm/s³; infinite if there is no limit.
    pub jerk: f64,
}

/// Times of one head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadTimes {
    /// From standstill to full speed, and the same back, s.
    pub ramp_s: f64,
    /// Full speed, 1/min; `None` if not stated: every ramp then counts in full.
    pub full_speed_rpm: Option<f64>,
    /// Time to bring it into work, s.
    pub select_s: f64,
}

/// Why no limits can be taken from a description.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LimitsError {
    /// A linear axis is not described.
    #[error("the machine has no axis {letter:?}")]
    NoAxis {
        /// The axis.
        letter: AxisLetter,
    },
    /// A limit is not a number in the range that can be meant.
    #[error("{key} is {value}; it must be between {low} and {high}")]
    OutOfRange {
        /// Dotted key in the machine's file; it names the unit of the figures.
        key: String,
        /// Its value.
        value: f64,
        /// Least value taken as meant.
        low: f64,
        /// Largest value taken as meant.
        high: f64,
    },
    /// A time or tolerance is negative, not a number, or longer than a year.
    #[error("{key} is {value}; it must be between 0 and {high}", high = LONGEST)]
    BadTime {
        /// Dotted key in the machine's file.
        key: String,
        /// Its value.
        value: f64,
    },
}

/// Longest time, s, and largest tolerance, mm, taken as meant.
const LONGEST: f64 = 31_557_600.0;

impl Limits {
    /// The limits of a setup's machine, with the places of its tools.
    pub fn from_setup(setup: &Setup) -> Result<Self, LimitsError> {
        Self::from_machine(&setup.machine, &setup.tools)
    }

    /// The limits of a machine; a tool that is not among `tools` counts as loaded by hand.
    pub fn from_machine(machine: &Machine, tools: &[SetupTool]) -> Result<Self, LimitsError> {
        let axis = [
            linear(machine, AxisLetter::X)?,
            linear(machine, AxisLetter::Y)?,
            linear(machine, AxisLetter::Z)?,
        ];
        let change = machine.magazine.as_ref().map(|m| time("magazine.change_s", m.change_s));
        Ok(Self {
            axis,
            rotary: rotary(machine)?,
            corner_tolerance_mm: time(
                "path.corner_tolerance_mm",
                machine.path.corner_tolerance_mm,
            )?,
            rapid_dog_leg: machine.path.rapid_dog_leg,
            heads: machine.head.iter().map(head_times).collect::<Result<_, _>>()?,
            change_s: change.transpose()?,
            hand_load_s: time("hand_load_s", machine.hand_load_s)?,
            places: tools.iter().map(|t| (t.tool.number, t.tool.place)).collect(),
            selects_head: machine
                .dialect
                .code
                .iter()
                .map(|code| selected_head(machine, code))
                .collect(),
        })
    }

    /// Where a tool is; a tool not known is loaded by hand, as is one in a pocket of a machine
    /// without a magazine.
    pub fn place(&self, number: u32) -> ToolPlace {
        let known = self.places.iter().find(|(n, _)| *n == number).map(|(_, place)| *place);
        match known {
            Some(ToolPlace::Pocket(_)) if self.change_s.is_none() => ToolPlace::HandLoad,
            Some(place) => place,
            None => ToolPlace::HandLoad,
        }
    }

    /// Whether any linear axis limits jerk.
    pub fn limits_jerk(&self) -> bool {
        self.axis.iter().any(|a| a.jerk.is_finite())
    }
}

fn selected_head(machine: &Machine, code: &kw_model::MappedCode) -> Option<u16> {
    if code.action != Action::SelectHead {
        return None;
    }
    let index = machine.head_index(code.target.as_deref()?)?;
    u16::try_from(index).ok()
}

fn linear(machine: &Machine, letter: AxisLetter) -> Result<AxisLimits, LimitsError> {
    let axis = machine.axis(letter).ok_or(LimitsError::NoAxis { letter })?;
    let key = |name: &str| format!("axis.{letter:?}.{name}");
    Ok(AxisLimits {
        speed: per_second(key("max_speed_mm_min"), axis.max_speed_mm_min)?,
        acceleration: ranged(key("max_acceleration_mm_s2"), axis.max_acceleration_mm_s2)?,
        jerk: axis
            .max_jerk_mm_s3
            .map_or(Ok(f64::INFINITY), |jerk| ranged(key("max_jerk_mm_s3"), jerk))?,
    })
}

fn rotary(machine: &Machine) -> Result<Option<AxisLimits>, LimitsError> {
    let Some(rotary) = &machine.rotary else { return Ok(None) };
    let key = |name: &str| format!("rotary.{name}");
    Ok(Some(AxisLimits {
        speed: per_second(key("max_speed_deg_min"), rotary.max_speed_deg_min)?,
        acceleration: ranged(key("max_acceleration_deg_s2"), rotary.max_acceleration_deg_s2)?,
        jerk: f64::INFINITY,
    }))
}

fn head_times(head: &kw_model::Head) -> Result<HeadTimes, LimitsError> {
    Ok(HeadTimes {
        ramp_s: time(&format!("head.{}.ramp_s", head.id), head.ramp_s)?,
        full_speed_rpm: head.speed_rpm.map(|s| s[1]).filter(|s| s.is_finite() && *s > 0.0),
        select_s: time(&format!("head.{}.select_s", head.id), head.select_s)?,
    })
}

/// A speed stated per minute.
fn per_second(key: String, per_minute: f64) -> Result<f64, LimitsError> {
    in_range(key, per_minute, RANGE.map(|limit| 60.0 * limit)).map(|speed| speed / 60.0)
}

fn ranged(key: String, value: f64) -> Result<f64, LimitsError> {
    in_range(key, value, RANGE)
}

fn in_range(key: String, value: f64, [low, high]: [f64; 2]) -> Result<f64, LimitsError> {
    let inside = (low..=high).contains(&value);
    if inside { Ok(value) } else { Err(LimitsError::OutOfRange { key, value, low, high }) }
}

fn time(key: &str, value: f64) -> Result<f64, LimitsError> {
    let inside = (0.0..=LONGEST).contains(&value);
    if inside { Ok(value) } else { Err(LimitsError::BadTime { key: key.to_owned(), value }) }
}
