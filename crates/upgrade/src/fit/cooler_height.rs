//! Does the cooler fit under the side panel?

use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Height of the cooler against the height free in the case.
pub const RULE: Rule = Rule {
    id: "cooler-height",
    question: "Does the cooler fit under the side panel?",
    looks_at: &[Kind::Board, Kind::Cooler, Kind::Case],
    judge,
    quick: Some(quick),
};

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let changes = &proposal.changes;
    if !changes.changes_cooler() && changes.case.is_none() && changes.board.is_none() {
        return Verdict::Fits;
    }
    let cooler = proposal.cooler();
    let open = if cooler.is_liquid_loop() { Verdict::Fits } else { Verdict::CannotTell };
    holds(&proposal.case().cooler_height, &cooler.height).unwrap_or(open)
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (cooler, case) = (proposal.cooler(), proposal.case());
    if !proposal.changes.changes_cooler()
        && proposal.changes.case.is_none()
        && proposal.changes.board.is_none()
    {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} is in {} already.", cooler.name, case.name))
            .reading("height of the cooler", &cooler.height);
    }
    let finding = match at_least(&case.cooler_height, &cooler.height) {
        Some((verdict, margin)) => {
            let sentence = match verdict {
                Verdict::Fits => format!("{} closes over {}.", case.name, cooler.name),
                Verdict::DoesNotFit => format!("{} is too tall for {}.", cooler.name, case.name),
                _ => format!("{} may touch the side panel of {}.", cooler.name, case.name),
            };
            let finding = Finding::new(RULE.id, verdict, sentence).margin(Some(margin));
            match verdict {
                Verdict::DoesNotFit => finding.cure("Choose a lower cooler or a wider case."),
                Verdict::CannotTell => finding.settle("The height from the lid to the side panel, by ruler."),
                _ => finding,
            }
        }
        None if cooler.is_liquid_loop() => Finding::new(
            RULE.id,
            Verdict::Fits,
            "The pump head of a liquid loop is low; its radiator counts.",
        ),
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            if cooler.height.is_unknown() {
                format!("How tall {} is, is not known.", cooler.name)
            } else {
                format!("How much height {} leaves is not known.", case.name)
            },
        )
        .settle(if cooler.height.is_unknown() {
            "The cooler's height, by ruler or from its sheet."
        } else {
            "The height from the processor's lid to the side panel, by ruler."
        }),
    };
    finding
        .reading("height of the cooler", &cooler.height)
        .reading("height free in the case", &case.cooler_height)
}
