//! What more money would bring: the best choice under rising budgets.

use core::time::Duration;

use crate::choose::{ChooseError, Chosen, Problem, Sums, choose};

/// A budget and what is best under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Most that may be spent, in minor units.
    pub budget: i64,
    /// What the best choice under it adds up to.
    pub sums: Sums,
    /// Whether that is proved.
    pub is_proved: bool,
}

/// The best choices under `steps` budgets from nothing to what is spent without any limit, evenly apart.
///
/// # Errors
/// As [`choose`].
pub fn curve(problem: &Problem, steps: i64, time_limit: Option<Duration>) -> Result<Vec<Step>, ChooseError> {
    let of = |budget: i64, chosen: &Chosen| Step {
        budget,
        sums: chosen.sums,
        is_proved: chosen.proof == crate::choose::Proof::Optimal,
    };
    // What fits a smaller budget fits a larger one: a search that was stopped does no worse than the one before it.
    let mut best: Option<Sums> = None;
    let mut at_least = |step: Step| {
        let counts = problem.money_counts;
        let kept = best.filter(|best| best.objective(counts) > step.sums.objective(counts));
        let step = kept.map_or(step, |sums| Step { sums, is_proved: false, ..step });
        best = Some(step.sums);
        step
    };
    let unlimited = choose(&Problem { budget: None, ..problem.clone() }, time_limit)?;
    let most = unlimited.sums.cost.max(0);
    let mut out = Vec::new();
    for step in 0..steps {
        let budget = most / steps.max(1) * step;
        let chosen = choose(&Problem { budget: Some(budget), ..problem.clone() }, time_limit)?;
        out.push(at_least(of(budget, &chosen)));
    }
    out.push(at_least(of(most, &unlimited)));
    Ok(out)
}
