//! Settings to propose: the fastest, and the cheapest with tool and machine counted.

use super::{Column, LimitKind, SpeedCase, SpeedWindow};
use crate::chip::{self, Engagement};
use crate::loads::{Setting, edge_path_m_min};
use crate::numeric::valley;
use crate::wear::{CostRates, CuttingCondition, EdgePathWear, ReferenceLife};

/// Gain, as a share, below which another setting is not called better: keeps the slower spindle.
const WORTH_MORE: f64 = 1e-6;

/// How a tool wears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WearModel {
    /// By speed, feed and depth from the life at a reference.
    Reference(ReferenceLife),
    /// By the path of the edge in the material.
    EdgePath(EdgePathWear),
}

/// What cutting costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WearCosts {
    /// How the tool wears.
    pub wear: WearModel,
    /// Relative abrasion of the material.
    pub abrasion: f64,
    /// Costs of machine, tool and change.
    pub rates: CostRates,
}

/// A proposed setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proposal {
    /// The setting.
    pub setting: Setting,
    /// The limit that keeps the feed from being better; none where an optimum lies inside.
    pub feed_limit: Option<LimitKind>,
    /// The limit that the speed stands at, if it stands at one.
    pub speed_limit: Option<LimitKind>,
    /// Life of the tool, min of cutting; none if costs were not asked for.
    pub life_min: Option<f64>,
    /// Cost of a metre of this cut, money; none if costs were not asked for.
    pub cost_per_m: Option<f64>,
}

impl SpeedCase<'_> {
    /// The setting with the fastest feed; of several equal ones the slowest spindle speed among
    /// the sampled columns. `None` if the window is empty.
    pub fn fastest(&self, window: &SpeedWindow) -> Option<Proposal> {
        let pace = |column: &Column| (-column.feed_high_mm_min, column.feed_high_mm_min);
        let setting = self.best_setting(window, pace)?;
        Some(self.proposal(window, setting))
    }

    /// The setting that costs least per metre of cut; `None` if the window is empty.
    pub fn cheapest(&self, window: &SpeedWindow, costs: &WearCosts) -> Option<Proposal> {
        let spend = |column: &Column| {
            let speed_rpm = column.speed_rpm;
            let cost = |feed_mm_min| self.cost_per_m(costs, Setting { speed_rpm, feed_mm_min });
            let (low, high) = (column.feed_low_mm_min, column.feed_high_mm_min);
            let inside = valley(cost, low, high);
            let feed_mm_min = if cost(high) <= cost(inside) { high } else { inside };
            (cost(feed_mm_min), feed_mm_min)
        };
        let setting = self.best_setting(window, spend)?;
        Some(Proposal {
            life_min: Some(self.life_min(costs, setting)),
            cost_per_m: Some(self.cost_per_m(costs, setting)),
            ..self.proposal(window, setting)
        })
    }

    /// Cost of a metre of this cut, money: (Cm + (Cm·tc + Ce)/T)/vf; endless without feed.
    pub fn cost_per_m(&self, costs: &WearCosts, setting: Setting) -> f64 {
        if setting.feed_mm_min.is_nan() || setting.feed_mm_min <= 0.0 {
            return f64::INFINITY;
        }
        let per_min =
            costs.rates.machine_per_min + costs.rates.per_change() / self.life_min(costs, setting);
        per_min * 1000.0 / setting.feed_mm_min
    }

    /// Life of the tool at a setting, min of cutting; 0 where the cutter cannot cut.
    pub fn life_min(&self, costs: &WearCosts, setting: Setting) -> f64 {
        let Setting { speed_rpm, feed_mm_min } = setting;
        let diameter_mm = self.cutter.diameter_mm;
        let per_tooth = chip::feed_per_tooth_mm(feed_mm_min, speed_rpm, self.cutter.flutes);
        let cut = Engagement::new(diameter_mm, self.bite.radial_mm);
        let (Some(feed_per_tooth_mm), Some(cut)) = (per_tooth, cut) else { return 0.0 };
        match costs.wear {
            WearModel::Reference(life) => life.life_min(&CuttingCondition {
                speed_m_min: chip::surface_speed_m_s(diameter_mm, speed_rpm) * 60.0,
                feed_per_tooth_mm,
                depth_mm: self.bite.axial_mm(),
                abrasion: costs.abrasion,
            }),
            WearModel::EdgePath(wear) => {
                wear.life_min(edge_path_m_min(&cut, speed_rpm), costs.abrasion)
            }
        }
    }

    /// The setting at which `rate` (penalty and feed of an open column) has the least penalty: the
    /// best sampled column, then a finer look between its neighbours.
    fn best_setting(
        &self,
        window: &SpeedWindow,
        rate: impl Fn(&Column) -> (f64, f64),
    ) -> Option<Setting> {
        let columns = &window.columns;
        let mut best: Option<(usize, (f64, f64))> = None;
        for (i, column) in columns.iter().enumerate().filter(|(_, column)| column.is_open()) {
            let rated = rate(column);
            if best.is_none_or(|(_, (least, _))| is_better(rated.0, least)) {
                best = Some((i, rated));
            }
        }
        let (i, (least, feed_mm_min)) = best?;
        let between = |speed_rpm: f64| {
            let column = self.column(speed_rpm).filter(Column::is_open);
            column.map_or((f64::INFINITY, 0.0), |column| rate(&column))
        };
        let low = columns[i.saturating_sub(1)].speed_rpm;
        let high = columns[(i + 1).min(columns.len() - 1)].speed_rpm;
        let finer = valley(|speed_rpm| between(speed_rpm).0, low, high);
        let (penalty, finer_feed) = between(finer);
        Some(if is_better(penalty, least) {
            Setting { speed_rpm: finer, feed_mm_min: finer_feed }
        } else {
            Setting { speed_rpm: columns[i].speed_rpm, feed_mm_min }
        })
    }

    fn proposal(&self, window: &SpeedWindow, setting: Setting) -> Proposal {
        let column = self.column(setting.speed_rpm);
        let same = |a: f64, b: f64| (a - b).abs() <= WORTH_MORE * b.abs();
        let feed_limit = column.and_then(|column| {
            if same(setting.feed_mm_min, column.feed_high_mm_min) {
                Some(column.high_limit)
            } else if same(setting.feed_mm_min, column.feed_low_mm_min) {
                column.low_limit
            } else {
                None
            }
        });
        let [slow_kind, fast_kind] = window.speed_limits;
        let at = |column: Option<&Column>| {
            column.is_some_and(|column| same(setting.speed_rpm, column.speed_rpm))
        };
        let speed_limit = if at(window.columns.last()) {
            Some(fast_kind)
        } else if at(window.columns.first()) {
            Some(slow_kind)
        } else {
            None
        };
        Proposal { setting, feed_limit, speed_limit, life_min: None, cost_per_m: None }
    }
}

fn is_better(penalty: f64, least: f64) -> bool {
    penalty < least - WORTH_MORE * least.abs()
}
