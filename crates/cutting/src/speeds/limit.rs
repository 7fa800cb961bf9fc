//! What limits spindle speed and feed.

use crate::power::SpindleCurve;

/// One limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LimitKind {
    /// Slowest speed of the spindle.
    SpindleSlowest,
    /// Fastest speed of the spindle.
    SpindleFastest,
    /// Speed the tool is rated for.
    ToolRating,
    /// Fastest feed of the axes.
    AxisFeed,
    /// Largest chip above the material's window.
    ChipTooThick,
    /// Largest chip below the material's window.
    ChipTooThin,
    /// Largest chip so thin that the edge rubs.
    Rubbing,
    /// Power of the spindle.
    Power,
    /// Torque of the spindle.
    Torque,
    /// Bending of the cutter.
    Deflection,
    /// Force in the plane of the sheet that the part is held against.
    SlideForce,
    /// Lifting force that the part is held against.
    LiftForce,
}

impl LimitKind {
    /// What to call it to people.
    pub fn words(self) -> &'static str {
        match self {
            Self::SpindleSlowest => "slowest spindle speed",
            Self::SpindleFastest => "fastest spindle speed",
            Self::ToolRating => "speed rating of the tool",
            Self::AxisFeed => "fastest feed of the axes",
            Self::ChipTooThick => "chip too thick",
            Self::ChipTooThin => "chip too thin",
            Self::Rubbing => "edge rubs",
            Self::Power => "spindle power",
            Self::Torque => "spindle torque",
            Self::Deflection => "cutter bends",
            Self::SlideForce => "hold against sliding",
            Self::LiftForce => "hold against lifting",
        }
    }

    /// Unit of the values held against it.
    pub fn unit(self) -> &'static str {
        match self {
            Self::SpindleSlowest | Self::SpindleFastest | Self::ToolRating => "1/min",
            Self::AxisFeed => "mm/min",
            Self::ChipTooThick | Self::ChipTooThin | Self::Rubbing | Self::Deflection => "mm",
            Self::Power => "W",
            Self::Torque => "N·m",
            Self::SlideForce | Self::LiftForce => "N",
        }
    }

    /// Whether values must stay above the limit rather than below.
    pub fn is_floor(self) -> bool {
        matches!(self, Self::SpindleSlowest | Self::ChipTooThin | Self::Rubbing)
    }
}

/// The limits of one cut on one machine; those left out do not limit.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeedLimits {
    /// Speeds the spindle can run, 1/min, low and high.
    pub spindle_rpm: [f64; 2],
    /// Speed the tool is rated for, 1/min.
    pub tool_rpm: Option<f64>,
    /// Fastest feed the axes can run along the cut, mm/min, above 0.
    pub feed_mm_min: f64,
    /// Chip thickness the material wants, mm, low and high.
    pub chip_mm: Option<[f64; 2]>,
    /// Chip thickness below which the edge rubs, mm.
    pub rubbing_mm: Option<f64>,
    /// What the spindle can give.
    pub spindle: Option<SpindleCurve>,
    /// Largest movement of the tip, mm.
    pub deflection_mm: Option<f64>,
    /// Largest force in the plane of the sheet that the part is held against, N.
    pub slide_force_n: Option<f64>,
    /// Largest lifting force that the part is held against, N.
    pub lift_force_n: Option<f64>,
}

impl SpeedLimits {
    /// Slowest and fastest speed, 1/min, each with what sets it.
    pub fn speed_range(&self) -> [(f64, LimitKind); 2] {
        let [slowest, fastest] = self.spindle_rpm;
        let top = match self.tool_rpm {
            Some(rated) if rated < fastest => (rated, LimitKind::ToolRating),
            _ => (fastest, LimitKind::SpindleFastest),
        };
        [(slowest, LimitKind::SpindleSlowest), top]
    }

    /// Thinnest chip allowed, mm, with what sets it.
    pub fn thinnest_chip(&self) -> Option<(f64, LimitKind)> {
        let window = self.chip_mm.map(|[low, _]| (low, LimitKind::ChipTooThin));
        let rubbing = self.rubbing_mm.map(|chip| (chip, LimitKind::Rubbing));
        match (window, rubbing) {
            (Some(window), Some(rubbing)) if rubbing.0 > window.0 => Some(rubbing),
            (window, rubbing) => window.or(rubbing),
        }
    }
}
