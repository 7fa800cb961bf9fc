//! Where reading writes what it has to say.

use crate::faults::FaultInfo;
use kw_base::{Finding, FindingLog, Place, Severity, Span};

/// Collects the findings of one reading.
#[derive(Debug, Default)]
pub(crate) struct Log {
    findings: FindingLog,
    strict: bool,
}

impl Log {
    /// An empty log; in strict reading every condition of the published report is a stop.
    pub(crate) fn new(strict: bool) -> Self {
        Self { findings: FindingLog::default(), strict }
    }

    /// What was collected.
    pub(crate) fn into_findings(self) -> FindingLog {
        self.findings
    }

    /// Adds a finding at a place in the text.
    #[cold]
    pub(crate) fn say(
        &mut self,
        info: &'static FaultInfo,
        span: Span,
        message: impl FnOnce() -> String,
    ) {
        self.say_with(info, span, message, |finding| finding);
    }

    /// Adds a finding at a place in the text, with more said about it.
    #[cold]
    pub(crate) fn say_with(
        &mut self,
        info: &'static FaultInfo,
        span: Span,
        message: impl FnOnce() -> String,
        more: impl FnOnce(Finding) -> Finding,
    ) {
        self.say_at(info, Place::Text(span), message, more);
    }

    /// Adds a finding at any place.
    #[cold]
    pub(crate) fn say_at(
        &mut self,
        info: &'static FaultInfo,
        place: Place,
        message: impl FnOnce() -> String,
        more: impl FnOnce(Finding) -> Finding,
    ) {
        let raised = self.strict && !info.condition.is_empty();
        let severity = if raised { Severity::Stop } else { info.severity };
        if self.findings.wants(info.name, severity) {
            let finding = Finding::new(info.name, severity, place, message());
            self.findings.push_wanted(more(finding.with_help(info.mend)));
        }
    }
}
