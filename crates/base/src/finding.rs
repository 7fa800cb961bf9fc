//! A finding: one thing a check or a reader has to say. Data only; text, JSON and page render it.

use crate::Span;
use std::collections::BTreeMap;

/// How much a finding weighs, lightest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; nothing need change.
    Note,
    /// A person should look before the run.
    Care,
    /// The run must not be released like this.
    Stop,
}

impl Severity {
    /// The word shown to people and written to JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Care => "care",
            Self::Stop => "stop",
        }
    }
}

/// A named setting in a shop file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SettingRef {
    /// File inside the shop folder.
    pub file: String,
    /// Line from 1; 0 where the setting is a default that no line states.
    pub line: u32,
    /// Dotted key, e.g. `axis.X.max_mm`.
    pub key: String,
}

impl std::fmt::Display for SettingRef {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.line == 0 {
            write!(f, "{} (default of `{}`)", self.file, self.key)
        } else {
            write!(f, "{}:{}", self.file, self.line)
        }
    }
}

/// What a finding points at.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// Bytes of the program text.
    Text(Span),
    /// A setting of the shop.
    Setting(SettingRef),
    /// The program as a whole, e.g. something that is missing from it.
    Program,
}

/// A further place that explains a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Where.
    pub place: Place,
    /// What is there, one line.
    pub text: String,
}

/// One thing a check has to say.
///
/// `message` stands alone on one line: what is wrong, with value and unit. `help` says how to mend.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Name of the check, in lower case with hyphens; never reused for something else.
    pub check: &'static str,
    /// Weight.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
    /// What is wrong, one line, with value and unit.
    pub message: String,
    /// Short words beside the marked text; may be empty.
    pub label: String,
    /// The value that was found, in `unit`.
    pub value: Option<f64>,
    /// The limit it was held against, in `unit`.
    pub limit: Option<f64>,
    /// Unit of `value` and `limit`; empty for none.
    pub unit: &'static str,
    /// Who set the limit.
    pub limit_source: Option<SettingRef>,
    /// Index of the move concerned.
    pub move_index: Option<u32>,
    /// Tool tip position concerned, machine coordinates, mm.
    pub tip_mm: Option<[f64; 3]>,
    /// Further places.
    pub notes: Vec<Note>,
    /// How to mend it, one line; may be empty.
    pub help: String,
}

impl Finding {
    /// A finding with only what every finding has; the `with_` methods add the rest.
    pub fn new(
        check: &'static str,
        severity: Severity,
        place: Place,
        message: impl Into<String>,
    ) -> Self {
        Self {
            check,
            severity,
            place,
            message: message.into(),
            label: String::new(),
            value: None,
            limit: None,
            unit: "",
            limit_source: None,
            move_index: None,
            tip_mm: None,
            notes: Vec::new(),
            help: String::new(),
        }
    }

    /// Adds words beside the marked text.
    pub fn with_label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Adds the value found, with its unit.
    pub fn with_value(mut self, value: f64, unit: &'static str) -> Self {
        self.value = Some(value);
        self.unit = unit;
        self
    }

    /// Adds the limit (in the unit of the value) and who set it.
    pub fn with_limit(mut self, limit: f64, source: Option<SettingRef>) -> Self {
        self.limit = Some(limit);
        self.limit_source = source;
        self
    }

    /// Adds who set a limit that is no number, e.g. a place or a missing entry.
    pub fn with_limit_source(mut self, source: SettingRef) -> Self {
        self.limit_source = Some(source);
        self
    }

    /// Adds the move and the tool tip position concerned (machine coordinates, mm).
    pub fn at_move(mut self, move_index: u32, tip_mm: [f64; 3]) -> Self {
        self.move_index = Some(move_index);
        self.tip_mm = Some(tip_mm);
        self
    }

    /// Adds a further place.
    pub fn with_note(mut self, place: Place, text: impl Into<String>) -> Self {
        self.notes.push(Note { place, text: text.into() });
        self
    }

    /// Adds how to mend it.
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }
}

