//! Is the processor out of proportion to the board?

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use quantity::reading::Origin;

/// An expensive processor on a bottom-price board.
pub const RULE: Rule = Rule {
    id: "value",
    question: "Is the processor out of proportion to the board?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

/// A processor dearer than this many times its board makes a technician look twice.
///
/// # Source
/// common practice, no source.
const PROPORTION: f64 = 4.0;

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    if proposal.changes.processor.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, "The processor stays.");
    }
    let bottom = proposal.library.chipsets.get(&board.chipset).is_some_and(|chipset| chipset.tier <= 1);
    let price = |offers: &crate::part::offer::Offers| offers.new.or(offers.second_hand);
    let pair = price(&processor.offers).zip(price(&board.offers));
    match pair {
        Some((one, other)) if one.currency() == other.currency() => {
            let ratio = one.major() / other.major().max(f64::MIN_POSITIVE);
            let finding = if bottom && ratio > PROPORTION {
                Finding::new(
                    RULE.id,
                    Verdict::OnCondition,
                    format!("{one} of processor on a bottom-price board of {other}: a rule of thumb, common practice, no source."),
                )
                .cure("Look at the power-stage finding before ordering, or share the money between processor and board.")
            } else {
                Finding::new(RULE.id, Verdict::Fits, "Processor and board are in proportion.")
            };
            finding.word("price of the processor", one, Origin::Sheet).word(
                "price of the board",
                other,
                Origin::Sheet,
            )
        }
        _ => {
            Finding::new(RULE.id, Verdict::Fits, "Prices in one currency are missing; proportion not judged.")
        }
    }
}
