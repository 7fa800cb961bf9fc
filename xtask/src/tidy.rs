//! `cargo xtask tidy`: what no compiler holds: the direction of imports, licences of what we depend
//! on, sizes of files, words that must not stand in the repository.

mod imports;
mod licences;
mod texts;

use crate::process::{cargo, output_of};

/// Runs every tidy check and lists all faults.
pub fn tidy(_: &[String]) -> Result<(), String> {
    println!("\n> tidy");
    let text = output_of("", &cargo(), &["metadata", "--format-version", "1", "--locked"])?;
    let metadata: serde_json::Value =
        serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let mut faults = imports::faults(&metadata);
    faults.extend(licences::faults(&metadata));
    faults.extend(texts::faults()?);
    if faults.is_empty() { Ok(()) } else { Err(format!("\n  {}", faults.join("\n  "))) }
}
