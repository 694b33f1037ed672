//! Findings for a page: the sentence first, the readings behind it unfold.

use maud::{Markup, html};
use upgrade::fit::finding::{Finding, Verdict};

/// The class of a verdict; its mark and its words stand beside it always.
pub const fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fits => "fits",
        Verdict::OnCondition => "condition",
        Verdict::CannotTell => "open",
        Verdict::DoesNotFit => "misfit",
    }
}

/// A verdict as mark and words.
pub fn verdict(verdict: Verdict) -> Markup {
    html! { span.verdict.(class(verdict)) { span aria-hidden="true" { (verdict.mark()) } " " (verdict.word()) } }
}

/// One finding.
pub fn finding(finding: &Finding) -> Markup {
    html! {
        details.finding {
            summary { (verdict(finding.verdict)) " " b { (finding.rule) } " " span { (finding.sentence) } }
            @if let Some(margin) = &finding.margin { p { b { "Margin: " } (margin.text) } }
            @if let Some(cure) = &finding.cure { p { b { "Do: " } (cure) } }
            @if let Some(settle) = &finding.settle { p { b { "Settled by: " } (settle) } }
            @if finding.readings.is_empty() {
                p.faint { "It rests on no reading of its own." }
            } @else {
                ul.readings {
                    @for reading in &finding.readings {
                        li { (reading.what) ": " b { (reading.value) }
                            @if let Some(origin) = reading.origin { " (" (origin.word()) ")" } }
                    }
                }
            }
        }
    }
}

/// Findings, worst first.
pub fn findings(list: &[Finding]) -> Markup {
    let mut sorted: Vec<&Finding> = list.iter().collect();
    sorted.sort_by_key(|finding| core::cmp::Reverse(finding.verdict));
    html! { @for one in sorted { (finding(one)) } }
}
