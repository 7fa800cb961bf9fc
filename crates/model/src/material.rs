//! Materials with their figures, each with band and source.

use crate::Figure;
use serde::Deserialize;

/// A material of sheets.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Short name that sheets refer to.
    pub id: String,
    /// Name shown to people.
    pub name: String,
    /// Which family of chip-load window and rules it follows.
    pub family: MaterialFamily,
    /// Density, kg/m³.
    pub density_kg_m3: Figure,
    /// Area part Kc of the specific cutting force kc(h) = Kc + Ke/h, N/mm².
    pub cutting_area_n_mm2: Option<Figure>,
    /// Edge part Ke of the specific cutting force, N/mm.
    pub cutting_edge_n_mm: Option<Figure>,
    /// Severing force of a knife per mm of thickness, N/mm.
    pub severing_n_mm: Option<Figure>,
    /// Static friction on the spoilboard.
    pub friction: Option<Figure>,
    /// Darcy permeability through the thickness, m²; none for a sealed sheet.
    pub permeability_m2: Option<Figure>,
    /// Wear of the edge relative to medium-density fibreboard.
    #[serde(default = "one")]
    pub relative_abrasion: f64,
    /// Deepest slot in one pass, in cutter diameters.
    pub max_slot_depth_diameters: Option<f64>,
    /// Whether climb cutting is wanted for finishing passes.
    #[serde(default)]
    pub climb_wanted: bool,
}

fn one() -> f64 {
    1.0
}

/// Families that share chip-load windows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MaterialFamily {
    /// Fibreboard and particleboard.
    FibreBoard,
    /// Softwood and plywood.
    Plywood,
    /// Hardwood.
    Hardwood,
    /// Compact laminate.
    Laminate,
    /// HDPE, PP, PC.
    SoftPlastic,
    /// Acrylic, rigid PVC.
    HardPlastic,
    /// Aluminium and composite panel.
    Aluminium,
    /// Rigid foam.
    RigidFoam,
    /// Soft foam, cut by knife.
    SoftFoam,
    /// Corrugated and grey board, cut by knife.
    Board,
}
