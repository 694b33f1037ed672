//! Are the auxiliary 12 V connectors there, and what does each pin carry?

use quantity::reading::Origin;

use crate::carry::aux_current::{fed_pins, per_pin, pin_limit};
use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::board::AuxConnector;
use crate::part::id::Kind;

/// Connectors on the board against plugs of the supply, and the current in each 12 V pin.
pub const RULE: Rule = Rule {
    id: "aux-12v",
    question: "Are the auxiliary 12 V connectors there, and what does each pin carry?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Supply],
    judge,
    quick: Some(quick),
};

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let board = proposal.board();
    let (Some(connectors), Some(plugs)) =
        (board.aux_connectors.known(), proposal.supply().aux_connectors.known())
    else {
        return Verdict::CannotTell;
    };
    let (pins, short) = fed_pins(connectors, plugs);
    if connectors.is_empty() {
        return Verdict::Fits;
    }
    if pins == 0 {
        return Verdict::DoesNotFit;
    }
    match holds(&pin_limit(proposal.supply()), &per_pin(proposal, pins)) {
        None => Verdict::CannotTell,
        Some(Verdict::Fits) if short > 0 => Verdict::OnCondition,
        Some(verdict) => verdict,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (board, supply) = (proposal.board(), proposal.supply());
    let words = |list: &[AuxConnector]| {
        if list.is_empty() {
            "none".to_owned()
        } else {
            list.iter().map(|c| c.word()).collect::<Vec<_>>().join(" + ")
        }
    };
    let (Some(connectors), Some(plugs)) = (board.aux_connectors.known(), supply.aux_connectors.known())
    else {
        let sentence =
            format!("Which 12 V connectors {} has and {} fills is not known.", board.name, supply.name);
        return Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("The pins of the connectors beside the processor and of the plugs in them, counted.");
    };
    let (pins, short) = fed_pins(connectors, plugs);
    let finish = |finding: Finding| {
        finding.word("connectors of the board", words(connectors), Origin::Sheet).word(
            "plugs of the supply",
            words(plugs),
            Origin::Sheet,
        )
    };
    if connectors.is_empty() {
        let sentence = format!("{} has no auxiliary 12 V connector.", board.name);
        return finish(Finding::new(RULE.id, Verdict::Fits, sentence));
    }
    if pins == 0 {
        let sentence =
            format!("{} has no plug for the auxiliary 12 V connector of {}.", supply.name, board.name);
        return finish(Finding::new(RULE.id, Verdict::DoesNotFit, sentence).cure(
            "Choose a supply with the plug. Adapters from drive plugs do not carry this current safely.",
        ));
    }
    let current = per_pin(proposal, pins);
    let limit = pin_limit(supply);
    let finding = match at_least(&limit, &current) {
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            "What the processor draws at most is not known, so neither is the current in each pin.",
        )
        .settle(format!("The power limits of {}.", proposal.processor().name)),
        Some((Verdict::DoesNotFit, margin)) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{pins} pins at 12 V would carry more than a pin should."),
        )
        .margin(Some(margin))
        .cure("Choose a supply with all plugs that the board has connectors for."),
        Some((Verdict::CannotTell, margin)) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("{pins} pins at 12 V carry about as much as a pin should."),
        )
        .margin(Some(margin))
        .settle("The current that the contact's maker allows a pin, and the gauge printed on the wire."),
        Some((_, margin)) if short > 0 => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "The supply fills {pins} of the 12 V pins; {short} connector(s) stay empty or half filled."
            ),
        )
        .margin(Some(margin))
        .cure("The current per pin allows it if the board's manual does; a supply with all plugs is better."),
        Some((_, margin)) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("All connectors are filled; {pins} pins share the current."),
        )
        .margin(Some(margin)),
    };
    finish(finding)
        .reading("current in the most loaded 12 V pin, burst", &current)
        .reading("limit of a pin", &limit)
}
