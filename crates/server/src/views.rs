//! What the API sends beside reports: programs, text windows, checks.

use kw_base::Severity;
use kw_checks::CheckInfo;
use kw_model::Shop;
use kw_shop::ProgramRecord;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A kept program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ProgramView {
    /// Its number.
    pub id: i64,
    /// File name as dropped.
    pub name: String,
    /// What it makes, where the shop knows; else empty.
    pub title: String,
    /// SHA-256 of its text.
    pub sha256: String,
    /// Size, bytes.
    pub bytes: u64,
    /// Lines.
    pub lines: u32,
    /// When it was first dropped, RFC 3339.
    pub added_at: String,
    /// Machine the shop suggests.
    pub machine: String,
    /// Sheet the shop suggests.
    pub sheet: String,
}

impl ProgramView {
    /// A record with what the shop suggests for it.
    pub fn of(record: &ProgramRecord, shop: &Shop) -> Self {
        let head = &shop.head;
        let entry = head.program.iter().find(|p| p.file == record.name);
        let suggested =
            |choice: Option<&String>, otherwise: &String| choice.unwrap_or(otherwise).clone();
        Self {
            id: record.id.0,
            name: record.name.clone(),
            title: entry.map_or_else(String::new, |e| e.title.clone()),
            sha256: record.sha256.clone(),
            bytes: record.bytes,
            lines: record.lines,
            added_at: jiff::Timestamp::from_millisecond(record.added_at_ms)
                .unwrap_or_default()
                .to_string(),
            machine: suggested(entry.and_then(|e| e.machine.as_ref()), &head.default_machine),
            sheet: suggested(entry.and_then(|e| e.sheet.as_ref()), &head.default_sheet),
        }
    }
}

/// Some lines of a program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct TextWindow {
    /// Number of the first line sent, from 1.
    pub from: u32,
    /// The lines; Windows-1252 where a line is not UTF-8; cut at 2000 characters.
    pub lines: Vec<String>,
    /// Lines of the whole program.
    pub total: u32,
}

/// A check and its explanation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct CheckView {
    /// Name.
    pub name: String,
    /// Usual weight: `stop`, `care` or `note`.
    pub severity: String,
    /// What it finds, one line.
    pub title: String,
    /// Small Markdown.
    pub explanation: String,
}

impl From<CheckInfo> for CheckView {
    fn from(info: CheckInfo) -> Self {
        let severity: Severity = info.severity;
        Self {
            name: info.name.to_owned(),
            severity: severity.word().to_owned(),
            title: info.title.to_owned(),
            explanation: info.full_text(),
        }
    }
}
