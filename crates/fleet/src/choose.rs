//! Which way for how many machines of each group: an integer program.
//!
//! # Model
//! For each group and way a whole number of machines, as many in all as the group has, doing nothing included. Maximise the
//! value of all ways, less what is spent where the goal is money. Limits: what is spent (prices, less what is sold),
//! minutes at the bench, how many of each part can be had, and no more processors of a kind go in from other machines than
//! come out. Those that come out and go nowhere are sold.
//!
//! All figures are whole numbers; what the solver answers is rounded and every limit and the value are computed again in
//! whole numbers, so that rounding in the solver can cost optimality but never a limit.
//!
//! # Source
//! A multiple-choice knapsack with several constraints: Kellerer, Pferschy, Pisinger, Knapsack Problems, 2004, chapters 9
//! and 11. Solved by branch and bound of the library `microlp`.

use core::time::Duration;

use microlp::{ComparisonOp, OptimizationDirection, SolveOptions, Variable};

use crate::narrow::narrow;
use crate::start::rounded;

/// One way as numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WayRow {
    /// What it is good for, for each machine.
    pub value: i64,
    /// What is spent for each machine, in minor units.
    pub cost: i64,
    /// Minutes for each machine.
    pub minutes: i64,
    /// Kind of processor that goes in from another machine.
    pub takes: Option<usize>,
    /// Kind of processor that comes out.
    pub gives: Option<usize>,
    /// Parts in short supply that it uses, by place, and how many.
    pub uses: Vec<(usize, i64)>,
}

/// A group as numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GroupRow {
    /// How many machines.
    pub count: i64,
    /// Ways besides doing nothing.
    pub ways: Vec<WayRow>,
}

/// The whole choice as numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// Groups.
    pub groups: Vec<GroupRow>,
    /// What each kind of processor brings when it is sold.
    pub resale: Vec<i64>,
    /// How many of each part in short supply can be had.
    pub stock: Vec<i64>,
    /// Most that may be spent.
    pub budget: Option<i64>,
    /// Most minutes.
    pub minutes: Option<i64>,
    /// How much a unit of money takes off the value.
    pub money_counts: MoneyCounts,
}

/// Whether what is spent is taken off the value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MoneyCounts {
    /// Value and money are one unit.
    #[default]
    Whole,
    /// Money only decides between choices of the same value.
    BetweenEquals,
}

/// What a choice adds up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sums {
    /// Value of the ways, before any cost.
    pub value: i64,
    /// Spent: prices less what is sold.
    pub cost: i64,
    /// Minutes at the bench.
    pub minutes: i64,
}

impl Sums {
    /// What is made as large as can be.
    pub const fn objective(&self, money: MoneyCounts) -> i64 {
        match money {
            MoneyCounts::Whole => self.value - self.cost,
            MoneyCounts::BetweenEquals => self.value,
        }
    }
}

/// How sure it is that nothing better exists.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Proof {
    /// Proved.
    Optimal,
    /// Stopped before: no choice is better than this by more than so much of the objective.
    Within {
        /// Objective units that a better choice could add at most; none where the solver had no bound yet.
        gap: Option<f64>,
    },
}

/// A choice.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// For each group and way how many machines.
    pub counts: Vec<Vec<i64>>,
    /// What it adds up to.
    pub sums: Sums,
    /// How sure it is.
    pub proof: Proof,
}

/// A choice that could not be made.
#[derive(Debug, thiserror::Error)]
pub enum ChooseError {
    /// The solver failed.
    #[error("the integer program could not be solved")]
    Solver(#[source] microlp::Error),
    /// More machines than can be counted.
    #[error("a group has {0} machines; at most two thousand million can be chosen among")]
    TooMany(i64),
    /// The solver's answer, made whole, breaks a limit.
    #[error(
        "the solver's answer breaks a limit when it is made whole: figures of very different size in one fleet"
    )]
    Broken,
}

/// Sums of a choice, or none where it breaks a limit.
pub fn sums(problem: &Problem, counts: &[Vec<i64>]) -> Option<Sums> {
    let mut sums = Sums::default();
    let mut left = vec![0_i64; problem.resale.len()];
    let mut stock = problem.stock.clone();
    for (group, counts) in problem.groups.iter().zip(counts) {
        if counts.len() != group.ways.len() || counts.iter().sum::<i64>() > group.count {
            return None;
        }
        for (way, count) in group.ways.iter().zip(counts) {
            if *count < 0 {
                return None;
            }
            sums.value += way.value * count;
            sums.cost += way.cost * count;
            sums.minutes += way.minutes * count;
            for (kind, sign) in [(way.gives, 1), (way.takes, -1)] {
                if let Some(kind) = kind {
                    *left.get_mut(kind)? += sign * count;
                }
            }
            for (part, uses) in &way.uses {
                *stock.get_mut(*part)? -= uses * count;
            }
        }
    }
    sums.cost -= left.iter().zip(&problem.resale).map(|(count, each)| count * each).sum::<i64>();
    let holds = left.iter().chain(&stock).all(|rest| *rest >= 0)
        && problem.budget.is_none_or(|most| sums.cost <= most.max(0))
        && problem.minutes.is_none_or(|most| sums.minutes <= most);
    holds.then_some(sums)
}

