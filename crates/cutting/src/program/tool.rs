//! Tools and materials of a setup as the physics needs them.

use crate::deflection::{Beam, CARBIDE_MODULUS_N_MM2, STEEL_MODULUS_N_MM2};
use crate::force::{CuttingLaw, Helix, LinearLaw, wear_factor};
use crate::loads::Cutter;
use crate::windows::ChipFamily;
use kw_base::Band;
use kw_model::material::MaterialFamily;
use kw_model::setup::SetupTool;
use kw_model::{Figure, Material, Setup, ToolKind};
use kw_nc::{SpindleTurn, Toolpath};
use kw_stock::{Profile, setup::Cutter as StockCutter, setup::StockTool};

/// From this share of the diameter on a cut counts as a full slot: less is rounding of the depth
/// map. Our choice.
const SLOT_SHARE: f64 = 0.98;

/// A turning tool at one speed.
#[derive(Clone, Debug, PartialEq)]
pub struct CutterBinding {
    /// Number that programs call.
    pub number: u32,
    /// The cutter with its full diameter.
    pub cutter: Cutter,
    /// Spindle speed, 1/min, above 0.
    pub speed_rpm: f64,
    /// Correction of the specific cutting force for the life used.
    pub correction: Band,
    /// Form of tools whose width depends on depth; `None` for flat end mills.
    profile: Option<Profile>,
}

impl CutterBinding {
    /// A tool at a speed; `None` unless it turns and has diameter, flutes and a speed above 0.
    pub fn of(entry: &SetupTool, speed_rpm: f64) -> Option<Self> {
        let kind = &entry.kind;
        let Ok(StockCutter::Turning(profile)) = StockTool::of(entry).cutter else { return None };
        let diameter_mm = 2.0 * profile.radius_mm;
        let usable = diameter_mm > 0.0 && speed_rpm.is_finite() && speed_rpm > 0.0;
        let flutes = kind.nof.filter(|&flutes| flutes > 0 && usable)?;
        let helix_rad = kind.fha_deg.to_radians();
        let helix = match kind.x_up_cut_tip_mm {
            Some(tip_mm) => Helix { angle_rad: helix_rad.abs(), reversed_above_mm: Some(tip_mm) },
            None => Helix { angle_rad: helix_rad, reversed_above_mm: None },
        };
        Some(Self {
            number: entry.tool.number,
            cutter: Cutter { diameter_mm, flutes, helix, beam: beam_of(entry, diameter_mm) },
            speed_rpm,
            correction: wear_factor(entry.tool.life_used.max(0.0)),
            profile: (kind.kind != ToolKind::EndMill).then_some(profile),
        })
    }

    /// The cutter as wide as it is at a bite of `bite_mm`, at least `radial_mm`.
    pub fn at_depth(&self, bite_mm: f64, radial_mm: f64) -> Cutter {
        let diameter_mm = self.profile.as_ref().map_or(self.cutter.diameter_mm, |profile| {
            (2.0 * profile.radius_at_height_mm(bite_mm)).max(radial_mm)
        });
        Cutter { diameter_mm, ..self.cutter }
    }
}

/// A radial width as measured, full where it misses the diameter by rounding only.
pub(super) fn snapped_radial_mm(radial_mm: f64, diameter_mm: f64) -> f64 {
    if radial_mm >= SLOT_SHARE * diameter_mm { diameter_mm } else { radial_mm }
}

/// Without length out of the holder there is no beam; without flute length or shank the flutes
/// count up to the holder, which bends more.
fn beam_of(entry: &SetupTool, diameter_mm: f64) -> Option<Beam> {
    let kind = &entry.kind;
    let length_mm = kind.lpr_mm?;
    let steel = kind.x_substance == "high-speed-steel" || kind.x_substance == "steel";
    let modulus = if steel { STEEL_MODULUS_N_MM2 } else { CARBIDE_MODULUS_N_MM2 };
    let whole = Beam::fluted(diameter_mm, length_mm, modulus);
    Some(match (kind.apmx_mm, kind.dmm_mm) {
        (Some(flute_length_mm), Some(shank_diameter_mm)) => {
            Beam { flute_length_mm, shank_diameter_mm, ..whole }
        }
        _ => whole,
    })
}

/// For each state of a path the turning tool in work, if it turns.
pub(super) fn bindings(path: &Toolpath, setup: &Setup) -> Vec<Option<CutterBinding>> {
    path.states
        .iter()
        .map(|state| {
            let entry = setup.tool(state.tool.filter(|_| state.spindle != SpindleTurn::Still)?)?;
            CutterBinding::of(entry, state.spindle_rpm)
        })
        .collect()
}

/// Specific cutting force of a material; `None` without both figures.
pub fn cutting_law(material: &Material) -> Option<CuttingLaw> {
    let area_n_mm2 = band(material.cutting_area_n_mm2.as_ref()?);
    let edge_n_mm = band(material.cutting_edge_n_mm.as_ref()?);
    Some(CuttingLaw::Linear(LinearLaw { area_n_mm2, edge_n_mm }))
}

/// A figure as a band.
pub(super) fn band(figure: &Figure) -> Band {
    Band { low: figure.low, likely: figure.likely, high: figure.high }
}

/// The chip window family of a material; none for materials that are cut by knife.
pub fn chip_family(family: MaterialFamily) -> Option<ChipFamily> {
    Some(match family {
        MaterialFamily::FibreBoard => ChipFamily::FibreBoard,
        MaterialFamily::Plywood => ChipFamily::SoftwoodPlywood,
        MaterialFamily::Hardwood => ChipFamily::Hardwood,
        MaterialFamily::Laminate => ChipFamily::Laminate,
        MaterialFamily::SoftPlastic => ChipFamily::SoftPlastic,
        MaterialFamily::HardPlastic => ChipFamily::HardPlastic,
        MaterialFamily::Aluminium => ChipFamily::Aluminium,
        MaterialFamily::RigidFoam => ChipFamily::RigidFoam,
        MaterialFamily::SoftFoam | MaterialFamily::Board => return None,
    })
}
