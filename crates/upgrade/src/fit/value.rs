//! Is the processor out of proportion to the board?

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::offer::Offers;
use quantity::money::Money;
use quantity::reading::Origin;

/// An expensive processor on a bottom-price board.
pub const RULE: Rule = Rule {
    id: "value",
    question: "Is the processor out of proportion to the board?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: Some(verdict),
};

/// A processor dearer than this many times its board makes a technician look twice.
///
/// # Source
/// common practice, no source.
const PROPORTION: f64 = 4.0;

/// Prices of processor and board, where both are known in one currency.
fn prices(proposal: &Proposal<'_>) -> Option<(Money, Money)> {
    let price = |offers: &Offers| offers.new.or(offers.second_hand);
    let pair = price(&proposal.processor().offers).zip(price(&proposal.board().offers));
    pair.filter(|(one, other)| one.currency() == other.currency())
}

fn is_out_of_proportion(proposal: &Proposal<'_>, (one, other): (Money, Money)) -> bool {
    let chipset = proposal.library.chipsets.get(&proposal.board().chipset);
    chipset.is_some_and(|chipset| chipset.tier <= 1)
        && one.major() / other.major().max(f64::MIN_POSITIVE) > PROPORTION
}

fn verdict(proposal: &Proposal<'_>) -> Verdict {
    let is_out = |pair| is_out_of_proportion(proposal, pair);
    if proposal.changes.processor.is_some() && prices(proposal).is_some_and(is_out) {
        Verdict::OnCondition
    } else {
        Verdict::Fits
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    if proposal.changes.processor.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, "The processor stays.");
    }
    match prices(proposal) {
        Some((one, other)) => {
            let finding = if is_out_of_proportion(proposal, (one, other)) {
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
        None => {
            Finding::new(RULE.id, Verdict::Fits, "Prices in one currency are missing; proportion not judged.")
        }
    }
}
