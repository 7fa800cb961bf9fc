//! Whole shop folders read from files: the demo shop is accepted, bad shops are refused with the
//! file, line and field.
#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "tests read folders")]

use kw_model::shop::SetupChoice;
use kw_model::{Shop, ShopError, ShopFile};
use std::fs;
use std::path::{Path, PathBuf};

mod bad;
mod demo;

fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The TOML files of a shop folder, in order of their names.
fn files_of(folder: &Path) -> Vec<ShopFile> {
    let mut files = Vec::new();
    for (prefix, sub) in [("", folder.to_owned()), ("machines/", folder.join("machines"))] {
        for entry in fs::read_dir(&sub).into_iter().flatten().flatten() {
            let name = entry.file_name().into_string().unwrap();
            if name.ends_with(".toml") {
                let text = fs::read_to_string(entry.path()).unwrap();
                files.push(ShopFile { name: format!("{prefix}{name}"), text });
            }
        }
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}

fn demo_files() -> Vec<ShopFile> {
    files_of(&repository().join("demo/shop"))
}

fn lines(errors: &[ShopError]) -> String {
    errors.iter().map(|e| format!("{e}\n")).collect()
}
