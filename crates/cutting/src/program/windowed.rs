//! Cuts of like engagement with their limits, ready for [`crate::speeds`].

use super::columns::{Load, ProgramLoads};
use super::cuts::{CutLoads, Measure};
use super::tool::{CutterBinding, chip_family, cutting_law, snapped_radial_mm};
use super::wear::reference_life;
use crate::force::{CuttingLaw, Layer, LinearLaw, RADIAL_SHARE};
use crate::loads::{Bite, Cutter, Setting};
use crate::power::SpindleCurve;
use crate::speeds::{SpeedCase, SpeedLimits, WearCosts, WearModel};
use crate::wear::CostRates;
use kw_base::Band;
use kw_model::Setup;
use kw_model::machine::{AxisLetter, Head, HeadKind};
use std::collections::BTreeMap;

/// Largest movement of a cutter's tip, mm. Our choice: what a fitted joint still takes; larger
/// would let edges come out tapered, smaller would call usual cuts wrong.
pub const DEFLECTION_TOLERANCE_MM: f64 = 0.1;

/// Cuts of one tool that differ little in depth, width, speed and feed.
#[derive(Clone, Debug, PartialEq)]
pub struct CutGroup {
    /// Tool.
    pub tool: u32,
    /// The cuts, by index.
    pub cuts: Vec<usize>,
    /// The one with most power, or the thickest chip where forces are not known.
    pub heaviest: usize,
    /// Way of all of them, mm.
    pub way_mm: f64,
}

/// Cuts in groups: same tool, speed and feed, depth within a millimetre, width within a tenth of
/// the widest (both by their medians, rounded). By tool, then by falling way.
pub fn cut_groups(loads: &ProgramLoads) -> Vec<CutGroup> {
    let mut groups: BTreeMap<(u32, [i64; 4]), CutGroup> = BTreeMap::new();
    let weight = |cut: &CutLoads| {
        let load = cut.load(Load::Power).or_else(|| cut.load(Load::MaxChip));
        load.map_or(0.0, |spread| spread.median)
    };
    for (index, cut) in loads.cuts.iter().enumerate() {
        let median = |measure| cut.measure(measure).map(|spread| spread.median);
        let (Some(axial), Some(radial)) = (median(Measure::Axial), median(Measure::Radial)) else {
            continue;
        };
        let (Some(speed), Some(feed)) = (median(Measure::Speed), median(Measure::Feed)) else {
            continue;
        };
        let key = [axial, radial, speed / 100.0, feed / 100.0].map(|x| x.round() as i64);
        let group = groups.entry((cut.tool, key)).or_insert_with(|| CutGroup {
            tool: cut.tool,
            cuts: Vec::new(),
            heaviest: index,
            way_mm: 0.0,
        });
        group.cuts.push(index);
        group.way_mm += cut.way_mm;
        if weight(cut) > weight(&loads.cuts[group.heaviest]) {
            group.heaviest = index;
        }
    }
    let mut groups: Vec<CutGroup> = groups.into_values().collect();
    groups.sort_by(|a, b| a.tool.cmp(&b.tool).then(b.way_mm.total_cmp(&a.way_mm)));
    groups
}

/// A cut with its medians and everything that limits it.
#[derive(Clone, Debug, PartialEq)]
pub struct BoundCut {
    /// The cutter, as wide as it is at this depth.
    pub cutter: Cutter,
    /// Radial depth, mm.
    pub radial_mm: f64,
    /// What it cuts; force 0 where the material has no figures.
    pub layers: [Layer; 1],
    /// Correction of the force for the life used.
    pub correction: Band,
    /// What limits it.
    pub limits: SpeedLimits,
    /// The program's setting.
    pub setting: Setting,
    /// Wear and costs; `None` unless the type's life, its price and the machine's cost are known.
    pub costs: Option<WearCosts>,
}

/// What a spindle head can give; `None` without a curve.
pub fn spindle_curve(head: &Head) -> Option<SpindleCurve> {
    SpindleCurve::new(&head.power_curve, &[]).ok()
}

impl BoundCut {
    /// The medians of a cut with its limits; `None` for knives, plunges and unknown tools.
    pub fn of(cut: &CutLoads, setup: &Setup) -> Option<Self> {
        let median = |measure| Some(cut.measure(measure)?.median);
        let entry = setup.tool(cut.tool)?;
        let speed_rpm = median(Measure::Speed)?;
        let feed_mm_min = median(Measure::Feed)?;
        let binding = CutterBinding::of(entry, speed_rpm)?;
        let (axial_mm, measured_mm) = (median(Measure::Axial)?, median(Measure::Radial)?);
        let cutter = binding.at_depth(axial_mm, measured_mm);
        let law =
            cutting_law(&setup.material).unwrap_or(CuttingLaw::Linear(LinearLaw::exact(0.0, 0.0)));
        let chip_family = chip_family(setup.material.family);
        let window = chip_family.and_then(|f| f.window(cutter.diameter_mm, axial_mm));
        let head = spindle_of(setup, entry.tool.head.as_deref())?;
        let speed = |letter| setup.machine.axis(letter).map(|axis| axis.max_speed_mm_min);
        let axes = speed(AxisLetter::X)?.min(speed(AxisLetter::Y)?);
        Some(Self {
            radial_mm: snapped_radial_mm(measured_mm, cutter.diameter_mm),
            cutter,
            layers: [Layer { thickness_mm: axial_mm, law }],
            correction: binding.correction,
            limits: SpeedLimits {
                spindle_rpm: head.speed_rpm?,
                tool_rpm: entry.kind.rpmx,
                feed_mm_min: axes,
                chip_mm: window.map(|w| [w.low_mm, w.high_mm]),
                rubbing_mm: chip_family.and_then(|f| f.rubbing_chip_mm()).map(|band| band.high),
                spindle: spindle_curve(head),
                deflection_mm: Some(DEFLECTION_TOLERANCE_MM),
                slide_force_n: None,
                lift_force_n: None,
            },
            setting: Setting { speed_rpm, feed_mm_min },
            costs: costs_of(setup, &entry.kind),
        })
    }

    /// What the cutter is in.
    pub fn bite(&self) -> Bite<'_> {
        Bite {
            layers: &self.layers,
            radial_mm: self.radial_mm,
            above_tip_mm: 0.0,
            radial_share: RADIAL_SHARE,
            correction: self.correction,
        }
    }

    /// The case for windows and proposals.
    pub fn case<'a>(&'a self, bite: &'a Bite<'a>) -> SpeedCase<'a> {
        SpeedCase { cutter: &self.cutter, bite, limits: &self.limits }
    }
}

fn spindle_of<'a>(setup: &'a Setup, id: Option<&str>) -> Option<&'a Head> {
    let heads = &setup.machine.head;
    let named = id.and_then(|id| heads.iter().find(|head| head.id == id));
    named.or(heads.first()).filter(|head| head.kind == HeadKind::Spindle)
}

fn costs_of(setup: &Setup, kind: &kw_model::ToolType) -> Option<WearCosts> {
    let life = reference_life(kind)?;
    let machine = &setup.machine;
    (machine.cost_per_hour > 0.0 && kind.x_cost > 0.0).then(|| WearCosts {
        wear: WearModel::Reference(life),
        abrasion: setup.material.relative_abrasion,
        rates: CostRates {
            machine_per_min: machine.cost_per_hour / 60.0,
            edge: kind.x_cost,
            change_min: machine.hand_load_s / 60.0,
        },
    })
}
