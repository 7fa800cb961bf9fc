//! A shop folder: reads the texts of its TOML files into one checked description.

use crate::settings::line_of;
use crate::setup::{SetupSettings, SetupTool};
use crate::{Machine, Material, SettingIndex, Setup, Sheet, Tool, ToolType};
use serde::Deserialize;
use serde::de::DeserializeOwned;

mod validate;

/// A file of the shop folder, by its path inside the folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopFile {
    /// Path inside the folder with `/`, e.g. `machines/long-table.toml`.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Something in a shop file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopError {
    /// File inside the folder.
    pub file: String,
    /// Line from 1; 0 for the file as a whole.
    pub line: u32,
    /// What is wrong and how to mend it.
    pub message: String,
}

impl std::fmt::Display for ShopError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.file, self.message),
            line => write!(f, "{}:{line}: {}", self.file, self.message),
        }
    }
}

impl std::error::Error for ShopError {}

/// Everything a shop folder states.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shop {
    /// The shop's own file.
    pub head: ShopHead,
    /// Machines, one a file, with the lines of that file.
    pub machines: Vec<(Machine, SettingIndex)>,
    /// Tool types.
    pub tool_types: Vec<ToolType>,
    /// Tools.
    pub tools: Vec<Tool>,
    /// Materials.
    pub materials: Vec<Material>,
    /// Sheets.
    pub sheets: Vec<Sheet>,
    settings: SetupSettings,
}

/// `shop.toml`.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShopHead {
    /// Name of the shop.
    pub name: String,
    /// Whether the shop is made up.
    #[serde(default)]
    pub invented: bool,
    /// Machine used where nothing else is said.
    pub default_machine: String,
    /// Sheet used where nothing else is said.
    pub default_sheet: String,
    /// What is known of programs by their file name.
    #[serde(default)]
    pub program: Vec<ProgramEntry>,
}

