//! The exact set of routes that no other beats in everything.
//!
//! # Model
//! A route is one option of each kind. It counts if no rule says "does not fit", the budget holds
//! and a lifted cooler gets paste. Its objectives are whole numbers: net cost, time saved a day, energy a
//! year, minutes at the bench, risk points and, where the owner asks for quiet, noise.
//!
//! Exact means equal to plain enumeration. What makes it fast: rules are evaluated once for each
//! combination of the parts they look at; coolers and pastes are one choice, of which those that
//! another beats in cost, resistance, risk, time and noise are dropped, since gain and energy never
//! get worse with a smaller resistance; supplies likewise by cost, risk, time and wall power.

use crate::carry::heat::{air, junction_to_air};
use crate::carry::point::{Surroundings, SustainedPoint, sustained};
use crate::carry::stages::held;
use crate::fit::finding::Verdict;
use crate::fit::rule::Rule;
use crate::fit::rules::ALL;
use crate::gain::speed::clock_without_point;
use crate::gain::task::Clocks;
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::machine::wishes::NoiseWish;
use crate::part::id::Kind;
use crate::part::library::Library;
use crate::part::processor::Support;
use crate::route::bench_time::minutes;
use crate::route::options::{Choice, MemoryStay, Options, cost_of};
use crate::route::risk::points;
use crate::route::score::{Objectives, objectives};
use crate::route::thermal::{ThermalChoice, undominated};

/// A route on the front: its choice and its objectives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Found {
    /// Objectives.
    pub objectives: Objectives,
    /// Choice.
    pub choice: Choice,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Front {
    /// Routes that no other beats, by cost, then by time saved.
    pub routes: Vec<Found>,
    /// Routes looked at that fit.
    pub fitting: u64,
    /// Routes that fit but whose gain cannot be computed, because a reading is missing.
    pub without_gain: u64,
}

/// Everything a search needs, computed once.
pub struct Search<'a> {
    machine: &'a Machine,
    library: &'a Library,
    options: &'a Options<'a>,
    now: Proposal<'a>,
    clock_now: SustainedPoint,
}

/// The point of a machine-to-be, with the base and boost clock where none can be computed.
pub fn point(proposal: &Proposal<'_>) -> SustainedPoint {
    let around = Surroundings {
        resistance: junction_to_air(proposal),
        air: air(proposal),
        stages: held(proposal.board()).0,
    };
    let mut point = sustained(proposal.processor(), &around);
    point.clock = point.clock.or(clock_without_point(proposal.processor()));
    point
}

/// Worst verdict and risk points of the rules that look at exactly these kinds of the choice.
fn weigh(proposal: &Proposal<'_>, wanted: impl Fn(&Rule) -> bool) -> Option<u32> {
    let mut risk = 0;
    for rule in ALL.iter().filter(|rule| wanted(rule)) {
        let verdict = rule.verdict(proposal);
        if verdict == Verdict::DoesNotFit {
            return None;
        }
        risk += points(verdict);
    }
    Some(risk)
}

/// Whether a rule looks at this kind, and at no kind that is decided later.
fn decided_with(rule: &Rule, with: &[Kind], known: &[Kind]) -> bool {
    rule.looks_at.iter().any(|kind| with.contains(kind))
        && rule.looks_at.iter().all(|kind| with.contains(kind) || known.contains(kind) || *kind == Kind::Case)
}

impl<'a> Search<'a> {
    /// A search over these options.
    pub fn new(machine: &'a Machine, library: &'a Library, options: &'a Options<'a>) -> Self {
        let now = Proposal { now: machine, changes: Changes::default(), library };
        Self { machine, library, options, now, clock_now: point(&now) }
    }

