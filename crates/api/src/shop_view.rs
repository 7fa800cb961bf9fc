//! What the page must know of the shop to draw tables and offer choices.

use crate::report::Named;
use kw_model::{Machine, Sheet, Shop};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The shop as the page sees it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShopView {
    /// Name of the shop.
    pub name: String,
    /// Whether it is made up.
    pub invented: bool,
    /// Machine chosen where nothing else is said.
    pub default_machine: String,
    /// Sheet chosen where nothing else is said.
    pub default_sheet: String,
    /// Machines.
    pub machines: Vec<MachineView>,
    /// Sheets.
    pub sheets: Vec<SheetView>,
}

/// A machine as the page draws it; machine coordinates, mm.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MachineView {
    /// Id and name.
    #[serde(flatten)]
    pub named: Named,
    /// Table along X.
    pub table_x_mm: [f64; 2],
    /// Table along Y.
    pub table_y_mm: [f64; 2],
    /// Where the sheet's corner of least X and Y lies.
    pub sheet_corner_mm: [f64; 2],
    /// Vacuum zones.
    pub zones: Vec<ZoneView>,
    /// Stops, pins, clamps.
    pub stops: Vec<StopView>,
}

/// A vacuum zone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ZoneView {
    /// Id.
    pub id: String,
    /// Corners in order, mm.
    pub corners_mm: Vec<[f64; 2]>,
}

/// A stop, pin or clamp.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StopView {
    /// Name.
    pub name: String,
    /// Extent along X, mm.
    pub x_mm: [f64; 2],
    /// Extent along Y, mm.
    pub y_mm: [f64; 2],
    /// Whether it can be drawn in.
    pub retractable: bool,
}

/// A sheet to choose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SheetView {
    /// Id and name.
    #[serde(flatten)]
    pub named: Named,
    /// Material, id.
    pub material: String,
    /// Size along X and Y, mm.
    pub size_mm: [f64; 2],
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Outline from its corner of least X and Y, mm.
    pub outline_mm: Vec<[f64; 2]>,
    /// How many there are.
    pub count: u32,
}

impl From<&Shop> for ShopView {
    fn from(shop: &Shop) -> Self {
        Self {
            name: shop.head.name.clone(),
            invented: shop.head.invented,
            default_machine: shop.head.default_machine.clone(),
            default_sheet: shop.head.default_sheet.clone(),
            machines: shop.machines.iter().map(|(m, _)| m.into()).collect(),
            sheets: shop.sheets.iter().map(Into::into).collect(),
        }
    }
}

impl From<&Machine> for MachineView {
    fn from(machine: &Machine) -> Self {
        let zone = |z: &kw_model::vacuum::Zone| ZoneView {
            id: z.id.clone(),
            corners_mm: z.corners_mm.clone(),
        };
        let stop = |s: &kw_model::Stop| StopView {
            name: s.name.clone(),
            x_mm: s.x_mm,
            y_mm: s.y_mm,
            retractable: s.retractable,
        };
        Self {
            named: Named { id: machine.id.clone(), name: machine.name.clone() },
            table_x_mm: machine.table.x_mm,
            table_y_mm: machine.table.y_mm,
            sheet_corner_mm: machine.table.sheet_corner_mm,
            zones: machine.zone.iter().map(zone).collect(),
            stops: machine.stop.iter().map(stop).collect(),
        }
    }
}

impl From<&Sheet> for SheetView {
    fn from(sheet: &Sheet) -> Self {
        Self {
            named: Named { id: sheet.id.clone(), name: sheet.name.clone() },
            material: sheet.material.clone(),
            size_mm: sheet.size_mm,
            thickness_mm: sheet.thickness_mm,
            outline_mm: sheet.outline().points.iter().map(|p| [p.x, p.y]).collect(),
            count: sheet.count,
        }
    }
}
