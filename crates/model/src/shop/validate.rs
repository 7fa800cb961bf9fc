//! What the types of a shop file cannot say: ranges, order, references, numbers given twice.

use super::{Shop, ShopError};
use crate::machine::{AxisLetter, Datum, Head, HeadKind};
use crate::{Figure, Machine, Material, SettingIndex, Sheet, Tool, ToolType};
use std::collections::BTreeSet;

/// Collects faults of one file.
struct Faults<'a> {
    index: &'a SettingIndex,
    errors: &'a mut Vec<ShopError>,
}

impl Faults<'_> {
    fn say(&mut self, path: &str, message: String) {
        let at = self.index.find(path);
        self.errors.push(ShopError { file: at.file, line: at.line, message });
    }

    fn positive(&mut self, path: &str, value: f64, unit: &str) {
        if !(value > 0.0 && value.is_finite()) {
            self.say(path, format!("`{path}` is {value} {unit}; it must be above 0"));
        }
    }

    fn positive_if_given(&mut self, path: &str, value: Option<f64>, unit: &str) {
        if let Some(value) = value {
            self.positive(path, value, unit);
        }
    }

    fn rising(&mut self, path: &str, [low, high]: [f64; 2], unit: &str) {
        if !(low < high && low.is_finite() && high.is_finite()) {
            let message = format!("`{path}` runs from {low} to {high} {unit}; it must rise");
            self.say(path, message);
        }
    }

    fn ordered(&mut self, path: &str, figure: Option<&Figure>) {
        if let Some(f) = figure.filter(|f| !f.is_ordered()) {
            let message = format!(
                "`{path}` has low {}, likely {}, high {}; they must be in that order",
                f.low, f.likely, f.high
            );
            self.say(path, message);
        }
    }

    fn share(&mut self, path: &str, value: f64) {
        if !(0.0..=10.0).contains(&value) {
            self.say(path, format!("`{path}` is {value}; it is a share, 1 meaning all of it"));
        }
    }

    fn once<'n>(&mut self, what: &str, names: impl Iterator<Item = (&'n str, String)>) {
        let mut seen = BTreeSet::new();
        for (path, name) in names {
            if !seen.insert(name.clone()) {
                self.say(&format!("{path}.{name}"), format!("{what} `{name}` is there twice"));
            }
        }
    }
}

impl Shop {
    /// Adds a fault for everything the types cannot rule out.
    pub(super) fn validate(&self, errors: &mut Vec<ShopError>) {
        if self.machines.is_empty() {
            errors.push(ShopError {
                file: "machines/".to_owned(),
                line: 0,
                message: "no machine is described; add one file per machine".to_owned(),
            });
        }
        for (machine, index) in &self.machines {
            check_machine(machine, &mut Faults { index, errors });
        }
        let mut faults = Faults { index: &self.settings.tools, errors };
        faults.once("tool type", self.tool_types.iter().map(|t| ("type", t.id.clone())));
        for kind in &self.tool_types {
            check_tool_type(kind, &mut faults);
        }
        self.check_tools(&mut faults);
        let mut faults = Faults { index: &self.settings.materials, errors };
        faults.once("material", self.materials.iter().map(|m| ("material", m.id.clone())));
        for material in &self.materials {
            check_material(material, &mut faults);
        }
        let mut faults = Faults { index: &self.settings.sheets, errors };
        faults.once("sheet", self.sheets.iter().map(|s| ("sheet", s.id.clone())));
        for sheet in &self.sheets {
            self.check_sheet(sheet, &mut faults);
        }
    }

    fn check_tools(&self, faults: &mut Faults<'_>) {
        let mut numbers = BTreeSet::new();
        let mut pockets = BTreeSet::new();
        for tool in &self.tools {
            let path = format!("tool.{}", tool.number);
            let machine = tool.machine.clone().unwrap_or_default();
            if !numbers.insert((machine.clone(), tool.number)) {
                faults.say(&path, format!("tool number {} is there twice", tool.number));
            }
            if let crate::ToolPlace::Pocket(pocket) = tool.place
                && !pockets.insert((machine, pocket))
            {
                faults.say(&path, format!("pocket {pocket} holds two tools"));
            }
            if !self.tool_types.iter().any(|k| k.id == tool.type_id) {
                let message = format!("tool {}: no type `{}`", tool.number, tool.type_id);
                faults.say(&format!("{path}.type"), message);
            }
            check_tool(tool, &path, faults);
        }
    }

    fn check_sheet(&self, sheet: &Sheet, faults: &mut Faults<'_>) {
        let path = |key: &str| format!("sheet.{}.{key}", sheet.id);
        faults.positive(&path("thickness_mm"), sheet.thickness_mm, "mm");
        for size in sheet.size_mm {
            faults.positive(&path("size_mm"), size, "mm");
        }
        if !self.materials.iter().any(|m| m.id == sheet.material) {
            faults.say(&path("material"), format!("no material `{}`", sheet.material));
        }
        if !sheet.outline_mm.is_empty() && sheet.outline().signed_area_mm2().abs() < 1.0 {
            let message = "the outline encloses no area; give at least three corners".to_owned();
            faults.say(&path("outline_mm"), message);
        }
    }
}

fn check_tool(tool: &Tool, path: &str, faults: &mut Faults<'_>) {
    faults.positive_if_given(&format!("{path}.length_mm"), tool.length_mm, "mm");
    faults.positive_if_given(&format!("{path}.diameter_mm"), tool.diameter_mm, "mm");
    faults.share(&format!("{path}.life_used"), tool.life_used);
}