/// The best choice.
///
/// # Errors
/// The solver failed, or its answer does not hold when it is made whole.
pub fn choose(problem: &Problem, time_limit: Option<Duration>) -> Result<Chosen, ChooseError> {
    let first = solve(problem, time_limit, None)?;
    if problem.money_counts == MoneyCounts::Whole || first.proof != Proof::Optimal {
        return Ok(first);
    }
    // Of the choices of that value the one for the least money.
    let cheapest = solve(problem, time_limit, Some(first.sums.value))?;
    let cheaper = cheapest.sums.value >= first.sums.value && cheapest.sums.cost < first.sums.cost;
    Ok(Chosen { proof: first.proof, ..if cheaper { cheapest } else { first } })
}

/// Money and minutes in the solver's numbers: near one, as its tolerances want it.
const SCALE: f64 = 100.0;

fn solve(
    problem: &Problem,
    time_limit: Option<Duration>,
    at_least: Option<i64>,
) -> Result<Chosen, ChooseError> {
    let nothing: Vec<Vec<i64>> = problem.groups.iter().map(|group| vec![0; group.ways.len()]).collect();
    if nothing.iter().all(Vec::is_empty) {
        return Ok(Chosen { counts: nothing, sums: Sums::default(), proof: Proof::Optimal });
    }
    let worth = |way: &WayRow| worth(problem, at_least, way);
    let objective = |sums: &Sums| match at_least {
        None => sums.objective(problem.money_counts),
        Some(_) => -sums.cost,
    };
    let free: Vec<Vec<i64>> =
        problem.groups.iter().map(|group| vec![group.count; group.ways.len()]).collect();
    let relaxed = program(problem, at_least, Machines::Divided, &free)?;
    let solved = relaxed.model.solve().map_err(ChooseError::Solver)?;
    let start = match solved.solution() {
        Some(solution) if at_least.is_none() => {
            let value = |variable: &Variable| solution[*variable];
            let values: Vec<Vec<f64>> =
                relaxed.places.iter().map(|ways| ways.iter().map(value).collect()).collect();
            Some(rounded(problem, &values, &worth))
        }
        _ => None,
    };
    let mut chosen = match start.and_then(|start| sums(problem, &start).map(|sums| (start, sums))) {
        Some((counts, sums)) => Chosen { counts, sums, proof: Proof::Within { gap: None } },
        None => Chosen { counts: nothing, sums: Sums::default(), proof: Proof::Within { gap: None } },
    };
    let in_hand = at_least.is_none();
    let mut least_bound: Option<f64> = None;
    // What the first rounds find narrows the next ones.
    let rounds: &[u32] = if in_hand && time_limit.is_some() { &[4, 4, 2] } else { &[1] };
    for part in rounds {
        let narrowed = in_hand
            .then(|| narrow(problem, &worth, &|way| spent(problem, way), objective(&chosen.sums)))
            .flatten();
        let most = narrowed.as_ref().map_or(&free, |narrowed| &narrowed.most);
        let whole = program(problem, at_least, Machines::Whole, most)?;
        let mut options = SolveOptions::default();
        options.time_limit = time_limit.map(|limit| limit / *part);
        options.tolerances.feasibility = 1e-9;
        // What is in hand may use more of a way than any better choice does; then the search begins without it.
        let within = chosen.counts.iter().flatten().zip(most.iter().flatten()).all(|(a, b)| a <= b);
        options.warm_start = (in_hand && within).then(|| {
            let pairs = whole.places.iter().flatten().zip(chosen.counts.iter().flatten());
            pairs.map(|(variable, count)| (*variable, *count as f64)).collect()
        });
        let outcome = whole.model.solve_with(options).map_err(ChooseError::Solver)?;
        if let Some(solution) = outcome.solution() {
            let count = |variable: &Variable| solution[*variable].round() as i64;
            let counts: Vec<Vec<i64>> =
                whole.places.iter().map(|ways| ways.iter().map(count).collect()).collect();
            let found = sums(problem, &counts).ok_or(ChooseError::Broken)?;
            if !in_hand || objective(&found) > objective(&chosen.sums) {
                chosen = Chosen { counts, sums: found, ..chosen };
            }
        }
        if outcome.is_optimal() {
            return Ok(Chosen { proof: Proof::Optimal, ..chosen });
        }
        // A search that was stopped before its first node has no bound of its own; the prices' is one.
        let own = outcome.stats().best_bound.map(|bound| bound * SCALE);
        let prices = narrowed.map(|narrowed| narrowed.bound);
        least_bound = least_bound.into_iter().chain(own).chain(prices).reduce(f64::min);
    }
    let reached = objective(&chosen.sums) as f64;
    chosen.proof = Proof::Within { gap: least_bound.map(|bound| (bound - reached).max(0.0)) };
    Ok(chosen)
}

