//! Does an unlocked multiplier buy anything on this chipset?

use quantity::money::Money;
use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::processor::{Multiplier, Processor, Support};

/// An unlocked processor on a chipset that keeps the multiplier fixed works, but wastes its premium.
pub const RULE: Rule = Rule {
    id: "multiplier",
    question: "Does an unlocked multiplier buy anything here?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

/// Price over the locked sibling, new against new, or second-hand against second-hand.
pub fn premium(proposal: &Proposal<'_>, processor: &Processor) -> Option<Money> {
    let sibling = proposal.library.processors.get(processor.locked_sibling.as_ref()?)?;
    let pair = processor.offers.new.zip(sibling.offers.new);
    let (dear, cheap) = pair.or_else(|| processor.offers.second_hand.zip(sibling.offers.second_hand))?;
    dear.minus(cheap).ok()
}

/// What an unlocked processor has over its locked sibling besides its multiplier; none where nothing is
/// known or nothing is more.
fn more_than_sibling(proposal: &Proposal<'_>, processor: &Processor) -> Option<&'static str> {
    let sibling = proposal.library.processors.get(processor.locked_sibling.as_ref()?)?;
    let power =
        processor.sustained_power.with(sibling.sustained_power, |own, other| own.low() > other.high());
    let clock = match (processor.cores.first(), sibling.cores.first()) {
        (Some(own), Some(other)) => own.boost_clock.with(other.boost_clock, |a, b| a.low() > b.high()).get(),
        _ => None,
    };
    match (clock == Some(true), power.get() == Some(true)) {
        (true, true) => Some("only its higher clock and power limit"),
        (true, false) => Some("only its higher clock"),
        (false, true) => Some("only its higher power limit"),
        (false, false) => None,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    let Reading::Known(multiplier, origin) = processor.multiplier else {
        let sentence =
            format!("Whether {} has a free multiplier is not known; it runs either way.", processor.name);
        return Finding::new(RULE.id, Verdict::Fits, sentence).unknown("multiplier");
    };
    if multiplier == Multiplier::Locked {
        let sentence = format!("{} has a fixed multiplier; nothing is wasted.", processor.name);
        return Finding::new(RULE.id, Verdict::Fits, sentence).word("multiplier", "locked", origin);
    }
    let control = proposal.library.chipsets.get(&board.chipset).map(|chipset| chipset.multiplier_control);
    let finding = match control.unwrap_or_default() {
        Reading::Known(Support::Yes, _) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{} is unlocked, and the chipset of {} lets it be changed.", processor.name, board.name),
        ),
        Reading::Known(Support::No, _) if proposal.changes.processor.is_none() => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!(
                "{} is unlocked, which this chipset does not use; it is paid for already.",
                processor.name
            ),
        ),
        Reading::Known(Support::No, _) => {
            let more = more_than_sibling(proposal, processor);
            let wasted = match (premium(proposal, processor), more) {
                (Some(premium), Some(more)) => {
                    format!("the {premium} over its locked sibling buy {more} here, and no freedom")
                }
                (None, Some(more)) => {
                    format!("over its locked sibling it brings {more} here, and no freedom")
                }
                (Some(premium), None) => format!("the {premium} over its locked sibling buy nothing here"),
                (None, None) => "what it costs over its locked sibling buys nothing here".to_owned(),
            };
            let cure = match &processor.locked_sibling {
                Some(sibling) => format!("Take {sibling} instead, or accept the premium."),
                None => "Take a locked processor instead, or accept the premium.".to_owned(),
            };
            let sentence = format!(
                "{} works, but the chipset of {} keeps the multiplier fixed: {wasted}.",
                processor.name, board.name
            );
            Finding::new(RULE.id, Verdict::OnCondition, sentence).cure(cure)
        }
        Reading::Unknown => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether the chipset of {} lets the multiplier be changed is not known.", board.name),
        )
        .settle(format!("The sheet of the {} chipset.", board.chipset)),
    };
    finding.word("multiplier", "unlocked", origin).word("chipset", &board.chipset, Origin::Sheet)
}
