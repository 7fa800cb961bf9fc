//! Sheets of stock.

use kw_geometry::{Polygon, Vec2};
use serde::Deserialize;

/// A kind of sheet on the rack, or an offcut.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// Short name used on the command line.
    pub id: String,
    /// Name shown to people.
    pub name: String,
    /// Material, by id.
    pub material: String,
    /// Size along X and Y, mm.
    pub size_mm: [f64; 2],
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// True outline of an offcut, from its corner of least X and Y, mm; a full rectangle if empty.
    #[serde(default)]
    pub outline_mm: Vec<[f64; 2]>,
    /// Direction of the grain.
    pub grain: Option<Grain>,
    /// How many there are.
    #[serde(default = "one")]
    pub count: u32,
    /// Where they are kept.
    #[serde(default)]
    pub kept_at: String,
    /// Price of one, money.
    #[serde(default)]
    pub cost: f64,
}

fn one() -> u32 {
    1
}

/// Direction of the grain on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// Along X.
    AlongX,
    /// Along Y.
    AlongY,
}

impl Sheet {
    /// Its outline from its corner of least X and Y, mm.
    pub fn outline(&self) -> Polygon {
        if self.outline_mm.is_empty() {
            return Polygon::rectangle(Vec2::default(), self.size_mm.into());
        }
        Polygon { points: self.outline_mm.iter().map(|&p| Vec2::from(p)).collect() }
    }
}
