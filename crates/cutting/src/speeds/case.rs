//! One cut with its limits: how close a setting comes to each, and the feeds allowed at a speed.

use super::{Column, LimitKind, SpeedLimits};
use crate::loads::{Bite, Cutter, Loads, Setting, feed_for_max_chip_mm_min};
use crate::numeric::rising_root;

/// How far above 1 a share may lie through rounding and still count as within the limit.
pub(super) const WITHIN_SLACK: f64 = 1e-9;

/// One cut and what limits it.
#[derive(Clone, Copy, Debug)]
pub struct SpeedCase<'a> {
    /// The cutter.
    pub cutter: &'a Cutter,
    /// What it is in.
    pub bite: &'a Bite<'a>,
    /// What limits it.
    pub limits: &'a SpeedLimits,
}

/// How close a setting comes to one limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Which limit.
    pub kind: LimitKind,
    /// The unsafe end of the value, in the limit's unit.
    pub value: f64,
    /// The limit.
    pub limit: f64,
    /// Value over limit, or limit over value where the limit is a floor: above 1 is not allowed.
    pub share: f64,
}

/// Everything about one setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// The setting.
    pub setting: Setting,
    /// Loads at it.
    pub loads: Loads,
    /// Limits that apply, closest first.
    pub margins: Vec<Margin>,
}

impl Assessment {
    /// The limit the setting comes closest to, or exceeds most.
    pub fn binding(&self) -> Option<LimitKind> {
        self.margins.first().map(|margin| margin.kind)
    }

    /// Whether every limit is kept.
    pub fn is_within(&self) -> bool {
        self.margins.iter().all(Margin::is_kept)
    }
}

impl Margin {
    /// Whether the limit is kept, but for rounding.
    pub fn is_kept(&self) -> bool {
        self.share <= 1.0 + WITHIN_SLACK
    }

    fn new(kind: LimitKind, value: f64, limit: f64) -> Self {
        let (above, below) = if kind.is_floor() { (limit, value) } else { (value, limit) };
        // 0 of 0 is kept; anything of 0 is not
        let share = if above <= 0.0 { 0.0 } else { above / below.max(0.0) };
        Self { kind, value, limit, share }
    }
}

impl SpeedCase<'_> {
    /// Loads and margins at a setting; `None` where there are no loads ([`Loads::of`]).
    pub fn assess(&self, setting: Setting) -> Option<Assessment> {
        let loads = Loads::of(self.cutter, self.bite, setting)?;
        let mut margins: Vec<_> =
            self.rising_margins(&loads, setting).into_iter().flatten().collect();
        for (limit, kind) in self.limits.speed_range() {
            margins.push(Margin::new(kind, setting.speed_rpm, limit));
        }
        if let Some((limit, kind)) = self.limits.thinnest_chip() {
            margins.push(Margin::new(kind, loads.max_chip_mm, limit));
        }
        margins.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.kind.cmp(&b.kind)));
        Some(Assessment { setting, loads, margins })
    }

    /// The feeds allowed at a speed; the column is empty where its low end is above its high end.
    /// `None` where there are no loads or no feed of the axes.
    pub fn column(&self, speed_rpm: f64) -> Option<Column> {
        let fastest = self.limits.feed_mm_min;
        if !(fastest.is_finite() && fastest > 0.0) {
            return None;
        }
        let worst = |feed_mm_min: f64| {
            let setting = Setting { speed_rpm, feed_mm_min };
            let loads = Loads::of(self.cutter, self.bite, setting)?;
            let margins = self.rising_margins(&loads, setting).into_iter().flatten();
            margins.max_by(|a, b| a.share.total_cmp(&b.share))
        };
        let excess = |feed| worst(feed).map_or(f64::INFINITY, |margin| margin.share - 1.0);
        let at_rest = worst(0.0)?;
        let feed_high_mm_min =
            if at_rest.share > 1.0 { 0.0 } else { rising_root(excess, 0.0, fastest) };
        let (feed_low_mm_min, low_limit) = self.slowest_feed(speed_rpm);
        Some(Column {
            speed_rpm,
            feed_low_mm_min,
            low_limit,
            feed_high_mm_min,
            high_limit: worst(feed_high_mm_min)?.kind,
        })
    }

    /// Feed, mm/min, below which the chip is too thin, and why.
    fn slowest_feed(&self, speed_rpm: f64) -> (f64, Option<LimitKind>) {
        self.limits
            .thinnest_chip()
            .and_then(|(chip_mm, kind)| {
                let at = (speed_rpm, chip_mm);
                Some((feed_for_max_chip_mm_min(self.cutter, self.bite, at)?, Some(kind)))
            })
            .unwrap_or((0.0, None))
    }

    /// Margins whose share never falls as the feed rises at one speed.
    fn rising_margins(&self, loads: &Loads, setting: Setting) -> [Option<Margin>; 7] {
        let limits = self.limits;
        let spindle = limits.spindle.as_ref();
        let above = |kind, value: Option<f64>, limit: Option<f64>| {
            value.zip(limit).map(|(value, limit)| Margin::new(kind, value, limit))
        };
        let chip_high = limits.chip_mm.map(|[_, high]| high);
        let power = spindle.and_then(|curve| curve.power_w(setting.speed_rpm));
        let torque = spindle.and_then(|curve| curve.torque_nm(setting.speed_rpm));
        let bend = loads.deflection_mm.map(|bend| bend.high);
        let (slide, lift) = (loads.in_plane_peak_n.high, loads.lift_peak_n.high);
        [
            above(LimitKind::AxisFeed, Some(setting.feed_mm_min), Some(limits.feed_mm_min)),
            above(LimitKind::ChipTooThick, Some(loads.max_chip_mm), chip_high),
            above(LimitKind::Power, Some(loads.power_w.high), power),
            above(LimitKind::Torque, Some(loads.torque_nm.high), torque),
            above(LimitKind::Deflection, bend, limits.deflection_mm),
            above(LimitKind::SlideForce, Some(slide), limits.slide_force_n),
            above(LimitKind::LiftForce, Some(lift), limits.lift_force_n),
        ]
    }
}
