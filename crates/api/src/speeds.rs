//! Speeds and feeds of a program against what tool, machine and material allow.

use kw_checks::Analysis;
use kw_cutting::loads::Setting;
use kw_cutting::program::{BoundCut, CutGroup, cut_groups};
use kw_cutting::speeds::{LimitKind, OverrideStep, Proposal, SpeedCase, WINDOW_COLUMNS};
use kw_model::Setup;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Format name and version of this document.
pub const SPEEDS_FORMAT: &str = "kerfwright-speeds/1";

/// Speeds and feeds of a program.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SpeedsReport {
    /// Format name and version, `kerfwright-speeds/1`.
    pub format: String,
    /// Material, name for people.
    pub material: String,
    /// Whether the material has force figures; without them power, torque and bending do not limit.
    pub has_forces: bool,
    /// Groups of like cuts, by tool, longest way first.
    pub cuts: Vec<CutSpeeds>,
}

/// Cuts of like engagement, stood for by the heaviest of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CutSpeeds {
    /// Tool number.
    pub tool: u32,
    /// Name of its type.
    pub name: String,
    /// How many cuts.
    pub cuts: u32,
    /// Way of all of them, mm.
    pub way_mm: f64,
    /// Axial depth, mm.
    pub axial_mm: f64,
    /// Radial width, mm.
    pub radial_mm: f64,
    /// Width of the cutter at this depth, mm.
    pub diameter_mm: f64,
    /// The program's setting.
    pub program: SettingOut,
    /// Whether it keeps every limit.
    pub within: bool,
    /// The limit it comes closest to or breaks most.
    pub binding: Option<String>,
    /// Slowest and fastest spindle speed allowed, 1/min; null if no setting is.
    pub window_rpm: Option<[f64; 2]>,
    /// Slowest and fastest feed allowed at any of these speeds, mm/min.
    pub window_feed_mm_min: Option<[f64; 2]>,
    /// Why no setting is allowed: floor and ceiling that exclude each other.
    pub blocked_by: Option<String>,
    /// The fastest setting allowed.
    pub fastest: Option<ProposalOut>,
    /// The cheapest setting allowed; null unless life, price and machine cost are known.
    pub cheapest: Option<ProposalOut>,
    /// Safe range of feed override as shares of the programmed feed; null if none is safe.
    pub safe_override: Option<[f64; 2]>,
    /// What an override does.
    pub overrides: Vec<OverrideOut>,
}

/// Spindle speed and feed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SettingOut {
    /// Spindle speed, 1/min.
    pub speed_rpm: f64,
    /// Feed, mm/min.
    pub feed_mm_min: f64,
}

/// A proposed setting. It is arithmetic on figures with wide bands: try it on scrap first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ProposalOut {
    /// The setting.
    pub setting: SettingOut,
    /// What keeps the feed from being better.
    pub feed_limit: Option<String>,
    /// What keeps the speed from being better.
    pub speed_limit: Option<String>,
    /// Cost of a metre of this cut, money of the shop.
    pub cost_per_m: Option<f64>,
}

/// One position of the feed override.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OverrideOut {
    /// Share of the programmed feed.
    pub share: f64,
    /// Largest chip, mm.
    pub chip_mm: f64,
    /// Power, likely and unsafe end, W.
    pub power_w: [f64; 2],
    /// Whether every limit is kept.
    pub within: bool,
    /// The limit it comes closest to or breaks most.
    pub binding: Option<String>,
}

impl SpeedsReport {
    /// Of an analysis; without cuts if the sheet could not be mapped.
    pub fn of(analysis: &Analysis, setup: &Setup) -> Self {
        let work = analysis.work.as_ref();
        let groups = work.map(|work| cut_groups(&work.loads)).unwrap_or_default();
        let cut = |group: &CutGroup| {
            let heaviest = &work?.loads.cuts[group.heaviest];
            CutSpeeds::of(group, &BoundCut::of(heaviest, setup)?, setup)
        };
        Self {
            format: SPEEDS_FORMAT.to_owned(),
            material: setup.material.name.clone(),
            has_forces: work.is_some_and(|work| work.loads.has_forces()),
            cuts: groups.iter().filter_map(cut).collect(),
        }
    }
}

impl CutSpeeds {
    fn of(group: &CutGroup, bound: &BoundCut, setup: &Setup) -> Option<Self> {
        let bite = bound.bite();
        let case = bound.case(&bite);
        let window = case.window(WINDOW_COLUMNS);
        let now = case.assess(bound.setting)?;
        let extents = window.extents();
        let cheapest = bound.costs.and_then(|costs| case.cheapest(&window, &costs));
        Some(Self {
            tool: group.tool,
            name: setup.tool(group.tool).map_or_else(String::new, |t| t.kind.name.clone()),
            cuts: group.cuts.len() as u32,
            way_mm: group.way_mm,
            axial_mm: bite.axial_mm(),
            radial_mm: bound.radial_mm,
            diameter_mm: bound.cutter.diameter_mm,
            program: bound.setting.into(),
            within: now.is_within(),
            binding: now.binding().map(words),
            window_rpm: extents.map(|e| e.speed_rpm),
            window_feed_mm_min: extents.map(|e| e.feed_mm_min),
            blocked_by: window.blocked_by().map(blocked_in_words),
            fastest: case.fastest(&window).map(ProposalOut::from),
            cheapest: cheapest.map(ProposalOut::from),
            safe_override: case.safe_override(bound.setting).map(|r| [r.low, r.high]),
            overrides: overrides_of(&case, bound.setting),
        })
    }
}

fn overrides_of(case: &SpeedCase<'_>, setting: Setting) -> Vec<OverrideOut> {
    let out = |step: OverrideStep| {
        let loads = &step.assessment.loads;
        OverrideOut {
            share: step.share,
            chip_mm: loads.max_chip_mm,
            power_w: [loads.power_w.likely, loads.power_w.high],
            within: step.assessment.is_within(),
            binding: step.assessment.binding().map(words),
        }
    };
    case.override_steps(setting).into_iter().map(out).collect()
}

fn words(limit: LimitKind) -> String {
    limit.words().to_owned()
}

fn blocked_in_words((floor, ceiling): (Option<LimitKind>, LimitKind)) -> String {
    match floor {
        Some(floor) => format!("{} against {}", floor.words(), ceiling.words()),
        None => words(ceiling),
    }
}

impl From<Setting> for SettingOut {
    fn from(setting: Setting) -> Self {
        Self { speed_rpm: setting.speed_rpm, feed_mm_min: setting.feed_mm_min }
    }
}

impl From<Proposal> for ProposalOut {
    fn from(proposal: Proposal) -> Self {
        Self {
            setting: proposal.setting.into(),
            feed_limit: proposal.feed_limit.map(words),
            speed_limit: proposal.speed_limit.map(words),
            cost_per_m: proposal.cost_per_m.filter(|cost| cost.is_finite()),
        }
    }
}