    fn proposal(&self, choice: &Choice) -> Proposal<'a> {
        Proposal { now: self.machine, changes: self.options.changes(choice), library: self.library }
    }

    /// Objectives of a choice that fits, or `None` where its gain is not known.
    pub fn objectives(&self, choice: &Choice, risk: u32) -> Option<Objectives> {
        let proposal = self.proposal(choice);
        let clocks = Clocks { before: self.clock_now.clock, after: point(&proposal).clock };
        objectives(&self.now, &proposal, &clocks, self.cost(choice), risk)
    }

    fn cost(&self, choice: &Choice) -> i64 {
        let options = self.options;
        cost_of(&options.processors, choice.processor)
            + cost_of(&options.boards, choice.board)
            + cost_of(&options.memory, choice.memory)
            + cost_of(&options.coolers, choice.cooler)
            + cost_of(&options.pastes, choice.paste)
            + cost_of(&options.supplies, choice.supply)
    }

    /// Whether paste and memory wishes hold, which no rule of fit asks.
    fn is_sound(&self, choice: &Choice) -> bool {
        let changes = self.options.changes(choice);
        let memory = choice.memory > 0 || self.options.memory_may_stay == MemoryStay::Enough;
        let lifted = changes.processor.is_some() || changes.board.is_some() || changes.cooler.is_some();
        let brings_paste =
            changes.cooler.is_some_and(|cooler| cooler.paste_applied.get() == Some(Support::Yes));
        memory && (!lifted || changes.paste.is_some() || brings_paste)
    }

    /// Risk points of a whole choice, or `None` where a rule says that it does not fit.
    pub fn risk(&self, choice: &Choice) -> Option<u32> {
        if !self.is_sound(choice) {
            return None;
        }
        weigh(&self.proposal(choice), |_| true)
    }

    fn within_budget(&self, cost: i64) -> bool {
        self.machine.wishes.budget.is_none_or(|budget| {
            crate::route::money::in_currency(budget, self.options.currency, &self.library.rates)
                .is_none_or(|budget| cost <= budget.minor())
        })
    }

    /// Cheapest that the later choices can be: what keeping or the cheapest option costs.
    fn least_later(&self) -> i64 {
        fn least<T>(list: &[crate::route::options::Purchase<'_, T>]) -> i64 {
            list.iter().map(|purchase| purchase.cost).min().unwrap_or(0).min(0)
        }
        let options = self.options;
        least(&options.memory) + least(&options.coolers) + least(&options.pastes) + least(&options.supplies)
    }

    /// Every route, one after the other: slow, and what the fast search is compared with.
    pub fn enumerate(&self) -> Front {
        let mut front = Archive::default();
        let counts = |len: usize| 0..=len;
        let options = self.options;
        for processor in counts(options.processors.len()) {
            for board in counts(options.boards.len()) {
                for memory in counts(options.memory.len()) {
                    for cooler in counts(options.coolers.len()) {
                        for paste in counts(options.pastes.len()) {
                            for supply in counts(options.supplies.len()) {
                                let choice = Choice { processor, board, memory, cooler, paste, supply };
                                if !self.within_budget(self.cost(&choice)) {
                                    continue;
                                }
                                let Some(risk) = self.risk(&choice) else { continue };
                                front.fitting += 1;
                                match self.objectives(&choice, risk) {
                                    Some(objectives) => front.add(Found { objectives, choice }),
                                    None => front.without_gain += 1,
                                }
                            }
                        }
                    }
                }
            }
        }
        front.finish()
    }

    /// The front, by decomposition.
    pub fn front(&self) -> Front {
        let mut front = Archive::default();
        let least_later = self.least_later();
        for processor in 0..=self.options.processors.len() {
            for board in 0..=self.options.boards.len() {
                let pair = Choice { processor, board, ..Choice::default() };
                if !self.within_budget(self.cost(&pair) + least_later) {
                    continue;
                }
                let proposal = self.proposal(&pair);
                if proposal.processor().socket != proposal.board().socket {
                    continue;
                }
                let both = [Kind::Processor, Kind::Board];
                let Some(risk) = weigh(&proposal, |rule| decided_with(rule, &both, &[])) else { continue };
                self.complete(pair, risk, &mut front);
            }
        }
        front.finish()
    }

    /// All routes that share a processor and a board.
    fn complete(&self, pair: Choice, pair_risk: u32, front: &mut Archive) {
        let thermal = self.thermal(pair);
        let both = [Kind::Processor, Kind::Board];
        for memory in 0..=self.options.memory.len() {
            if memory == 0 && self.options.memory_may_stay == MemoryStay::TooLittle {
                continue;
            }
            let with_memory = Choice { memory, ..pair };
            let proposal = self.proposal(&with_memory);
            let Some(memory_risk) = weigh(&proposal, |rule| decided_with(rule, &[Kind::Memory], &both))
            else {
                continue;
            };
            let supplies = self.supplies(with_memory);
            for option in &thermal {
                let cooled = Choice { cooler: option.cooler, paste: option.paste, ..with_memory };
                let proposal = self.proposal(&cooled);
                let meets = |rule: &Rule| {
                    rule.looks_at.contains(&Kind::Memory) && rule.looks_at.contains(&Kind::Cooler)
                };
                let Some(cooler_memory_risk) = weigh(&proposal, meets) else { continue };
                let clocks = Clocks { before: self.clock_now.clock, after: point(&proposal).clock };
                for (supply, supply_risk) in &supplies {
                    let choice = Choice { supply: *supply, ..cooled };
                    let cost = self.cost(&choice);
                    if !self.within_budget(cost) {
                        continue;
                    }
                    front.fitting += 1;
                    let risk = pair_risk + memory_risk + option.risk + cooler_memory_risk + supply_risk;
                    match objectives(&self.now, &self.proposal(&choice), &clocks, cost, risk) {
                        Some(objectives) => front.add(Found { objectives, choice }),
                        None => front.without_gain += 1,
                    }
                }
            }
        }
    }

    /// Coolers and pastes that go with a processor and a board, those dropped that another beats.
    fn thermal(&self, pair: Choice) -> Vec<ThermalChoice> {
        let both = [Kind::Processor, Kind::Board];
        let mut choices = Vec::new();
        let pair_minutes = minutes(&self.proposal(&pair));
        for cooler in 0..=self.options.coolers.len() {
            let cooled = Choice { cooler, ..pair };
            let proposal = self.proposal(&cooled);
            let Some(risk) = weigh(&proposal, |rule| decided_with(rule, &[Kind::Cooler], &both)) else {
                continue;
            };
            for paste in 0..=self.options.pastes.len() {
                let choice = Choice { paste, ..cooled };
                if !self.is_sound(&Choice { memory: 1, ..choice }) {
                    continue;
                }
                let proposal = self.proposal(&choice);
                let with_paste = |rule: &Rule| {
                    rule.looks_at.contains(&Kind::Paste) && !rule.looks_at.contains(&Kind::Memory)
                };
                let Some(paste_risk) = weigh(&proposal, with_paste) else { continue };
                choices.push(ThermalChoice {
                    cooler,
                    paste,
                    cost: cost_of(&self.options.coolers, cooler) + cost_of(&self.options.pastes, paste),
                    risk: risk + paste_risk,
                    minutes: minutes(&proposal).saturating_sub(pair_minutes),
                    noise: self.noise(&proposal),
                    resistance: junction_to_air(&proposal),
                });
            }
        }
        // The choices of one memory may forbid a cooler, so one whose clearance differs must not be
        // dropped for another: only choices of one cooler, or of coolers that every memory clears, compete.
        self.keep_by_clearance(pair, &choices)
    }

    /// Drops dominated choices among those that clear the same memory kits.
    fn keep_by_clearance(&self, pair: Choice, choices: &[ThermalChoice]) -> Vec<ThermalChoice> {
        let meets =
            |rule: &Rule| rule.looks_at.contains(&Kind::Memory) && rule.looks_at.contains(&Kind::Cooler);
        let mut groups: Vec<(Vec<Option<u32>>, Vec<ThermalChoice>)> = Vec::new();
        let mut seen: Vec<(usize, Vec<Option<u32>>)> = Vec::new();
        for choice in choices {
            let known =
                seen.iter().find(|(cooler, _)| *cooler == choice.cooler).map(|(_, clears)| clears.clone());
            let clears = known.unwrap_or_else(|| {
                let clears: Vec<Option<u32>> = (0..=self.options.memory.len())
                    .map(|memory| {
                        let all = Choice { memory, cooler: choice.cooler, paste: choice.paste, ..pair };
                        weigh(&self.proposal(&all), meets)
                    })
                    .collect();
                seen.push((choice.cooler, clears.clone()));
                clears
            });
            match groups.iter_mut().find(|(key, _)| *key == clears) {
                Some((_, group)) => group.push(*choice),
                None => groups.push((clears, vec![*choice])),
            }
        }
        let mut kept: Vec<ThermalChoice> = groups.iter().flat_map(|(_, group)| undominated(group)).collect();
        kept.sort_by_key(|choice| (choice.cooler, choice.paste));
        kept
    }

    fn noise(&self, proposal: &Proposal<'_>) -> i64 {
        match self.machine.wishes.noise {
            NoiseWish::Indifferent => 0,
            NoiseWish::Quiet => crate::route::score::noise(proposal),
        }
    }

    /// Supplies that go with processor, board and memory, and their risk.
    fn supplies(&self, with_memory: Choice) -> Vec<(usize, u32)> {
        let known = [Kind::Processor, Kind::Board, Kind::Memory];
        (0..=self.options.supplies.len())
            .filter_map(|supply| {
                let proposal = self.proposal(&Choice { supply, ..with_memory });
                let risk = weigh(&proposal, |rule| decided_with(rule, &[Kind::Supply], &known))?;
                Some((supply, risk))
            })
            .collect()
    }
}

/// Routes that no other beats so far.
#[derive(Debug, Default)]
struct Archive {
    routes: Vec<Found>,
    fitting: u64,
    without_gain: u64,
}

impl Archive {
    /// Takes a route up unless one there is as good in everything; of equal ones the smallest choice.
    fn add(&mut self, new: Found) {
        for old in &mut self.routes {
            if old.objectives == new.objectives {
                old.choice = old.choice.min(new.choice);
                return;
            }
            if old.objectives.no_worse_than(&new.objectives) {
                return;
            }
        }
        self.routes.retain(|old| !new.objectives.no_worse_than(&old.objectives));
        self.routes.push(new);
    }

    fn finish(mut self) -> Front {
        self.routes.sort();
        Front { routes: self.routes, fitting: self.fitting, without_gain: self.without_gain }
    }
}