/// What the shop knows of a program.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProgramEntry {
    /// File name without folder.
    pub file: String,
    /// What it makes.
    #[serde(default)]
    pub title: String,
    /// Machine it is meant for.
    pub machine: Option<String>,
    /// Sheet it is meant for.
    pub sheet: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ToolsFile {
    #[serde(default, rename = "type")]
    types: Vec<ToolType>,
    #[serde(default)]
    tool: Vec<Tool>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialsFile {
    #[serde(default)]
    material: Vec<Material>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetsFile {
    #[serde(default)]
    sheet: Vec<Sheet>,
}

/// Which machine and sheet a run uses; what is `None` is taken from the program's entry, else
/// from the shop's defaults.
#[derive(Clone, Copy, Debug, Default)]
pub struct SetupChoice<'a> {
    /// File name of the program, without folder.
    pub program_file: Option<&'a str>,
    /// Machine id.
    pub machine: Option<&'a str>,
    /// Sheet id.
    pub sheet: Option<&'a str>,
}

impl Shop {
    /// Reads the texts of a shop folder.
    ///
    /// Wants `shop.toml`, `tools.toml`, `materials.toml`, `sheets.toml` and at least one
    /// `machines/*.toml`. Errors: every fault of every file, in order of files and lines.
    pub fn read(files: &[ShopFile]) -> Result<Self, Vec<ShopError>> {
        let mut errors = Vec::new();
        let mut shop = Self::default();
        if let Some((head, _)) = one_file::<ShopHead>(files, "shop.toml", &mut errors) {
            shop.head = head;
        }
        if let Some((f, index)) = one_file::<ToolsFile>(files, "tools.toml", &mut errors) {
            (shop.tool_types, shop.tools, shop.settings.tools) = (f.types, f.tool, index);
        }
        if let Some((f, index)) = one_file::<MaterialsFile>(files, "materials.toml", &mut errors) {
            (shop.materials, shop.settings.materials) = (f.material, index);
        }
        if let Some((f, index)) = one_file::<SheetsFile>(files, "sheets.toml", &mut errors) {
            (shop.sheets, shop.settings.sheets) = (f.sheet, index);
        }
        for file in files.iter().filter(|f| f.name.starts_with("machines/")) {
            if let Some(machine) = parse(file, &mut errors) {
                shop.machines.push((machine, SettingIndex::of(&file.name, &file.text)));
            }
        }
        if errors.is_empty() {
            shop.validate(&mut errors);
        }
        if errors.is_empty() { Ok(shop) } else { Err(errors) }
    }

    /// The setup for a run. Errors: an id that the shop does not have, with those it has.
    pub fn setup(&self, choice: SetupChoice<'_>) -> Result<Setup, ShopError> {
        let entry =
            choice.program_file.and_then(|f| self.head.program.iter().find(|p| p.file == f));
        let machine_id = choice
            .machine
            .or_else(|| entry.and_then(|e| e.machine.as_deref()))
            .unwrap_or(&self.head.default_machine);
        let sheet_id = choice
            .sheet
            .or_else(|| entry.and_then(|e| e.sheet.as_deref()))
            .unwrap_or(&self.head.default_sheet);
        let (machine, machine_index) = find(&self.machines, machine_id, "machine", |(m, _)| &m.id)?;
        let sheet = find(&self.sheets, sheet_id, "sheet", |s| &s.id)?;
        let material = find(&self.materials, &sheet.material, "material", |m| &m.id)?;
        let mut settings = self.settings.clone();
        settings.machine = machine_index.clone();
        Ok(Setup {
            tools: self.tools_of(machine_id),
            sheet_corner_mm: machine.table.sheet_corner_mm.into(),
            machine: machine.clone(),
            sheet: sheet.clone(),
            material: material.clone(),
            settings,
        })
    }

    fn tools_of(&self, machine_id: &str) -> Vec<SetupTool> {
        let belongs = |t: &&Tool| t.machine.as_deref().is_none_or(|m| m == machine_id);
        self.tools
            .iter()
            .filter(belongs)
            .filter_map(|tool| {
                let kind = self.tool_types.iter().find(|k| k.id == tool.type_id)?;
                Some(SetupTool { tool: tool.clone(), kind: kind.clone() })
            })
            .collect()
    }
}

fn find<'a, T>(
    all: &'a [T],
    id: &str,
    what: &str,
    id_of: impl Fn(&T) -> &String,
) -> Result<&'a T, ShopError> {
    all.iter().find(|t| id_of(t) == id).ok_or_else(|| {
        let known: Vec<&str> = all.iter().map(|t| id_of(t).as_str()).collect();
        ShopError {
            file: "shop".to_owned(),
            line: 0,
            message: format!("no {what} `{id}`; there are: {}", known.join(", ")),
        }
    })
}

fn one_file<T: DeserializeOwned>(
    files: &[ShopFile],
    name: &str,
    errors: &mut Vec<ShopError>,
) -> Option<(T, SettingIndex)> {
    let Some(file) = files.iter().find(|f| f.name == name) else {
        let message = "this file is missing from the shop folder".to_owned();
        errors.push(ShopError { file: name.to_owned(), line: 0, message });
        return None;
    };
    Some((parse(file, errors)?, SettingIndex::of(&file.name, &file.text)))
}

fn parse<T: DeserializeOwned>(file: &ShopFile, errors: &mut Vec<ShopError>) -> Option<T> {
    match toml::from_str(&file.text) {
        Ok(value) => Some(value),
        Err(error) => {
            let line = error.span().map_or(0, |span| line_of(&file.text, span.start));
            let message = said(error.message(), file.text.lines().nth(line.max(1) as usize - 1));
            errors.push(ShopError { file: file.name.clone(), line, message });
            None
        }
    }
}

/// A parser's message for people, with the key of its line in front where it does not name it.
fn said(message: &str, line: Option<&str>) -> String {
    let message = message.replace("expected f64", "expected a number");
    let key = line.and_then(|l| l.split_once('=')).map_or("", |(key, _)| key.trim());
    if key.is_empty() || message.contains(&format!("`{key}`")) {
        message
    } else {
        format!("`{key}`: {message}")
    }
}
