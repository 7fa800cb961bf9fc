//! Licences of everything we depend on.

use serde_json::Value;

/// Licences that fit `MIT OR Apache-2.0` for a program with its source open.
const ALLOWED: &[&str] = &[
    "MIT",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unlicense",
    "0BSD",
    "BSL-1.0",
    "CC0-1.0",
    "MIT-0",
];

/// Packages under another licence, each with the reason why it may be used.
const EXCEPTIONS: &[(&str, &str)] = &[
    // File-level copyleft: used unmodified; its source is at its registry.
    ("jagua-rs", "MPL-2.0"),
    // Data only.
    ("webpki-roots", "CDLA-Permissive-2.0"),
];

/// Packages whose licence is not allowed.
pub fn faults(metadata: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let name = package["name"].as_str().unwrap_or_default();
        let licence = package["license"].as_str().unwrap_or("none stated");
        let excepted = EXCEPTIONS.contains(&(name, licence));
        if !excepted && !allowed(licence) {
            faults.push(format!("{name}: licence `{licence}` is not on the list"));
        }
    }
    faults
}

/// Whether an SPDX expression can be met: `OR` needs one side, `AND` both.
fn allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    let met = any_of(&words, &mut at);
    met && at == words.len()
}

fn any_of(words: &[&str], at: &mut usize) -> bool {
    let mut met = all_of(words, at);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= all_of(words, at);
    }
    met
}

fn all_of(words: &[&str], at: &mut usize) -> bool {
    let mut met = one(words, at);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one(words, at);
    }
    met
}

fn one(words: &[&str], at: &mut usize) -> bool {
    let Some(&word) = words.get(*at) else { return false };
    *at += 1;
    if word == "(" {
        let met = any_of(words, at);
        *at += 1;
        return met;
    }
    if words.get(*at) == Some(&"WITH") {
        let whole = format!("{word} WITH {}", words.get(*at + 1).unwrap_or(&""));
        *at += 2;
        return ALLOWED.contains(&whole.as_str());
    }
    ALLOWED.contains(&word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expressions_are_understood() {
        assert!(allowed("MIT OR GPL-3.0"));
        assert!(allowed("(MIT OR Apache-2.0) AND Unicode-3.0"));
        assert!(allowed("Apache-2.0 WITH LLVM-exception OR GPL-2.0"));
        assert!(allowed("MIT/Apache-2.0"));
        assert!(!allowed("MIT AND GPL-3.0"));
        assert!(!allowed("none stated"));
    }
}
