//! Findings as terminal text.

use upgrade::fit::finding::{Finding, Verdict};

use crate::paint::{Paint, Role};
use crate::wrap::wrap;

/// How much of each finding is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// Verdict, sentence, margin, cure.
    Short,
    /// The readings as well.
    Full,
}

/// The role of a verdict's colour.
pub const fn role(verdict: Verdict) -> Role {
    match verdict {
        Verdict::Fits => Role::Good,
        Verdict::OnCondition | Verdict::CannotTell => Role::Careful,
        Verdict::DoesNotFit => Role::Stop,
    }
}

/// A finding in lines.
pub fn finding(finding: &Finding, depth: Depth, width: usize, paint: Paint) -> String {
    let mut out = String::new();
    let head = format!("{} {:<16} {:<20}", finding.verdict.mark(), finding.rule, finding.verdict.word());
    out.push_str(paint.text(role(finding.verdict), head.trim_end()).as_str());
    out.push('\n');
    let mut paragraph = |label: &str, text: &str| {
        for line in wrap(&format!("    {label}{text}"), width.saturating_sub(4), 0) {
            out.push_str("    ");
            out.push_str(line.trim_start());
            out.push('\n');
        }
    };
    paragraph("", &finding.sentence);
    if let Some(margin) = &finding.margin {
        paragraph("margin: ", &margin.text);
    }
    if let Some(cure) = &finding.cure {
        paragraph("do: ", cure);
    }
    if let Some(settle) = &finding.settle {
        paragraph("settled by: ", settle);
    }
    if depth == Depth::Full {
        for reading in &finding.readings {
            let origin = reading.origin.map_or(String::new(), |origin| format!(" ({})", origin.word()));
            paragraph("", &format!("- {}: {}{origin}", reading.what, reading.value));
        }
    }
    out
}

/// Findings, worst first, with a closing count.
pub fn findings(list: &[Finding], depth: Depth, width: usize, paint: Paint) -> String {
    let mut sorted: Vec<&Finding> = list.iter().collect();
    sorted.sort_by_key(|finding| core::cmp::Reverse(finding.verdict));
    let mut out = String::new();
    for one in sorted {
        out.push_str(&finding(one, depth, width, paint));
    }
    let count = |verdict| list.iter().filter(|finding| finding.verdict == verdict).count();
    out.push_str(&format!(
        "{} fit, {} on a condition, {} cannot be told, {} do not fit\n",
        count(Verdict::Fits),
        count(Verdict::OnCondition),
        count(Verdict::CannotTell),
        count(Verdict::DoesNotFit),
    ));
    out
}