/// Collects findings with a bound per check, so that a fault on every block of a long program
/// stays readable and bounded in memory; what was left out is counted, never lost silently.
#[derive(Clone, Debug)]
pub struct FindingLog {
    findings: Vec<Finding>,
    counts: BTreeMap<(&'static str, Severity), u64>,
    kept_per_check: u64,
}

impl Default for FindingLog {
    fn default() -> Self {
        Self::with_bound(Self::DEFAULT_KEPT_PER_CHECK)
    }
}

impl FindingLog {
    /// Findings of one check kept in full. Our choice: more than a person reads in one sitting.
    pub const DEFAULT_KEPT_PER_CHECK: u64 = 200;

    /// An empty log that keeps `kept_per_check` findings of each check.
    pub fn with_bound(kept_per_check: u64) -> Self {
        Self { findings: Vec::new(), counts: BTreeMap::new(), kept_per_check }
    }

    /// Adds a finding, or only counts it once its check has reached the bound.
    pub fn push(&mut self, finding: Finding) {
        if self.wants(finding.check, finding.severity) {
            self.findings.push(finding);
        }
    }

    /// Counts one finding of this check and says whether it will be kept, so that a caller can
    /// spare building it. A caller that gets `true` must hand it to [`Self::push_wanted`].
    pub fn wants(&mut self, check: &'static str, severity: Severity) -> bool {
        let count = self.counts.entry((check, severity)).or_insert(0);
        *count += 1;
        *count <= self.kept_per_check
    }

    /// Adds a finding that [`Self::wants`] has counted.
    pub fn push_wanted(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Takes over everything from another log.
    pub fn absorb(&mut self, other: Self) {
        for ((check, severity), count) in other.counts {
            *self.counts.entry((check, severity)).or_insert(0) += count;
        }
        self.findings.extend(other.findings);
    }

    /// The findings kept, in order of arrival.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// How many findings of a severity there were, those left out included.
    pub fn count(&self, severity: Severity) -> u64 {
        self.counts.iter().filter(|((_, s), _)| *s == severity).map(|(_, n)| n).sum()
    }

    /// Checks with more findings than were kept: name, severity, number left out.
    pub fn left_out(&self) -> Vec<(&'static str, Severity, u64)> {
        let kept = |check, severity| {
            self.findings.iter().filter(|f| f.check == check && f.severity == severity).count()
        };
        self.counts
            .iter()
            .map(|(&(check, severity), &n)| (check, severity, n - kept(check, severity) as u64))
            .filter(|&(_, _, n)| n > 0)
            .collect()
    }

    /// Sorts heaviest first, then by place in the text.
    pub fn sort(&mut self) {
        self.findings.sort_by_key(|f| {
            let at = match &f.place {
                Place::Text(span) => (0, span.start),
                Place::Setting(setting) => (1, setting.line),
                Place::Program => (2, 0),
            };
            (std::cmp::Reverse(f.severity), at, f.check)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_log_keeps_a_bounded_number_and_counts_the_rest() {
        let mut log = FindingLog::with_bound(2);
        for _ in 0..5 {
            log.push(Finding::new("a", Severity::Stop, Place::Program, "x"));
        }
        log.push(Finding::new("b", Severity::Note, Place::Program, "y"));
        assert_eq!(log.findings().len(), 3);
        assert_eq!(log.count(Severity::Stop), 5);
        assert_eq!(log.left_out(), [("a", Severity::Stop, 3)]);
    }

    #[test]
    fn sorting_puts_the_heaviest_first() {
        let mut log = FindingLog::default();
        let at = |start| Place::Text(Span::new(start, start + 1));
        log.push(Finding::new("a", Severity::Note, at(1), "n"));
        log.push(Finding::new("b", Severity::Stop, at(9), "s2"));
        log.push(Finding::new("c", Severity::Stop, at(3), "s1"));
        log.sort();
        let order: Vec<&str> = log.findings().iter().map(|f| f.message.as_str()).collect();
        assert_eq!(order, ["s1", "s2", "n"]);
    }
}
