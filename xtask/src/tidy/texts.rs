//! Sizes of files, and words that must not stand in the repository.

use crate::process::{output_of, root};

/// Lines of a source file above which it must be split; tests do not count.
const MOST_LINES: usize = 600;

/// Parts of words that have no place in the repository, split so that this file does not hold them:
/// addresses of package registries, and marks of unfinished code.
const UNWANTED: &[(&str, &str)] = &[
    ("index.", "crates.io"),
    ("static.", "crates.io"),
    ("registry.", "npmjs"),
    ("files.", "pythonhosted"),
    ("todo", "!("),
    ("unimplemented", "!("),
    ("#[", "ignore"),
];

/// Files that are too long or hold unwanted words.
pub fn faults() -> Result<Vec<String>, String> {
    let listed = output_of("", "git", &["ls-files", "--cached", "--others", "--exclude-standard"])?;
    let mut faults = Vec::new();
    for path in listed.lines() {
        let Ok(text) = std::fs::read_to_string(root().join(path)) else { continue };
        if has_code_ending(path) && !path.contains("/tests/") && !is_generated(&text) {
            let lines = text.split("#[cfg(test)]").next().unwrap_or_default().lines().count();
            if lines > MOST_LINES {
                faults.push(format!("{path} has {lines} lines; split it at {MOST_LINES}"));
            }
        }
        if path != "Cargo.lock" {
            for (front, back) in UNWANTED {
                if text.contains(&format!("{front}{back}")) {
                    faults.push(format!("{path} holds `{front}{back}`"));
                }
            }
        }
    }
    Ok(faults)
}

fn has_code_ending(path: &str) -> bool {
    [".rs", ".ts", ".svelte", ".css"].iter().any(|ending| path.ends_with(ending))
}

fn is_generated(text: &str) -> bool {
    text.lines().take(10).any(|line| line.to_lowercase().contains("generated"))
}
