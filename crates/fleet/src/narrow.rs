//! Ways that cannot be part of any better choice, by the prices of what is scarce.
//!
//! # Model
//! The dual of the relaxed program gives each scarce thing a price: money, minutes, parts, machines of a group, processors
//! on the shelf. A way costs that much of them; what it lacks against its worth is its shortfall. A choice with `k` machines
//! of a way is worth at most the relaxed optimum less `k` times that shortfall. Where this is less than what is in hand, no
//! better choice has so many. Any prices that are not negative give a bound (weak duality), so that an inexact solution of
//! the dual makes the bound looser, never wrong.
//!
//! # Source
//! Reduced-cost fixing: Nemhauser, Wolsey, Integer and Combinatorial Optimization, 1988, section II.5.4.

use microlp::{ComparisonOp, OptimizationDirection, Variable};

use crate::choose::{Problem, WayRow};

/// What each way may at most be used, for each group.
pub(crate) struct Narrowed {
    /// Most machines of each way in any choice better than the one in hand.
    pub(crate) most: Vec<Vec<i64>>,
    /// No choice is worth more.
    pub(crate) bound: f64,
}

/// Rounding of the sums is far below this share of them.
const SAFE: f64 = 1e-9;

/// The most machines of each way. `worth` and `spent` are of one machine; `in_hand` is what the best known choice is
/// worth. None where the dual cannot be solved, and every way stays.
pub(crate) fn narrow(
    problem: &Problem,
    worth: &dyn Fn(&WayRow) -> i64,
    spent: &dyn Fn(&WayRow) -> i64,
    in_hand: i64,
) -> Option<Narrowed> {
    let mut model = microlp::Problem::new(OptimizationDirection::Minimize);
    let mut price = |most: i64| (model.add_var(most as f64, (0.0, f64::INFINITY)), most as f64);
    let money = problem.budget.map(|most| price(most.max(0)));
    let minutes = problem.minutes.map(&mut price);
    let parts: Vec<(Variable, f64)> = problem.stock.iter().map(|most| price(*most)).collect();
    let kinds: Vec<(Variable, f64)> = problem.resale.iter().map(|_| price(0)).collect();
    let groups: Vec<(Variable, f64)> = problem.groups.iter().map(|group| price(group.count)).collect();
    // What a way uses of what is scarce, besides its machine.
    let uses = |way: &WayRow| {
        let mut terms: Vec<(Variable, f64)> = Vec::new();
        terms.extend(money.map(|(variable, _)| (variable, spent(way) as f64)));
        terms.extend(minutes.map(|(variable, _)| (variable, way.minutes as f64)));
        for (part, count) in &way.uses {
            terms.extend(parts.get(*part).map(|(variable, _)| (*variable, *count as f64)));
        }
        if way.takes != way.gives {
            for (kind, sign) in [(way.takes, 1.0), (way.gives, -1.0)] {
                terms.extend(kind.and_then(|kind| kinds.get(kind)).map(|(variable, _)| (*variable, sign)));
            }
        }
        terms
    };
    for (group, (machine, _)) in problem.groups.iter().zip(&groups) {
        for way in &group.ways {
            let mut terms = uses(way);
            terms.push((*machine, 1.0));
            model.add_constraint(terms.as_slice(), ComparisonOp::Ge, worth(way) as f64);
        }
    }
    let outcome = model.solve().ok()?;
    let solution = outcome.solution()?;
    let at = |variable: &Variable| solution[*variable].max(0.0);
    let scarce = money.iter().chain(&minutes).chain(&parts);
    let mut bound: f64 = scarce.map(|(variable, most)| at(variable) * most).sum();
    let mut lacks: Vec<Vec<f64>> = Vec::with_capacity(problem.groups.len());
    for group in &problem.groups {
        let over = |way: &WayRow| {
            worth(way) as f64 - uses(way).iter().map(|(variable, factor)| at(variable) * factor).sum::<f64>()
        };
        let overs: Vec<f64> = group.ways.iter().map(over).collect();
        // The price of a machine follows from the others: the best way's worth over what it uses.
        let machine = overs.iter().copied().fold(0.0, f64::max);
        bound += machine * group.count as f64;
        lacks.push(overs.into_iter().map(|over| machine - over).collect());
    }
    let room = bound - in_hand as f64 + SAFE * bound.abs().max(1.0);
    let most = problem.groups.iter().zip(&lacks).map(|(group, lacks)| {
        let most = |lack: &f64| {
            if lack * group.count as f64 <= room { group.count } else { (room / lack).floor() as i64 }
        };
        lacks.iter().map(most).map(|most| most.clamp(0, group.count)).collect()
    });
    Some(Narrowed { most: most.collect(), bound })
}
