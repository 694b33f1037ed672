//! What to look at on parts that are used, or sold with strings attached.

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::machine::wishes::SecondHandWish;
use crate::part::id::Kind;
use crate::part::offer::Offers;
use crate::part::socket::Contacts;
use quantity::reading::Origin;

/// Second-hand parts: pins, missing pieces, samples, warranty.
pub const RULE: Rule = Rule {
    id: "second-hand",
    question: "What is there to look at on used parts?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

fn used_only(offers: &Offers) -> bool {
    offers.new.is_none() && offers.second_hand.is_some()
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let mut looks: Vec<String> = Vec::new();
    let mut refused = Vec::new();
    let never = proposal.now.wishes.second_hand == SecondHandWish::Never;
    if let Some(processor) = proposal.changes.processor {
        if used_only(&processor.offers) {
            if never {
                refused.push(processor.name.clone());
            }
            let contacts = proposal.library.sockets.get(&processor.socket).map(|socket| socket.contacts);
            looks.push(match contacts {
                Some(Contacts::PinGrid) => {
                    format!("{} is sold used only: look along its pins in both directions.", processor.name)
                }
                _ => format!(
                    "{} is sold used only: look for scratched lands and chipped edges.",
                    processor.name
                ),
            });
        }
        looks.extend(processor.caveats.iter().map(|caveat| format!("{}: {caveat}.", processor.name)));
    }
    if let Some(board) = proposal.changes.board
        && used_only(&board.offers)
    {
        if never {
            refused.push(board.name.clone());
        }
        looks.push(format!(
            "{} is sold used only: look into the socket with a lens, and ask for the rear plate.",
            board.name
        ));
    }
    if !refused.is_empty() {
        return Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} can only be had second-hand, which is not wanted.", refused.join(" and ")),
        )
        .cure("Choose a part that is sold new, or allow second-hand parts.");
    }
    if looks.is_empty() {
        Finding::new(RULE.id, Verdict::Fits, "Everything can be bought new.")
    } else {
        let mut finding = Finding::new(RULE.id, Verdict::OnCondition, looks.join(" "))
            .cure("Look before paying; ask for a warranty or a right to return.");
        if let Some(processor) = proposal.changes.processor {
            finding = finding.word(
                "sold",
                if used_only(&processor.offers) { "used only" } else { "new" },
                Origin::Sheet,
            );
        }
        finding
    }
}
