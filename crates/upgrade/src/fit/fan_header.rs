//! Can the board's fan header carry the fans?

use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Current of the cooler's fans, all on one header, against what the header gives.
pub const RULE: Rule = Rule {
    id: "fan-header",
    question: "Can the board's fan header carry the fans?",
    looks_at: &[Kind::Board, Kind::Cooler],
    judge,
    quick: Some(quick),
};

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let Some(fans) = &proposal.cooler().fans else { return Verdict::Fits };
    let need = fans.current.map(|one| one * f64::from(fans.count));
    match holds(&proposal.board().fan_header_current, &need) {
        Some(Verdict::Fits) => Verdict::Fits,
        Some(_) => Verdict::OnCondition,
        None => Verdict::CannotTell,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (cooler, board) = (proposal.cooler(), proposal.board());
    let Some(fans) = &cooler.fans else {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} has no fan.", cooler.name));
    };
    let need = fans.current.map(|one| one * f64::from(fans.count));
    let finding = match at_least(&board.fan_header_current, &need) {
        Some((verdict, margin)) => {
            let (verdict, sentence) = match verdict {
                Verdict::Fits => (
                    Verdict::Fits,
                    format!("One header of {} carries the fans of {}.", board.name, cooler.name),
                ),
                _ => (
                    Verdict::OnCondition,
                    format!(
                        "The fans of {} can draw more than one header of {} gives.",
                        cooler.name, board.name
                    ),
                ),
            };
            let finding = Finding::new(RULE.id, verdict, sentence).margin(Some(margin));
            match verdict {
                Verdict::Fits => finding,
                _ => finding.cure("Use a splitter that takes its power from the supply, or a second header."),
            }
        }
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            if fans.current.is_unknown() {
                format!("How much current the fans of {} draw is not known.", cooler.name)
            } else {
                format!("How much current a fan header of {} gives is not known.", board.name)
            },
        )
        .settle(if fans.current.is_unknown() {
            "The current printed on the fan's hub."
        } else {
            "The fan header page of the board's manual."
        }),
    };
    finding.reading("current of the fans", &need).reading("current of a header", &board.fan_header_current)
}
