//! The demo shop and its programs.

use kw_base::Sources;
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use kw_nc::{ReadContext, Reading};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn shop() -> Shop {
    let names = [
        "shop.toml",
        "tools.toml",
        "materials.toml",
        "sheets.toml",
        "machines/long-table.toml",
        "machines/small-table.toml",
    ];
    let read = |name: &str| std::fs::read_to_string(root().join("demo/shop").join(name)).unwrap();
    let files: Vec<ShopFile> =
        names.iter().map(|n| ShopFile { name: (*n).to_owned(), text: read(n) }).collect();
    Shop::read(&files).unwrap()
}

/// Every sound demo program with its setup.
pub fn programs() -> Vec<(String, Sources, Setup)> {
    let shop = shop();
    let mut names: Vec<String> = std::fs::read_dir(root().join("demo/programs"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".nc") && name != "mistakes.nc")
        .collect();
    names.sort();
    assert!(names.len() >= 8);
    names
        .into_iter()
        .map(|name| {
            let bytes = std::fs::read(root().join("demo/programs").join(&name)).unwrap();
            let choice = SetupChoice { program_file: Some(&name), ..SetupChoice::default() };
            let setup = shop.setup(choice).unwrap();
            (name.clone(), Sources::single(&name, bytes).unwrap(), setup)
        })
        .collect()
}

/// Reads a text in a setup.
pub fn read(text: &str, setup: &Setup) -> (Sources, Reading) {
    let sources = Sources::single("changed.nc", text.as_bytes().to_vec()).unwrap();
    let reading = kw_nc::read(&sources, &ReadContext::from_setup(setup));
    (sources, reading)
}
