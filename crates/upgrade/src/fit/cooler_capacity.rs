//! Does the cooler keep the processor below its limit in this room?

use crate::carry::heat;
use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Heat the cooler carries at the junction limit, in this room, against the sustained power.
pub const RULE: Rule = Rule {
    id: "cooler-capacity",
    question: "Does the cooler keep the processor below its limit in this room?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Cooler, Kind::Paste, Kind::Case],
    judge,
    quick: Some(quick),
};

fn quick(proposal: &Proposal<'_>) -> Verdict {
    match holds(&heat::carried_power(proposal), &proposal.processor().sustained_power) {
        Some(Verdict::Fits) => Verdict::Fits,
        Some(_) => Verdict::OnCondition,
        None => Verdict::CannotTell,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, cooler) = (proposal.processor(), proposal.cooler());
    let carried = heat::carried(proposal);
    let finding = match at_least(&carried.power, &processor.sustained_power) {
        Some((Verdict::DoesNotFit, margin)) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "Under {} {} will slow down: it cannot carry the sustained power.",
                cooler.name, processor.name
            ),
        )
        .margin(Some(margin))
        .cure("Choose a stronger cooler, or accept the lower clock that the plan shows."),
        Some((Verdict::Fits, margin)) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{} carries {} at its sustained power.", cooler.name, processor.name),
        )
        .margin(Some(margin)),
        Some((_, margin)) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "Under {} {} may slow down on a warm day: at its sustained power the margin is {}.",
                cooler.name, processor.name, margin.text
            ),
        )
        .margin(Some(margin))
        .cure("Accept the clock that the plan shows, or choose a stronger cooler.")
        .settle(carried.settle.clone()),
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("How much heat {} carries away from {} is not known.", cooler.name, processor.name),
        )
        .settle(carried.settle.clone()),
    };
    let finding = finding
        .reading("sustained power", &processor.sustained_power)
        .reading("heat carried at the junction limit", &carried.power)
        .reading("junction to air", &carried.resistance)
        .reading("air at the cooler", &carried.air)
        .reading("junction limit", &processor.junction_limit);
    carried.readings.into_iter().fold(finding, |mut finding, reading| {
        finding.readings.push(reading);
        finding
    })
}