/// Whether a machine may be divided, as it may only where a bound is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Machines {
    Whole,
    Divided,
}

/// A program with its variables by group and way.
struct Program {
    model: microlp::Problem,
    places: Vec<Vec<Variable>>,
}

/// What a way adds to the money spent, the sale of what comes out counted.
fn spent(problem: &Problem, way: &WayRow) -> i64 {
    let resale = |kind: Option<usize>| kind.and_then(|kind| problem.resale.get(kind)).copied().unwrap_or(0);
    way.cost - resale(way.gives) + resale(way.takes)
}

fn worth(problem: &Problem, at_least: Option<i64>, way: &WayRow) -> i64 {
    match (problem.money_counts, at_least) {
        (MoneyCounts::Whole, _) => way.value - spent(problem, way),
        (MoneyCounts::BetweenEquals, None) => way.value,
        (MoneyCounts::BetweenEquals, Some(_)) => -spent(problem, way),
    }
}

/// The program; no way is used for more machines than `limits` says.
fn program(
    problem: &Problem,
    at_least: Option<i64>,
    machines: Machines,
    limits: &[Vec<i64>],
) -> Result<Program, ChooseError> {
    let mut model = microlp::Problem::new(OptimizationDirection::Maximize);
    let mut variables: Vec<(Variable, &WayRow)> = Vec::new();
    let mut places: Vec<Vec<Variable>> = Vec::with_capacity(problem.groups.len());
    for (group, limits) in problem.groups.iter().zip(limits) {
        let most = i32::try_from(group.count).map_err(|_| ChooseError::TooMany(group.count))?;
        let mut ways = Vec::with_capacity(group.ways.len());
        for (way, limit) in group.ways.iter().zip(limits) {
            let limit = i32::try_from(*limit).unwrap_or(most).min(most);
            let worth = worth(problem, at_least, way) as f64 / SCALE;
            let variable = match machines {
                Machines::Whole => model.add_integer_var(worth, (0, limit)),
                Machines::Divided => model.add_var(worth, (0.0, f64::from(limit))),
            };
            variables.push((variable, way));
            ways.push(variable);
        }
        if ways.len() > 1 {
            let all: Vec<(Variable, f64)> = ways.iter().map(|variable| (*variable, 1.0)).collect();
            model.add_constraint(all.as_slice(), ComparisonOp::Le, f64::from(most));
        }
        places.push(ways);
    }
    let mut at_most = |most: f64, of: &dyn Fn(&WayRow) -> f64| {
        let terms: Vec<(Variable, f64)> = variables
            .iter()
            .map(|(variable, way)| (*variable, of(way)))
            .filter(|(_, factor)| *factor != 0.0)
            .collect();
        if !terms.is_empty() {
            model.add_constraint(terms.as_slice(), ComparisonOp::Le, most);
        }
    };
    if let Some(budget) = problem.budget {
        at_most(budget.max(0) as f64 / SCALE, &|way| spent(problem, way) as f64 / SCALE);
    }
    if let Some(minutes) = problem.minutes {
        at_most(minutes as f64 / SCALE, &|way| way.minutes as f64 / SCALE);
    }
    for (part, most) in problem.stock.iter().enumerate() {
        at_most(*most as f64, &|way| {
            way.uses.iter().filter(|(used, _)| *used == part).map(|(_, count)| *count as f64).sum()
        });
    }
    for kind in 0..problem.resale.len() {
        at_most(0.0, &|way| {
            f64::from(u8::from(way.takes == Some(kind))) - f64::from(u8::from(way.gives == Some(kind)))
        });
    }
    if let Some(value) = at_least {
        at_most(-(value as f64) / SCALE, &|way| -(way.value as f64) / SCALE);
    }
    Ok(Program { model, places })
}
