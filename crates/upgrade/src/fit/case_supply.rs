//! Does the supply go into the case?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Body of the supply against the bay of the case.
pub const RULE: Rule = Rule {
    id: "case-supply",
    question: "Does the supply go into the case?",
    looks_at: &[Kind::Supply, Kind::Case],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (supply, case) = (proposal.supply(), proposal.case());
    if proposal.changes.supply.is_none() && proposal.changes.case.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} is in {} already.", supply.name, case.name));
    }
    let Some(form) = supply.form.get().filter(|_| !case.supply_forms.is_empty()) else {
        let sentence = format!("Whether {} goes into {} is not known.", supply.name, case.name);
        return Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("Width, height and depth of the supply that is in the case, by ruler.");
    };
    let forms: Vec<&str> = case.supply_forms.iter().map(|form| form.word()).collect();
    let finding = if case.supply_forms.contains(&form) {
        Finding::new(RULE.id, Verdict::Fits, format!("{} takes a supply of {}.", case.name, form.word()))
    } else {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} is {}, {} takes {}.", supply.name, form.word(), case.name, forms.join(", ")),
        )
        .cure("Choose a supply of the body that the case takes.")
    };
    finding.word("body of the supply", form.word(), Origin::Sheet).word(
        "bay of the case",
        forms.join(", "),
        Origin::Sheet,
    )
}
