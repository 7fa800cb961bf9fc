//! Every fault that reading reports: its name, weight, number in the published list of error
//! conditions, and its explanation for a person. Data only.

mod compensation;
mod cycles;
mod motion;
mod offsets;
mod program;
mod text;
mod words;

pub(crate) use compensation::*;
pub(crate) use cycles::*;
pub(crate) use motion::*;
pub(crate) use offsets::*;
pub(crate) use program::*;
pub(crate) use text::*;
pub(crate) use words::*;

use kw_base::Severity;

/// One kind of fault that reading can report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FaultInfo {
    /// Name, lower case with hyphens; the `check` of its findings.
    pub name: &'static str,
    /// Weight of its findings unless the dialect makes it lighter or heavier.
    pub severity: Severity,
    /// Number of the error condition in our list of NISTIR 6556 conditions (`NC01` to `NC63`);
    /// empty for conditions that the report does not have.
    pub condition: &'static str,
    /// What it is and why it matters at the machine, one paragraph.
    pub explanation: &'static str,
    /// How to mend it, one line; also the help of its findings.
    pub mend: &'static str,
}

/// Every fault that reading reports, in the order of the language: text, words, motion, offsets,
/// cycles, compensation, flow of the program.
pub fn faults() -> &'static [FaultInfo] {
    &ALL
}

/// The fault of a name.
pub fn fault(name: &str) -> Option<&'static FaultInfo> {
    ALL.iter().find(|info| info.name == name)
}

const COUNT: usize = text::LIST.len()
    + words::LIST.len()
    + motion::LIST.len()
    + offsets::LIST.len()
    + cycles::LIST.len()
    + compensation::LIST.len()
    + program::LIST.len();

static ALL: [FaultInfo; COUNT] = join();

const fn join() -> [FaultInfo; COUNT] {
    let lists: [&[&'static FaultInfo]; 7] = [
        text::LIST,
        words::LIST,
        motion::LIST,
        offsets::LIST,
        cycles::LIST,
        compensation::LIST,
        program::LIST,
    ];
    let mut all = [*text::LIST[0]; COUNT];
    let (mut at, mut list) = (0, 0);
    while list < lists.len() {
        let mut i = 0;
        while i < lists[list].len() {
            all[at] = *lists[list][i];
            at += 1;
            i += 1;
        }
        list += 1;
    }
    all
}

/// Declares faults as constants and lists them in `LIST`.
macro_rules! declare {
    ($($id:ident = $name:literal, $severity:ident, $condition:literal,
       $explanation:literal, $mend:literal;)+) => {
        $(pub(crate) const $id: &$crate::faults::FaultInfo = &$crate::faults::FaultInfo {
            name: $name,
            severity: kw_base::Severity::$severity,
            condition: $condition,
            explanation: $explanation,
            mend: $mend,
        };)+
        pub(super) const LIST: &[&$crate::faults::FaultInfo] = &[$($id),+];
    };
}
use declare;

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn names_are_plain_and_differ() {
        let names: BTreeSet<&str> = faults().iter().map(|f| f.name).collect();
        assert_eq!(names.len(), faults().len());
        for name in names {
            assert!(name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'), "{name}");
        }
    }

    #[test]
    fn every_condition_of_the_report_has_a_fault() {
        let known: BTreeSet<&str> = faults().iter().map(|f| f.condition).collect();
        for number in 1..=63 {
            let condition = format!("NC{number:02}");
            assert!(known.contains(condition.as_str()), "{condition}");
        }
    }

    #[test]
    fn explanations_are_sentences() {
        for info in faults() {
            assert!(info.explanation.len() > 80, "{}", info.name);
            assert!(info.explanation.ends_with('.'), "{}", info.name);
            assert!(!info.mend.is_empty() && !info.mend.ends_with('.'), "{}", info.name);
        }
    }
}
