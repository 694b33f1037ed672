//! Do the board's power stages hold the processor's sustained and burst power?

use crate::carry::stage_settle::narrowest;
use crate::carry::stages;
use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::at_least;
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

fn combined(verdicts: (Option<Verdict>, Option<Verdict>)) -> Verdict {
    match verdicts {
        (None, _) => Verdict::CannotTell,
        (Some(verdict @ (Verdict::DoesNotFit | Verdict::CannotTell)), _) => verdict,
        (Some(_), Some(Verdict::Fits) | None) => Verdict::Fits,
        (Some(_), Some(_)) => Verdict::OnCondition,
    }
}

fn quick(proposal: &Proposal<'_>) -> Verdict {
    combined(stages::verdicts(proposal))
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    let verdicts = stages::verdicts(proposal);
    let capacity = stages::capacity(proposal);
    let margin = |have, need| at_least(have, need).map(|(_, margin)| margin);
    let sustained = margin(&capacity.sustained, &processor.sustained_power);
    let binds = |worst: bool| {
        capacity.nearest.map_or("", |(weak, strong)| if worst { weak.word() } else { strong.word() })
    };
    let finding = match combined(verdicts) {
        Verdict::DoesNotFit => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!(
                "The power stages of {} cannot hold {} under steady load: even at best the {} stops it.",
                board.name,
                processor.name,
                binds(false)
            ),
        )
        .margin(sustained)
        .cure("Choose a processor of less power, or a board with stronger stages."),
        Verdict::CannotTell if verdicts.0.is_none() => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("How much power {} draws is not known.", processor.name),
        )
        .settle(format!("The power limits on the sheet of {}.", processor.name)),
        Verdict::CannotTell => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!(
                "The power stages of {} may or may not hold {}; at worst the {} stops it.",
                board.name,
                processor.name,
                binds(true)
            ),
        )
        .margin(sustained)
        .settle(narrowest(proposal)),
        Verdict::OnCondition => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "The power stages of {} hold {} for ever, but perhaps not its bursts.",
                board.name, processor.name
            ),
        )
        .margin(margin(&capacity.burst, &processor.burst_power))
        .cure("Set the burst power limit in the firmware to the sustained one."),
        Verdict::Fits => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("The power stages of {} hold {}.", board.name, processor.name),
        )
        .margin(sustained),
    };
    let finding = finding
        .reading("sustained power of the processor", &processor.sustained_power)
        .reading("burst power of the processor", &processor.burst_power)
        .reading("what the stages hold for ever", &capacity.sustained)
        .reading("what the stages hold for a burst", &capacity.burst);
    stages::used_readings(proposal).into_iter().fold(finding, |mut finding, reading| {
        finding.readings.push(reading);
        finding
    })
}
