//! A rule: its id, the question it answers, and which parts can change its answer.

use crate::fit::finding::{Finding, Verdict};
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// One rule.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Id, as files, pages and messages have it.
    pub id: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// Parts of the machine-to-be that it looks at; a search evaluates it once for each combination
    /// of these.
    pub looks_at: &'static [Kind],
    /// Answers it.
    pub judge: fn(&Proposal<'_>) -> Finding,
    /// The same verdict without the words, where a search asks it often.
    pub quick: Option<fn(&Proposal<'_>) -> Verdict>,
}

impl Rule {
    /// The verdict alone, by the shorter way where there is one.
    pub fn verdict(&self, proposal: &Proposal<'_>) -> Verdict {
        self.quick.map_or_else(|| (self.judge)(proposal).verdict, |quick| quick(proposal))
    }
}

/// The findings of every rule, in the rules' order.
pub fn judge(proposal: &Proposal<'_>) -> Vec<Finding> {
    crate::fit::rules::ALL.iter().map(|rule| (rule.judge)(proposal)).collect()
}

/// The verdict on the whole: that of the worst finding.
pub fn overall(findings: &[Finding]) -> Verdict {
    findings.iter().map(|finding| finding.verdict).max().unwrap_or(Verdict::Fits)
}
