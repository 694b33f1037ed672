//! Putting steps in an order in which each finds what it needs.

use std::collections::BTreeSet;

use crate::sheet::fact::Fact;
use crate::sheet::step::Step;

/// Steps that can never be reached.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no order leads to the steps {}: each waits for something that no other step does", steps.join(", "))]
pub struct NoOrder {
    /// Ids of the steps left over.
    pub steps: Vec<&'static str>,
}

/// Whether a step may be done while these facts hold.
pub fn may(step: &Step, holds: &BTreeSet<Fact>) -> bool {
    step.needs.iter().all(|fact| holds.contains(fact)) && !step.bars.iter().any(|fact| holds.contains(fact))
}

/// What holds after a step.
pub fn after(step: &Step, holds: &mut BTreeSet<Fact>) {
    for fact in step.takes {
        holds.remove(fact);
    }
    holds.extend(step.gives.iter().copied());
}

/// The steps in an order in which each one's conditions hold when its turn comes.
///
/// Always takes the first step of the list that may be done, so the list's own order is kept where
/// the conditions leave a choice.
///
/// # Errors
/// Some step's conditions never come to hold.
pub fn order(steps: Vec<Step>, mut holds: BTreeSet<Fact>) -> Result<Vec<Step>, NoOrder> {
    let mut waiting = steps;
    let mut ordered = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        let Some(next) = waiting.iter().position(|step| may(step, &holds)) else {
            return Err(NoOrder { steps: waiting.iter().map(|step| step.id).collect() });
        };
        let step = waiting.remove(next);
        after(&step, &mut holds);
        ordered.push(step);
    }
    Ok(ordered)
}
