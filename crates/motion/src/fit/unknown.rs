//! What can be fitted.

use crate::limits::Limits;
use kw_base::math;

/// A limit whose value the user does not know; fitted as a factor on what is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unknown {
    /// Acceleration of all axes.
    Acceleration,
    /// Highest speed of all axes: that of rapids.
    RapidSpeed,
    /// Jerk of all axes that have a limit.
    Jerk,
    /// Corner tolerance.
    CornerTolerance,
    /// Time of a change pocket to pocket.
    ChangeTime,
    /// Time to load a tool by hand.
    HandLoadTime,
    /// Time of the spindles' ramps.
    RampTime,
    /// Time to bring a head into work.
    HeadSelectTime,
}

impl Unknown {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Acceleration,
        Self::RapidSpeed,
        Self::Jerk,
        Self::CornerTolerance,
        Self::ChangeTime,
        Self::HandLoadTime,
        Self::RampTime,
        Self::HeadSelectTime,
    ];

    /// What people call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Acceleration => "acceleration",
            Self::RapidSpeed => "rapid speed",
            Self::Jerk => "jerk",
            Self::CornerTolerance => "corner tolerance",
            Self::ChangeTime => "time of a tool change",
            Self::HandLoadTime => "time to load a tool by hand",
            Self::RampTime => "ramp time of the spindle",
            Self::HeadSelectTime => "time to bring a head into work",
        }
    }

    /// Whether it may hide others or be hidden: the limits of motion, of which the tightest counts.
    pub(super) fn hides_others(self) -> bool {
        matches!(self, Self::Acceleration | Self::Jerk | Self::CornerTolerance)
    }

    /// Limits with this one multiplied by a factor above 0.
    pub fn scaled(self, limits: &Limits, factor: f64) -> Limits {
        let mut limits = limits.clone();
        self.scale(&mut limits, factor);
        limits
    }

    /// Limits with several multiplied by the exponentials of `logs`.
    pub(super) fn all_scaled(unknowns: &[Self], limits: &Limits, logs: &[f64]) -> Limits {
        let mut limits = limits.clone();
        for (unknown, log) in unknowns.iter().zip(logs) {
            unknown.scale(&mut limits, math::exp(*log));
        }
        limits
    }

    fn scale(self, limits: &mut Limits, factor: f64) {
        let axes = limits.axis.iter_mut().chain(&mut limits.rotary);
        match self {
            Self::Acceleration => axes.for_each(|a| a.acceleration *= factor),
            Self::RapidSpeed => axes.for_each(|a| a.speed *= factor),
            Self::Jerk => axes.for_each(|a| a.jerk *= factor),
            Self::CornerTolerance => limits.corner_tolerance_mm *= factor,
            Self::ChangeTime => limits.change_s = limits.change_s.map(|s| s * factor),
            Self::HandLoadTime => limits.hand_load_s *= factor,
            Self::RampTime => limits.heads.iter_mut().for_each(|h| h.ramp_s *= factor),
            Self::HeadSelectTime => limits.heads.iter_mut().for_each(|h| h.select_s *= factor),
        }
    }
}
