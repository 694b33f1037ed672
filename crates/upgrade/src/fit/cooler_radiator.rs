//! Has the case a place for the radiator?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// A liquid loop needs a place of its radiator's length.
pub const RULE: Rule = Rule {
    id: "radiator",
    question: "Has the case a place for the radiator?",
    looks_at: &[Kind::Cooler, Kind::Case],
    judge,
    quick: None,
};

/// Radiators go by nominal lengths; half a millimetre is no difference.
const SAME_LENGTH_M: f64 = 0.0005;

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (cooler, case) = (proposal.cooler(), proposal.case());
    if !cooler.is_liquid_loop() {
        return Finding::new(RULE.id, Verdict::Fits, "There is no radiator.");
    }
    if !proposal.changes.changes_cooler() && proposal.changes.case.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, "The radiator is in the case already.");
    }
    let places: Vec<String> = case.radiators.iter().map(|length| length.rounded(3)).collect();
    if case.forms.is_empty() && case.radiators.is_empty() {
        let sentence = format!("Which radiators {} has places for is not known.", case.name);
        return Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("The places for fans in the case, counted and measured by ruler.");
    }
    let finding = match cooler.radiator {
        Reading::Known(length, _) => {
            let has = case.radiators.iter().any(|place| (*place - length.high()).si().abs() < SAME_LENGTH_M);
            if has {
                Finding::new(RULE.id, Verdict::Fits, format!("{} has a place for this radiator.", case.name))
            } else {
                Finding::new(
                    RULE.id,
                    Verdict::DoesNotFit,
                    format!("{} has no place for a radiator of {}.", case.name, length.rounded(3)),
                )
                .cure("Choose a cooler of another build, or another case.")
            }
        }
        Reading::Unknown => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("How long the radiator of {} is, is not known.", cooler.name),
        )
        .settle("The length of the radiator, by ruler."),
    };
    finding.reading("radiator", &cooler.radiator).word(
        "places in the case",
        if places.is_empty() { "none".to_owned() } else { places.join(", ") },
        Origin::Sheet,
    )
}
