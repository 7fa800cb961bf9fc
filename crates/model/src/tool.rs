//! Tool types (catalogue entries, keys by ISO 13399 symbols) and tools (physical assemblies).

use serde::Deserialize;

/// A catalogue entry. Keys in capitals are ISO 13399 symbols; keys with `x_` are our own, where
/// that standard has none.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolType {
    /// Short name that tools refer to.
    pub id: String,
    /// Name shown to people.
    pub name: String,
    /// Form.
    pub kind: ToolKind,
    /// Cutting diameter, mm.
    #[serde(rename = "DC")]
    pub dc_mm: Option<f64>,
    /// Diameter of the flat tip of a taper, V or engraving tool, mm.
    #[serde(rename = "DCN", default)]
    pub dcn_mm: f64,
    /// Usable edge depth, mm.
    #[serde(rename = "APMX")]
    pub apmx_mm: Option<f64>,
    /// Usable length, mm: deeper the body would touch.
    #[serde(rename = "LU")]
    pub lu_mm: Option<f64>,
    /// Overall length, mm.
    #[serde(rename = "OAL")]
    pub oal_mm: Option<f64>,
    /// Shank diameter, mm.
    #[serde(rename = "DMM")]
    pub dmm_mm: Option<f64>,
    /// Largest body diameter of the assembly (holder included), mm.
    #[serde(rename = "BDX")]
    pub bdx_mm: Option<f64>,
    /// Protruding length out of the holder, mm.
    #[serde(rename = "LPR")]
    pub lpr_mm: Option<f64>,
    /// Corner radius, mm.
    #[serde(rename = "RE", default)]
    pub re_mm: f64,
    /// Point angle of a drill, included angle of a V, degrees.
    #[serde(rename = "SIG")]
    pub sig_deg: Option<f64>,
    /// Half angle of a taper, degrees.
    #[serde(rename = "BHTA")]
    pub bhta_deg: Option<f64>,
    /// Number of flutes.
    #[serde(rename = "NOF")]
    pub nof: Option<u32>,
    /// Flute helix angle, degrees: positive lifts (up-cut), negative presses (down-cut).
    #[serde(rename = "FHA", default)]
    pub fha_deg: f64,
    /// Highest spindle speed the tool is rated for, 1/min.
    #[serde(rename = "RPMX")]
    pub rpmx: Option<f64>,
    /// Compression bit: length of its up-cut tip, mm; above it the helix runs the other way.
    pub x_up_cut_tip_mm: Option<f64>,
    /// Whether its end cuts to the middle, so that it may plunge.
    #[serde(default = "yes")]
    pub x_can_plunge: bool,
    /// Substance of the edge: carbide, diamond, high-speed-steel.
    #[serde(default = "carbide")]
    pub x_substance: String,
    /// Form tool: points `[radius, height above the tip]`, mm, height rising.
    #[serde(default)]
    pub x_profile_mm: Vec<[f64; 2]>,
    /// Knife: blade thickness, mm.
    pub x_blade_thickness_mm: Option<f64>,
    /// Knife: distance of the tip behind the pivot, mm.
    #[serde(default)]
    pub x_blade_offset_mm: f64,
    /// Knife: angle of the straight edge to the sheet, degrees.
    pub x_edge_angle_deg: Option<f64>,
    /// Knife: largest cutting depth, mm.
    pub x_max_cut_depth_mm: Option<f64>,
    /// Life at the reference condition.
    pub x_life: Option<LifeReference>,
    /// Price of one, money.
    #[serde(default)]
    pub x_cost: f64,
}

fn yes() -> bool {
    true
}

fn carbide() -> String {
    "carbide".to_owned()
}

/// Form of a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolKind {
    /// Flat end, with or without corner radius.
    EndMill,
    /// Ball end.
    Ball,
    /// V with a sharp or flat tip.
    VCutter,
    /// Engraving tool: V with a small flat tip.
    Engraver,
    /// Tapered sides, ball or flat tip.
    Taper,
    /// Drill.
    Drill,
    /// Form given by points.
    Form,
    /// Knife that trails behind its pivot.
    DragKnife,
    /// Knife turned to the heading.
    TangentialKnife,
    /// Stroking knife turned to the heading.
    OscillatingKnife,
    /// Wheel that presses a crease.
    CreasingWheel,
    /// Pen.
    Pen,
}

impl ToolKind {
    /// Whether it turns in a spindle.
    pub fn turns(self) -> bool {
        !matches!(
            self,
            Self::DragKnife
                | Self::TangentialKnife
                | Self::OscillatingKnife
                | Self::CreasingWheel
                | Self::Pen
        )
    }
}

/// Life of a tool type at its reference condition.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LifeReference {
    /// Cutting time until it is worn, min.
    pub minutes: f64,
    /// Surface speed at which that holds, m/min.
    pub speed_m_min: f64,
    /// Feed per tooth at which that holds, mm.
    pub feed_per_tooth_mm: f64,
    /// Depth at which that holds, mm.
    pub depth_mm: f64,
    /// Exponent n of the Taylor equation V·Tⁿ = C.
    pub taylor_exponent: f64,
    /// Where it comes from.
    pub source: String,
}

/// A physical assembly of a type.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tool {
    /// Number that programs call.
    pub number: u32,
    /// Type it is of.
    #[serde(rename = "type")]
    pub type_id: String,
    /// Machine it belongs to; any machine if left out.
    pub machine: Option<String>,
    /// Where it is.
    pub place: ToolPlace,
    /// Head it fits, by id; the first head of the machine if left out.
    pub head: Option<String>,
    /// Measured length from gauge line to tip, mm; none if it must be measured.
    pub length_mm: Option<f64>,
    /// Measured cutting diameter, mm, where it differs from the type's.
    pub diameter_mm: Option<f64>,
    /// Day of measuring, `YYYY-MM-DD`.
    pub measured_on: Option<String>,
    /// Who measured.
    pub measured_by: Option<String>,
    /// Share of its life used, 0 to 1.
    #[serde(default)]
    pub life_used: f64,
    /// Share of life at which a person should look.
    #[serde(default = "default_care_level")]
    pub life_care: f64,
    /// Share of life at which it must be changed.
    #[serde(default = "default_stop_level")]
    pub life_stop: f64,
    /// Whether mist or air blast is wanted with it.
    #[serde(default)]
    pub wants_air: bool,
}

fn default_care_level() -> f64 {
    0.8
}

fn default_stop_level() -> f64 {
    1.0
}

/// Where a tool is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum ToolPlace {
    /// In a pocket of the magazine.
    Pocket(u32),
    /// Fixed in its head.
    InHead,
    /// At hand: loaded by hand when the program calls for it.
    HandLoad,
    /// On the shelf: not at the machine.
    Shelf,
}
