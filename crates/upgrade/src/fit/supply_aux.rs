//! Are the auxiliary 12 V connectors there, and what does each pin carry?

use quantity::dimension::CurrentDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::aux_current::per_pin;
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

/// Current one 12 V pin of a 4.2 mm connector should carry at most, for ever.
///
/// # Source
/// common practice, no source: makers' data for the contact and the wire rule.
fn pin_limit() -> Figure<CurrentDim> {
    Reading::Known(Interval::between(Quantity::from_si(6.0), Quantity::from_si(8.0)), Origin::Estimated)
}

/// Number of 12 V pins that are fed when the supply's plugs go into the board's connectors, and
/// how many connectors stay empty or half filled.
fn fed(wanted: &[AuxConnector], plugs: &[AuxConnector]) -> (u32, u32) {
    let mut left: Vec<AuxConnector> = plugs.to_vec();
    left.sort_unstable();
    let mut pins = 0;
    let mut short = 0;
    for connector in wanted {
        // A plug of the same size first; then two halves for an eight, or an eight split for a four.
        if let Some(idx) = left.iter().position(|plug| plug == connector) {
            left.remove(idx);
            pins += connector.live_pins();
        } else if let Some(plug) = left.pop() {
            pins += plug.live_pins().min(connector.live_pins());
            short += u32::from(plug.live_pins() < connector.live_pins());
        } else {
            short += 1;
        }
    }
    (pins, short)
}

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let board = proposal.board();
    let (pins, short) = fed(&board.aux_connectors, &proposal.supply().aux_connectors);
    if board.aux_connectors.is_empty() {
        return Verdict::Fits;
    }
    if pins == 0 {
        return Verdict::DoesNotFit;
    }
    match holds(&pin_limit(), &per_pin(proposal, pins)) {
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
    let (pins, short) = fed(&board.aux_connectors, &supply.aux_connectors);
    let finish = |finding: Finding| {
        finding.word("connectors of the board", words(&board.aux_connectors), Origin::Sheet).word(
            "plugs of the supply",
            words(&supply.aux_connectors),
            Origin::Sheet,
        )
    };
    if board.aux_connectors.is_empty() {
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
    let limit = pin_limit();
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
        .settle("The maker's current rating of the contact and the gauge printed on the wire."),
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
    finish(finding).reading("current in each 12 V pin, burst", &current).reading("limit of a pin", &limit)
}

#[cfg(test)]
mod tests {
    use super::fed;
    use crate::part::board::AuxConnector::{self, EightPin, FourPin};

    #[track_caller]
    fn check(board: &[AuxConnector], supply: &[AuxConnector], pins: u32, short: u32) {
        assert_eq!(fed(board, supply), (pins, short));
    }

    #[test]
    fn plugs_go_where_they_fit_best() {
        check(&[EightPin], &[EightPin], 4, 0);
        check(&[EightPin], &[FourPin], 2, 1);
        check(&[EightPin, FourPin], &[FourPin, EightPin], 6, 0);
        check(&[EightPin, EightPin], &[EightPin], 4, 1);
        check(&[FourPin], &[EightPin], 2, 0);
        check(&[FourPin], &[], 0, 1);
    }
}
