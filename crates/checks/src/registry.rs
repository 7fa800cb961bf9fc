//! The list of all checks: name, default severity, explanation. A name is never reused.

use crate::{fit, loads, material, program, tools};
use kw_base::{Finding, FindingLog, Place, Severity};

/// What is known of a check beyond its code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CheckInfo {
    /// Name, stating the fault.
    pub name: &'static str,
    /// Usual weight.
    pub severity: Severity,
    /// What it finds, in one line.
    pub title: &'static str,
    /// What it finds, why it matters at the machine, figures and sources, limits, how to mend:
    /// small Markdown.
    pub explanation: &'static str,
    /// How to mend it, where the explanation does not say so; else empty.
    pub mend: &'static str,
}

impl CheckInfo {
    /// Explanation and mend as one text.
    pub fn full_text(&self) -> String {
        let explanation = self.explanation.trim_end();
        if self.mend.is_empty() {
            return explanation.to_owned();
        }
        format!("{explanation}\n\n## Mend\n{}", self.mend)
    }

    /// A finding of this check with its usual weight.
    pub(crate) fn finding(&self, place: Place, message: impl Into<String>) -> Finding {
        Finding::new(self.name, self.severity, place, message)
    }

    /// Counts a finding and says whether the log wants it in full.
    pub(crate) fn wanted(&self, log: &mut FindingLog) -> bool {
        log.wants(self.name, self.severity)
    }
}

/// Declares a check's [`CheckInfo`] as `INFO`, with its explanation from the Markdown file of the
/// same name in the check's folder.
macro_rules! check_info {
    ($name:literal, $severity:ident, $title:literal, $file:literal) => {
        /// What is known of this check.
        pub const INFO: $crate::CheckInfo = $crate::CheckInfo {
            name: $name,
            severity: kw_base::Severity::$severity,
            title: $title,
            explanation: include_str!($file),
            mend: "",
        };
    };
}
pub(crate) use check_info;

/// All checks, reading faults included, in the order of the way through a program.
pub fn infos() -> Vec<CheckInfo> {
    let faults = kw_nc::faults().iter().map(|fault| CheckInfo {
        name: fault.name,
        severity: fault.severity,
        title: first_sentence(fault.explanation),
        explanation: fault.explanation,
        mend: fault.mend,
    });
    OWN_CHECKS.iter().copied().chain(faults).collect()
}

fn first_sentence(text: &'static str) -> &'static str {
    text.find(". ").map_or(text, |end| &text[..end])
}

/// The check of a name.
pub fn explain(name: &str) -> Option<CheckInfo> {
    infos().into_iter().find(|info| info.name == name)
}

/// Checks of this crate.
pub const OWN_CHECKS: &[CheckInfo] = &[
    fit::travel_exceeded::INFO,
    fit::outside_sheet::INFO,
    fit::outside_table::INFO,
    fit::into_stop::INFO,
    fit::too_deep::INFO,
    fit::rapid_below_surface::INFO,
    tools::tool_unknown::INFO,
    tools::tool_never_called::INFO,
    tools::tool_not_in_magazine::INFO,
    tools::tool_not_measured::INFO,
    tools::length_not_applied::INFO,
    tools::rating_missing::INFO,
    tools::speed_above_rating::INFO,
    tools::speed_outside_spindle::INFO,
    material::sheet_not_mapped::INFO,
    material::body_touches::INFO,
    material::deeper_than_edge::INFO,
    material::plunge_not_possible::INFO,
    material::slot_too_deep::INFO,
    loads::chip_too_thin::INFO,
    loads::chip_too_thick::INFO,
    loads::power_above_spindle::INFO,
    loads::torque_above_spindle::INFO,
    loads::deflection_above_tolerance::INFO,
    loads::life_runs_out::INFO,
    loads::conventional_where_climb::INFO,
    loads::knife_corner_without_lift::INFO,
    loads::knife_turns_too_fast::INFO,
    program::feed_above_axis::INFO,
    program::feed_zero::INFO,
    program::cut_without_spindle::INFO,
    program::units_not_stated::INFO,
    program::plane_not_stated::INFO,
    program::program_not_ended::INFO,
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_name_is_there_once_and_is_explained() {
        let mut names = BTreeSet::new();
        for info in infos() {
            assert!(names.insert(info.name), "{} is there twice", info.name);
            assert!(info.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", info.name);
            assert!(
                info.explanation.len() + info.mend.len() > 60,
                "{} is hardly explained",
                info.name
            );
        }
    }

    #[test]
    fn own_explanations_have_the_same_sections() {
        for info in OWN_CHECKS {
            let sections: Vec<&str> =
                info.explanation.lines().filter(|l| l.starts_with("## ")).collect();
            let wanted = ["## At the machine", "## Figures and limits", "## Mend"];
            assert_eq!(sections, wanted, "{}", info.name);
        }
    }
}