fn check_tool_type(kind: &ToolType, faults: &mut Faults<'_>) {
    let path = |key: &str| format!("type.{}.{key}", kind.id);
    let lengths = [
        ("DC", kind.dc_mm),
        ("APMX", kind.apmx_mm),
        ("LU", kind.lu_mm),
        ("OAL", kind.oal_mm),
        ("DMM", kind.dmm_mm),
        ("BDX", kind.bdx_mm),
        ("LPR", kind.lpr_mm),
    ];
    for (key, value) in lengths {
        faults.positive_if_given(&path(key), value, "mm");
    }
    faults.positive_if_given(&path("RPMX"), kind.rpmx, "1/min");
    if kind.kind.turns() && kind.dc_mm.is_none() {
        let message = format!("tool type `{}` turns but has no cutting diameter DC", kind.id);
        faults.say(&path("DC"), message);
    }
    if let (Some(apmx), Some(lu)) = (kind.apmx_mm, kind.lu_mm)
        && apmx > lu
    {
        let message = format!("APMX {apmx} mm is more than the usable length LU {lu} mm");
        faults.say(&path("APMX"), message);
    }
    if let Some(dc) = kind.dc_mm
        && kind.re_mm > dc / 2.0
    {
        let message = format!("corner radius RE {} mm is more than half of DC {dc} mm", kind.re_mm);
        faults.say(&path("RE"), message);
    }
}

fn check_material(material: &Material, faults: &mut Faults<'_>) {
    let path = |key: &str| format!("material.{}.{key}", material.id);
    faults.ordered(&path("density_kg_m3"), Some(&material.density_kg_m3));
    faults.ordered(&path("cutting_area_n_mm2"), material.cutting_area_n_mm2.as_ref());
    faults.ordered(&path("cutting_edge_n_mm"), material.cutting_edge_n_mm.as_ref());
    faults.ordered(&path("severing_n_mm"), material.severing_n_mm.as_ref());
    faults.ordered(&path("friction"), material.friction.as_ref());
    faults.ordered(&path("permeability_m2"), material.permeability_m2.as_ref());
}

fn check_machine(machine: &Machine, faults: &mut Faults<'_>) {
    for letter in [AxisLetter::X, AxisLetter::Y, AxisLetter::Z] {
        let count = machine.axis.iter().filter(|a| a.letter == letter).count();
        if count != 1 {
            let message = format!("axis {letter:?} is described {count} times; once is needed");
            faults.say("axis", message);
        }
    }
    for axis in &machine.axis {
        let path = |key: &str| format!("axis.{:?}.{key}", axis.letter);
        faults.rising(&path("max_mm"), [axis.min_mm, axis.max_mm], "mm");
        faults.positive(&path("max_speed_mm_min"), axis.max_speed_mm_min, "mm/min");
        faults.positive(&path("max_acceleration_mm_s2"), axis.max_acceleration_mm_s2, "mm/s²");
        faults.positive_if_given(&path("max_jerk_mm_s3"), axis.max_jerk_mm_s3, "mm/s³");
    }
    faults.rising("table.x_mm", machine.table.x_mm, "mm");
    faults.rising("table.y_mm", machine.table.y_mm, "mm");
    faults.positive("path.corner_tolerance_mm", machine.path.corner_tolerance_mm, "mm");
    if machine.head.is_empty() {
        faults.say("head", "no head is described; at least one is needed".to_owned());
    }
    for head in &machine.head {
        check_head(head, faults);
    }
    faults.once("head", machine.head.iter().map(|h| ("head", h.id.clone())));
    faults.once("zone", machine.zone.iter().map(|z| ("zone", z.id.clone())));
    faults.once("pump", machine.pump.iter().map(|p| ("pump", p.id.clone())));
    for datum in &machine.datum {
        check_datum(datum, faults);
    }
    check_mapped_codes(machine, faults);
}

fn check_head(head: &Head, faults: &mut Faults<'_>) {
    let path = |key: &str| format!("head.{}.{key}", head.id);
    if let Some(range) = head.speed_rpm {
        faults.rising(&path("speed_rpm"), range, "1/min");
    } else if head.kind == HeadKind::Spindle {
        let message = format!("spindle `{}` has no range `speed_rpm`", head.id);
        faults.say(&path("speed_rpm"), message);
    }
    if head.power_curve.windows(2).any(|w| w[0][0] >= w[1][0]) {
        faults.say(&path("power_curve"), "speeds of the power curve must rise".to_owned());
    }
}

fn check_datum(datum: &Datum, faults: &mut Faults<'_>) {
    if datum.system().is_none() {
        let message =
            format!("`{}` is no work offset; use G54 to G59, G59.1, G59.2 or G59.3", datum.code);
        faults.say(&format!("datum.{}", datum.code), message);
    }
}

fn check_mapped_codes(machine: &Machine, faults: &mut Faults<'_>) {
    use crate::Action;
    for mapped in &machine.dialect.code {
        let target = mapped.target.as_deref();
        let known = |ids: Vec<&str>| target.is_some_and(|t| ids.contains(&t));
        let (what, found) = match mapped.action {
            Action::ZoneOn | Action::ZoneOff => {
                ("zone", known(machine.zone.iter().map(|z| z.id.as_str()).collect()))
            }
            Action::PumpOn | Action::PumpOff => {
                ("pump", known(machine.pump.iter().map(|p| p.id.as_str()).collect()))
            }
            Action::SelectHead => {
                ("head", known(machine.head.iter().map(|h| h.id.as_str()).collect()))
            }
            _ => continue,
        };
        if !found {
            let path = format!("dialect.code.{}", mapped.code);
            let message = format!("{} names no {what} of this machine as `target`", mapped.code);
            faults.say(&path, message);
        }
    }
}
