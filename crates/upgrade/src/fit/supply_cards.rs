//! Has the supply the connectors that the cards need?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Connectors for graphics cards.
pub const RULE: Rule = Rule {
    id: "card-connectors",
    question: "Has the supply the connectors that the cards need?",
    looks_at: &[Kind::Supply],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let supply = proposal.supply();
    let needs: Reading<u32> = proposal
        .now
        .loads
        .iter()
        .map(|load| load.card_connectors)
        .fold(Reading::Known(0, Origin::Hand), |sum, one| sum.with(one, |a, b| a + b));
    if proposal.changes.supply.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, "The cards are connected already.");
    }
    match (needs, supply.card_connectors) {
        (Reading::Known(needs, a), Reading::Known(has, b)) => {
            let finding = if has >= needs {
                Finding::new(
                    RULE.id,
                    Verdict::Fits,
                    format!("{} has {has}, the cards need {needs}.", supply.name),
                )
            } else {
                Finding::new(
                    RULE.id,
                    Verdict::DoesNotFit,
                    format!("{} has {has} card connectors, the cards need {needs}.", supply.name),
                )
                .cure("Choose a supply with enough connectors; adapters overload what they branch from.")
            };
            finding.word("connectors the cards need", needs, a).word("connectors of the supply", has, b)
        }
        (Reading::Known(0, a), Reading::Unknown) => Finding::new(
            RULE.id,
            Verdict::Fits,
            "No card needs a connector.",
        )
        .word("connectors the cards need", 0, a),
        _ => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            "How many card connectors are needed or there is not known.",
        )
        .settle("The connectors on the graphics card and in the supply's bundle, counted."),
    }
}
