//! What a change does to the answers: the analysis before beside the analysis after.

use kw_base::{Finding, Place, Severity, Sources};
use kw_checks::Analysis;
use kw_nc::{Move, Toolpath};

/// The figures of one analysis that are compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// Total time, s.
    pub time_s: f64,
    /// Findings that must stop the job.
    pub stop: u64,
    /// Findings that need care.
    pub care: u64,
    /// Findings to note.
    pub note: u64,
    /// Moves.
    pub moves: usize,
}

/// A finding as far as a comparison goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindingLine {
    /// Weight.
    pub severity: Severity,
    /// Name of the check.
    pub check: &'static str,
    /// What it says.
    pub message: String,
    /// Line in its text; `None` where it points at none.
    pub line: Option<u32>,
}

/// Two analyses of a program beside each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Figures before.
    pub before: Figures,
    /// Figures after.
    pub after: Figures,
    /// Findings that are new.
    pub added: Vec<FindingLine>,
    /// Findings that are gone.
    pub removed: Vec<FindingLine>,
    /// Moves that differ in way, feed or state, counted by their place in the order; moves that
    /// only one of the two has count too.
    pub moves_changed: usize,
}

/// Compares two analyses, each with its texts.
///
/// Findings are the same if check, weight and words are; only those that the logs kept are listed.
pub fn compare(
    (before, before_text): (&Analysis, &Sources),
    (after, after_text): (&Analysis, &Sources),
) -> Comparison {
    let old = finding_lines(before, before_text);
    let new = finding_lines(after, after_text);
    Comparison {
        before: figures(before),
        after: figures(after),
        added: without(&new, &old),
        removed: without(&old, &new),
        moves_changed: moves_changed(&before.reading.toolpath, &after.reading.toolpath),
    }
}

fn figures(analysis: &Analysis) -> Figures {
    let count = |severity| analysis.findings.count(severity);
    Figures {
        time_s: analysis.totals.time_s,
        stop: count(Severity::Stop),
        care: count(Severity::Care),
        note: count(Severity::Note),
        moves: analysis.reading.toolpath.len(),
    }
}

fn finding_lines(analysis: &Analysis, sources: &Sources) -> Vec<FindingLine> {
    let line = |finding: &Finding| match finding.place {
        Place::Text(span) => {
            sources.file_of(span.start).map(|file| file.line_column(span.start).line)
        }
        _ => None,
    };
    let as_line = |finding: &Finding| FindingLine {
        severity: finding.severity,
        check: finding.check,
        message: finding.message.clone(),
        line: line(finding),
    };
    analysis.findings.findings().iter().map(as_line).collect()
}

/// Those of `list` that `other` has not, each as often as it has it more.
fn without(list: &[FindingLine], other: &[FindingLine]) -> Vec<FindingLine> {
    let key = |f: &FindingLine| (f.severity, f.check, f.message.clone());
    let mut left = std::collections::BTreeMap::new();
    for finding in other {
        *left.entry(key(finding)).or_insert(0_u32) += 1;
    }
    let is_new = |finding: &&FindingLine| match left.get_mut(&key(finding)) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        _ => true,
    };
    list.iter().filter(is_new).cloned().collect()
}

fn moves_changed(old: &Toolpath, new: &Toolpath) -> usize {
    let differs = |a: &Move<'_>, b: &Move<'_>| {
        a.kind != b.kind
            || a.to_mm.distance(b.to_mm) > 1e-6
            || a.arc.is_some() != b.arc.is_some()
            || (a.feed - b.feed).abs() > 1e-9 * a.feed
            || a.rotary_deg != b.rotary_deg
            || a.state != b.state
    };
    let changed = old.moves().zip(new.moves()).filter(|(a, b)| differs(a, b)).count();
    changed + old.len().abs_diff(new.len())
}
