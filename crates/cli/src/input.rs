//! Programs and shop folders from disk.

use anyhow::{Context, Result, bail};
use kw_base::Sources;
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use std::path::{Path, PathBuf};

/// Largest program taken, bytes. Our choice: five times the largest known to us.
const MAX_PROGRAM_BYTES: u64 = 500_000_000;

/// Largest file of a shop folder, bytes. Our choice: thousands of tools.
const MAX_SHOP_FILE_BYTES: u64 = 16_000_000;

/// The text of a program, as it is.
pub fn program(path: &Path) -> Result<Sources> {
    let bytes = read_bounded(path, MAX_PROGRAM_BYTES)?;
    if let Some(why) = kw_checks::screen::unusable(&bytes) {
        bail!("{}: {why}", path.display());
    }
    let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    Ok(Sources::single(&name, bytes)?)
}

/// The shop that a folder describes.
pub fn shop(folder: &Path) -> Result<Shop> {
    if !folder.is_dir() {
        bail!("{}: no such shop folder", folder.display());
    }
    let mut names: Vec<PathBuf> = Vec::new();
    for part in ["", "machines"] {
        let part_folder = folder.join(part);
        if !part_folder.is_dir() {
            continue;
        }
        for entry in std::fs::read_dir(&part_folder)
            .with_context(|| format!("{}: cannot be listed", part_folder.display()))?
        {
            let path = entry?.path();
            if path.extension().is_some_and(|e| e == "toml") {
                names.push(path);
            }
        }
    }
    names.sort();
    let mut files = Vec::new();
    for path in names {
        let relative = path.strip_prefix(folder).unwrap_or(&path);
        let name = relative.to_string_lossy().replace('\\', "/");
        let bytes = read_bounded(&path, MAX_SHOP_FILE_BYTES)?;
        let text = String::from_utf8(bytes)
            .with_context(|| format!("{}: is not UTF-8 text", path.display()))?;
        files.push(ShopFile { name, text });
    }
    Shop::read(&files).map_err(|errors| {
        let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
        anyhow::anyhow!(
            "the shop in {} cannot be used:\n  {}",
            folder.display(),
            lines.join("\n  ")
        )
    })
}

/// The setup for a program in a shop; machine and sheet as told, else as the shop says.
pub fn setup(
    shop: &Shop,
    program: &Path,
    machine: Option<&str>,
    sheet: Option<&str>,
) -> Result<Setup> {
    let file = program.file_name().map(|n| n.to_string_lossy().into_owned());
    let choice = SetupChoice { program_file: file.as_deref(), machine, sheet };
    shop.setup(choice).map_err(|error| anyhow::anyhow!("{}", error.message))
}

fn read_bounded(path: &Path, max_bytes: u64) -> Result<Vec<u8>> {
    let size = std::fs::metadata(path)
        .with_context(|| format!("{}: cannot be read", path.display()))?
        .len();
    if size > max_bytes {
        bail!("{}: {size} bytes are more than the {max_bytes} that are read", path.display());
    }
    std::fs::read(path).with_context(|| format!("{}: cannot be read", path.display()))
}
