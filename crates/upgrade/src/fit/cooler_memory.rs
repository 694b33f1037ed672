//! Does the cooler clear the memory modules?

use quantity::reading::Figure;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::at_least;
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use quantity::dimension::LengthDim;

/// A tower may hang over the nearest slots: tall heat spreaders then do not fit below.
pub const RULE: Rule = Rule {
    id: "cooler-memory",
    question: "Does the cooler clear the memory modules?",
    looks_at: &[Kind::Board, Kind::Cooler, Kind::Memory],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let cooler = proposal.cooler();
    if !proposal.changes.changes_cooler()
        && proposal.changes.memory.is_none()
        && proposal.changes.board.is_none()
    {
        return Finding::new(RULE.id, Verdict::Fits, "Cooler and memory sit beside each other already.");
    }
    if cooler.is_liquid_loop() {
        return Finding::new(RULE.id, Verdict::Fits, "A liquid loop leaves the memory slots free.");
    }
    let kits = proposal.memory();
    let tallest: Figure<LengthDim> = kits
        .iter()
        .map(|kit| kit.height)
        .reduce(|a, b| a.with(b, |x, y| if x.high() >= y.high() { x } else { y }))
        .unwrap_or_default();
    let finding = match at_least(&cooler.memory_clearance, &tallest) {
        Some((verdict, margin)) => {
            let sentence = match verdict {
                Verdict::Fits => format!("{} leaves room for the modules.", cooler.name),
                Verdict::DoesNotFit => format!("The modules are too tall to go under {}.", cooler.name),
                _ => format!("The modules may touch {}.", cooler.name),
            };
            let finding = Finding::new(RULE.id, verdict, sentence).margin(Some(margin));
            match verdict {
                Verdict::DoesNotFit => {
                    finding.cure("Choose lower modules, or a cooler that stands clear of the slots.")
                }
                Verdict::CannotTell => finding.settle("The height of a module above the board, by ruler."),
                _ => finding,
            }
        }
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether {} clears the modules is not known.", cooler.name),
        )
        .settle(if tallest.is_unknown() {
            "The height of a module above the board, by ruler."
        } else {
            "The free height under the cooler above the nearest slot, from its sheet."
        }),
    };
    finding
        .reading("tallest module", &tallest)
        .reading("free height under the cooler", &cooler.memory_clearance)
}
