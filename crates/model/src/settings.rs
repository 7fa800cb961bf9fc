//! Where in the shop's files each setting stands, so that a finding can name its limit's line.

use kw_base::SettingRef;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Line of every key of one TOML file, by dotted path.
///
/// Elements of an array are named by their `id`, `letter`, `code`, `number`, `name` or `file`,
/// else by their index from 0: `axis.X.max_mm`, `tool.4.length_mm`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SettingIndex {
    file: String,
    lines: BTreeMap<String, u32>,
}

impl SettingIndex {
    /// Indexes a text; a text that is not TOML gives an empty index.
    pub fn of(file: &str, text: &str) -> Self {
        let mut index = Self { file: file.to_owned(), lines: BTreeMap::new() };
        if let Ok(table) = DeTable::parse(text) {
            index.add_table(text, "", table.get_ref());
        }
        index
    }

    /// The setting at a path; its line is that of the nearest enclosing table where the key itself
    /// is left out, 0 where not even that stands in the file.
    pub fn find(&self, path: &str) -> SettingRef {
        let mut known = path;
        let line = loop {
            if let Some(&line) = self.lines.get(known) {
                break line;
            }
            match known.rsplit_once('.') {
                Some((parent, _)) => known = parent,
                None => break 0,
            }
        };
        SettingRef { file: self.file.clone(), line, key: path.to_owned() }
    }

    /// Name of the file.
    pub fn file(&self) -> &str {
        &self.file
    }

    fn add_table(&mut self, text: &str, path: &str, table: &DeTable<'_>) {
        for (key, value) in table {
            let child = join(path, key.get_ref());
            self.lines.insert(child.clone(), line_of(text, key.span().start));
            self.add_value(text, &child, value);
        }
    }

    fn add_value(&mut self, text: &str, path: &str, value: &Spanned<DeValue<'_>>) {
        match value.get_ref() {
            DeValue::Table(table) => self.add_table(text, path, table),
            DeValue::Array(elements) => {
                for (index, element) in elements.iter().enumerate() {
                    if let DeValue::Table(table) = element.get_ref() {
                        let child = join(path, &element_name(table, index));
                        self.lines.insert(child.clone(), line_of(text, element.span().start));
                        self.add_table(text, &child, table);
                    }
                }
            }
            _ => {}
        }
    }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

fn element_name(table: &DeTable<'_>, index: usize) -> String {
    for key in ["id", "letter", "code", "number", "name", "file"] {
        match table.get(key).map(Spanned::get_ref) {
            Some(DeValue::String(name)) => return name.to_string(),
            Some(DeValue::Integer(number)) => return number.to_string(),
            _ => {}
        }
    }
    index.to_string()
}

/// Line of a byte offset, from 1.
pub(crate) fn line_of(text: &str, offset: usize) -> u32 {
    text.as_bytes()[..offset.min(text.len())].iter().filter(|&&b| b == b'\n').count() as u32 + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "id = 'm'\n\n[[axis]]\nletter = 'X'\nmax_mm = 3050\n\n[[tool]]\nnumber = 4\n";

    #[test]
    fn keys_are_found_with_their_line() {
        let index = SettingIndex::of("m.toml", TEXT);
        assert_eq!(index.find("axis.X.max_mm").line, 5);
        assert_eq!(index.find("tool.4.number").line, 8);
        assert_eq!(index.find("axis.X.max_mm").to_string(), "m.toml:5");
    }

    #[test]
    fn a_missing_key_points_at_its_table_or_nowhere() {
        let index = SettingIndex::of("m.toml", TEXT);
        assert_eq!(index.find("axis.X.min_mm").line, 3);
        assert_eq!(index.find("path.corner").line, 0);
    }
}
