//! `fires.nc` must give the check's finding as recorded in `fires.snap`; `quiet.nc` must not give it.

use kw_base::{Finding, Place, Sources};
use kw_checks::registry::OWN_CHECKS;
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use std::path::{Path, PathBuf};

/// The test shop's setup with this sheet.
pub fn setup(sheet: &str) -> Setup {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop");
    let names = ["shop.toml", "tools.toml", "materials.toml", "sheets.toml", "machines/bench.toml"];
    let files: Vec<ShopFile> = names
        .iter()
        .map(|name| ShopFile {
            name: (*name).to_owned(),
            text: std::fs::read_to_string(folder.join(name)).unwrap(),
        })
        .collect();
    let shop = Shop::read(&files).unwrap();
    shop.setup(SetupChoice { sheet: Some(sheet), ..SetupChoice::default() }).unwrap()
}

/// All findings of a text in the test shop, and its sources.
pub fn findings(name: &str, text: &str, sheet: &str) -> (Vec<Finding>, Sources) {
    let sources = Sources::single(name, text.as_bytes().to_vec()).unwrap();
    let analysis = kw_checks::analyse(&sources, &setup(sheet)).unwrap();
    (analysis.findings.findings().to_vec(), sources)
}

/// One line per finding: place, weight, message, label, value, limit, help.
pub fn in_words(finding: &Finding, sources: &Sources) -> String {
    let at = match &finding.place {
        Place::Text(span) => {
            let file = sources.file_of(span.start).unwrap();
            let at = file.line_column(span.start);
            let text = String::from_utf8_lossy(file.slice(*span)).into_owned();
            format!("{}:{} `{text}`", at.line, at.column)
        }
        Place::Setting(setting) => setting.to_string(),
        Place::Program => "program".to_owned(),
    };
    let number = |n: Option<f64>| n.map_or("-".to_owned(), |n| format!("{n:.4}"));
    format!(
        "{} {at}\n  {}\n  {}\n  value {} limit {} {}\n  {}",
        finding.severity.word(),
        finding.message,
        finding.label,
        number(finding.value),
        number(finding.limit),
        finding.unit,
        finding.help
    )
}

fn folder_of(check: &str) -> PathBuf {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let name = check.replace('-', "_");
    ["fit", "tools", "program", "material", "loads"]
        .iter()
        .map(|family| source.join(family).join(&name))
        .find(|folder| folder.is_dir())
        .unwrap_or_else(|| panic!("{check} has no folder with fires.nc and quiet.nc"))
}

#[test]
fn every_check_fires_and_keeps_quiet_on_its_own_fixtures() {
    for info in OWN_CHECKS {
        let folder = folder_of(info.name);
        let read = |file: &str| std::fs::read_to_string(folder.join(file)).unwrap();
        let sheet = match info.name {
            "sheet-not-mapped" => "thick",
            "slot-too-deep" => "ruled",
            _ if folder.parent().is_some_and(|f| f.ends_with("loads")) => "forced",
            _ => "ply",
        };
        let (found, sources) = findings("fires.nc", &read("fires.nc"), sheet);
        let own: Vec<String> =
            found.iter().filter(|f| f.check == info.name).map(|f| in_words(f, &sources)).collect();
        assert!(!own.is_empty(), "{} does not fire", info.name);
        insta::with_settings!({
            snapshot_path => &folder,
            prepend_module_to_snapshot => false,
            omit_expression => true,
        }, {
            insta::assert_snapshot!("fires", own.join("\n\n"));
        });
        let sheet = if sheet == "thick" { "ply" } else { sheet };
        let (found, sources) = findings("quiet.nc", &read("quiet.nc"), sheet);
        let own: Vec<String> =
            found.iter().filter(|f| f.check == info.name).map(|f| in_words(f, &sources)).collect();
        assert!(own.is_empty(), "{} fires on quiet.nc: {}", info.name, own.join("\n"));
    }
}
