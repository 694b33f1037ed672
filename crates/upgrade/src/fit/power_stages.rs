//! Do the board's power stages hold the processor's sustained and burst power?

use crate::carry::stages;
use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Sustained and burst power against what the stages carry, worst case of what is unknown.
pub const RULE: Rule = Rule {
    id: "power-stages",
    question: "Do the power stages hold this processor?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Cooler, Kind::Case],
    judge,
    quick: Some(quick),
};

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let processor = proposal.processor();
    let held = stages::held(proposal.board());
    match (holds(&held.0, &processor.sustained_power), holds(&held.1, &processor.burst_power)) {
        (None, _) => Verdict::CannotTell,
        (Some(verdict @ (Verdict::DoesNotFit | Verdict::CannotTell)), _) => verdict,
        (Some(_), Some(Verdict::Fits) | None) => Verdict::Fits,
        (Some(_), Some(_)) => Verdict::OnCondition,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    let capacity = stages::capacity(proposal);
    let sustained = at_least(&capacity.sustained, &processor.sustained_power);
    let burst = at_least(&capacity.burst, &processor.burst_power);
    let finding = match (sustained, burst) {
        (Some((Verdict::DoesNotFit, margin)), _) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("The power stages of {} cannot hold {} under steady load.", board.name, processor.name),
        )
        .margin(Some(margin))
        .cure("Choose a processor of less power, or a board with stronger stages."),
        (Some((Verdict::CannotTell, margin)), _) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("The power stages of {} may or may not hold {}.", board.name, processor.name),
        )
        .margin(Some(margin))
        .settle(capacity.settle.clone()),
        (Some((_, margin)), Some((Verdict::Fits, _)) | None) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("The power stages of {} hold {}.", board.name, processor.name),
        )
        .margin(Some(margin)),
        (Some(_), Some((_, margin))) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "The power stages of {} hold {} for ever, but perhaps not its bursts.",
                board.name, processor.name
            ),
        )
        .margin(Some(margin))
        .cure("Set the burst power limit in the firmware to the sustained one."),
        (None, _) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            if capacity.sustained.is_unknown() {
                format!("Nothing is known of the power stages of {}.", board.name)
            } else {
                format!("How much power {} draws is not known.", processor.name)
            },
        )
        .settle(if capacity.sustained.is_unknown() {
            capacity.settle.clone()
        } else {
            format!("The power limits on the sheet of {}.", processor.name)
        }),
    };
    let finding = finding
        .reading("sustained power of the processor", &processor.sustained_power)
        .reading("burst power of the processor", &processor.burst_power)
        .reading("what the stages hold for ever", &capacity.sustained)
        .reading("what the stages hold for a burst", &capacity.burst);
    capacity.readings.into_iter().fold(finding, |finding, reading| {
        let mut finding = finding;
        finding.readings.push(reading);
        finding
    })
}
