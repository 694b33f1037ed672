//! Do these fans go on the cooler that is there?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::{Kind, PartId};

/// Fans alone go on the cooler they are made for.
pub const RULE: Rule = Rule {
    id: "cooler-fans",
    question: "Do these fans go on the cooler that is there?",
    looks_at: &[Kind::Cooler],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let present = &proposal.now.cooler.part;
    let Some((fans, base)) = proposal.changes.cooler.and_then(|fans| Some((fans, fans.refit_of.as_ref()?)))
    else {
        return Finding::new(RULE.id, Verdict::Fits, "The fans stay, or come with their cooler.");
    };
    // Who has put other fans on it before has the same cooler below them.
    let is_there = |id: &PartId| *id == present.id || Some(id) == present.refit_of.as_ref();
    let finding = if is_there(base) {
        Finding::new(RULE.id, Verdict::Fits, format!("{} go on {}, which stays on.", fans.name, present.name))
    } else {
        let sentence = format!("{} are for another cooler than {}.", fans.name, present.name);
        Finding::new(RULE.id, Verdict::DoesNotFit, sentence)
            .cure("Choose fans for the cooler that is there, or a whole cooler.")
    };
    finding.word("for the cooler", base.text().to_owned(), Origin::Sheet)
}
