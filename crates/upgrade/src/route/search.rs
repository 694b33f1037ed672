//! The exact set of routes that no other beats in everything.
//!
//! # Model
//! A route is one option of each kind. It counts if no rule says "does not fit", the budget and the
//! wishes hold and a lifted cooler gets paste. Its objectives are whole numbers: net cost, time saved a
//! day, energy a year, minutes at the bench, risk points and, where the owner asks for quiet, noise.
//!
//! Exact means equal to plain enumeration. What makes it fast: rules are evaluated once for each
//! combination of the parts they look at; coolers and pastes are one choice, of which those that
//! another beats in cost, resistance, risk, time and noise are dropped, since gain and energy never
//! get worse with a smaller resistance; supplies likewise by cost, risk, time and wall power.

use std::collections::BTreeMap;

use quantity::dimension::{DurationDim, PowerDim};
use quantity::interval::Interval;
use quantity::reading::Figure;

use crate::carry::heat::{air, junction_to_air};
use crate::carry::point::{Surroundings, SustainedPoint, sustained};
use crate::carry::stages::binding_power;
use crate::fit::finding::Verdict;
use crate::fit::rule::Rule;
use crate::fit::rules::{ALL, ONLY_BUILD_OF_COOLER};
use crate::gain::energy::{WallPower, wall};
use crate::gain::memory::bandwidth;
use crate::gain::speed::{both, clock_without_point, serial};
use crate::gain::task::{Speeds, parallel_speeds, speeds, widths};
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::machine::wishes::NoiseWish;
use crate::part::cooler::CoolerBuild;
use crate::part::id::Kind;
use crate::part::library::Library;
use crate::part::processor::Support;
use crate::route::bench_time::minutes;
use crate::route::options::{Choice, MemoryStay, Options, cost_of};
use crate::route::risk::points;
use crate::route::score::{Objectives, Rest, allowed_power, gain, noise, objectives, quick_gain};
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
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Front {
    /// Routes that no other beats, by cost, then by time saved.
    pub routes: Vec<Found>,
    /// Routes that fit but cannot be judged, because a reading is missing: how many combinations of
    /// parts the search met with one.
    pub without_gain: u64,
}

/// Which routes a search goes over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// All of them.
    All,
    /// Those that put another processor in.
    Swaps,
    /// Those that buy one part, by its place in the options of its kind, counted from one.
    With(Kind, usize),
    /// Those that do not buy it.
    Without(Kind, usize),
}

impl Bound {
    const fn allows(self, kind: Kind, place: usize) -> bool {
        match self {
            Self::All => true,
            Self::Swaps => !matches!(kind, Kind::Processor) || place > 0,
            Self::With(of, wanted) => kind as u8 != of as u8 || place == wanted,
            Self::Without(of, unwanted) => kind as u8 != of as u8 || place != unwanted,
        }
    }

    /// Places of a kind with so many options that may be taken; zero keeps what is there.
    fn places(self, kind: Kind, options: usize) -> impl Iterator<Item = usize> {
        (0..=options).filter(move |place| self.allows(kind, *place))
    }
}

/// Everything a search needs, computed once.
pub struct Search<'a> {
    machine: &'a Machine,
    library: &'a Library,
    options: &'a Options<'a>,
    now: Proposal<'a>,
    widths: Vec<Option<u32>>,
    speeds_now: Speeds,
    budget: Option<i64>,
}

/// The point of a machine-to-be, with the base and boost clock where none can be computed.
pub fn point(proposal: &Proposal<'_>) -> SustainedPoint {
    let around = Surroundings {
        resistance: junction_to_air(proposal),
        air: air(proposal),
        stages: binding_power(proposal),
    };
    point_in(proposal, &around)
}

/// The point within known limits.
fn point_in(proposal: &Proposal<'_>, around: &Surroundings) -> SustainedPoint {
    let mut point = sustained(proposal.processor(), around);
    point.clock = point.clock.or(clock_without_point(proposal.processor()));
    point
}

/// Risk points of the wanted rules, or `None` where one says that it does not fit.
fn weigh(proposal: &Proposal<'_>, rules: &[&Rule]) -> Option<u32> {
    let mut risk = 0;
    for rule in rules {
        let verdict = rule.verdict(proposal);
        if verdict == Verdict::DoesNotFit {
            return None;
        }
        risk += points(verdict);
    }
    Some(risk)
}

/// Rules that are decided once the kinds `with` join the kinds `known`.
fn decided(with: &[Kind], known: &[Kind]) -> Vec<&'static Rule> {
    ALL.iter()
        .filter(|rule| {
            rule.looks_at.iter().any(|kind| with.contains(kind))
                && rule
                    .looks_at
                    .iter()
                    .all(|kind| with.contains(kind) || known.contains(kind) || *kind == Kind::Case)
        })
        .collect()
}

/// Rules that look at both kinds.
fn between(one: Kind, other: Kind) -> Vec<&'static Rule> {
    ALL.iter().filter(|rule| rule.looks_at.contains(&one) && rule.looks_at.contains(&other)).collect()
}

/// The rules by when they are decided. A test checks that each stands in exactly one list.
pub struct Stages {
    /// Once processor and board are chosen.
    pub pair: Vec<&'static Rule>,
    /// Once the memory is.
    pub memory: Vec<&'static Rule>,
    /// Once it is known how the cooler is built.
    pub cooler_build: Vec<&'static Rule>,
    /// Once the cooler is.
    pub cooler: Vec<&'static Rule>,
    /// Once the paste is.
    pub paste: Vec<&'static Rule>,
    /// Once cooler and memory are.
    pub cooler_memory: Vec<&'static Rule>,
    /// Once the supply is.
    pub supply: Vec<&'static Rule>,
}

impl Stages {
    /// The lists.
    pub fn new() -> Self {
        let both = [Kind::Processor, Kind::Board];
        let (cooler_build, cooler) = decided(&[Kind::Cooler], &both)
            .into_iter()
            .partition(|rule| ONLY_BUILD_OF_COOLER.contains(&rule.id));
        Self {
            pair: decided(&both, &[]),
            memory: decided(&[Kind::Memory], &both),
            cooler_build,
            cooler,
            paste: decided(&[Kind::Paste], &[Kind::Processor, Kind::Board, Kind::Cooler]),
            cooler_memory: between(Kind::Cooler, Kind::Memory),
            supply: decided(&[Kind::Supply], &[Kind::Processor, Kind::Board, Kind::Memory]),
        }
    }
}

impl Default for Stages {
    fn default() -> Self {
        Self::new()
    }
}

impl<'a> Search<'a> {
    /// A search over these options.
    pub fn new(machine: &'a Machine, library: &'a Library, options: &'a Options<'a>) -> Self {
        let now = Proposal { now: machine, changes: Changes::default(), library };
        let widths = widths(&machine.workload.tasks);
        let speeds_now = speeds(&now, point(&now).clock, &widths);
        let budget = machine
            .wishes
            .budget
            .and_then(|budget| crate::route::money::in_currency(budget, options.currency, &library.rates))
            .map(quantity::money::Money::minor);
        Self { machine, library, options, now, widths, speeds_now, budget }
    }

    fn proposal(&self, choice: &Choice) -> Proposal<'a> {
        Proposal { now: self.machine, changes: self.options.changes(choice), library: self.library }
    }

    /// Objectives of a choice that fits, or `None` where a reading is missing.
    pub fn objectives(&self, choice: &Choice, risk: u32) -> Option<Objectives> {
        let proposal = self.proposal(choice);
        let then = speeds(&proposal, point(&proposal).clock, &self.widths);
        let gain = quick_gain(&self.speeds_now, &then, &proposal.changes, &self.machine.workload.tasks)?;
        let power = wall(&proposal, allowed_power(&proposal), self.machine.setting.mains);
        let rest =
            Rest { cost: self.cost(choice), minutes: minutes(&proposal), risk, noise: self.noise(&proposal) };
        objectives(&self.now, &power, gain, rest)
    }

    /// Time saved a day by a choice, as an interval; `None` where a reading is missing.
    pub fn saved(&self, choice: &Choice) -> Option<Interval<DurationDim>> {
        let proposal = self.proposal(choice);
        let then = speeds(&proposal, point(&proposal).clock, &self.widths);
        let tasks = &self.machine.workload.tasks;
        gain(&self.speeds_now, &then, &proposal.changes, tasks).saved_a_day.get()
    }

    /// What a choice costs over keeping everything, in minor units.
    pub fn cost(&self, choice: &Choice) -> i64 {
        let options = self.options;
        cost_of(&options.processors, choice.processor)
            + cost_of(&options.boards, choice.board)
            + cost_of(&options.memory, choice.memory)
            + cost_of(&options.coolers, choice.cooler)
            + cost_of(&options.pastes, choice.paste)
            + cost_of(&options.supplies, choice.supply)
    }

    /// Whether a lifted cooler gets paste.
    fn has_paste(&self, choice: &Choice) -> bool {
        let changes = self.options.changes(choice);
        let lifted = changes.processor.is_some() || changes.board.is_some() || changes.changes_cooler();
        let brings_paste =
            changes.cooler.is_some_and(|cooler| cooler.paste_applied.get() == Some(Support::Yes));
        !lifted || changes.paste.is_some() || brings_paste
    }

    fn has_memory(&self, memory: usize) -> bool {
        memory > 0 || self.options.memory_may_stay == MemoryStay::Enough
    }

    /// Whether the wall power stays within the owner's wish, at its highest.
    fn within_wall(&self, power: &WallPower) -> bool {
        match (self.machine.wishes.wall_power.get(), power.busy.get()) {
            (None, _) => true,
            (Some(most), Some(busy)) => busy.high() <= most.high(),
            (Some(_), None) => false,
        }
    }

    /// Risk points of a whole choice, or `None` where it does not fit or breaks a wish.
    pub fn risk(&self, choice: &Choice) -> Option<u32> {
        let proposal = self.proposal(choice);
        let power = wall(&proposal, allowed_power(&proposal), self.machine.setting.mains);
        if !self.has_paste(choice) || !self.has_memory(choice.memory) || !self.within_wall(&power) {
            return None;
        }
        let rules: Vec<&Rule> = ALL.iter().collect();
        weigh(&proposal, &rules)
    }

    /// Whether a cost lies within the budget; keeping everything always does.
    pub fn within_budget(&self, cost: i64) -> bool {
        self.budget.is_none_or(|budget| cost <= budget.max(0))
    }

    /// Every route, one after the other: slow, and what the fast search is compared with.
    pub fn enumerate(&self) -> Vec<Found> {
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
                                if let Some(objectives) = self.objectives(&choice, risk) {
                                    front.add(Found { objectives, choice });
                                }
                            }
                        }
                    }
                }
            }
        }
        front.finish().routes
    }

    /// The front, by decomposition.
    pub fn front(&self) -> Front {
        self.front_of(Bound::All)
    }

    /// The front of those routes alone that put another processor in: where many machines are planned together, the
    /// processor that comes out has a use that a route which keeps it cannot have.
    pub fn front_of_swaps(&self) -> Front {
        self.front_of(Bound::Swaps)
    }

    /// The front of a part of the routes.
    pub fn front_of(&self, bound: Bound) -> Front {
        let stages = Stages::new();
        let mut front = Archive::default();
        let mut mounts = Mounts::default();
        for processor in bound.places(Kind::Processor, self.options.processors.len()) {
            for board in bound.places(Kind::Board, self.options.boards.len()) {
                let pair = Choice { processor, board, ..Choice::default() };
                let proposal = self.proposal(&pair);
                if proposal.processor().socket != proposal.board().socket
                    || !self.within_budget(self.cost(&pair))
                {
                    continue;
                }
                let Some(risk) = weigh(&proposal, &stages.pair) else { continue };
                self.complete(pair, risk, bound, &stages, &mut mounts, &mut front);
            }
        }
        front.finish()
    }

    /// All routes that share a processor and a board.
    fn complete(
        &self,
        pair: Choice,
        pair_risk: u32,
        bound: Bound,
        stages: &Stages,
        mounts: &mut Mounts,
        front: &mut Archive,
    ) {
        let thermal = self.thermal(pair, bound, stages, mounts);
        if thermal.is_empty() {
            return;
        }
        let pair_proposal = self.proposal(&pair);
        let processor = pair_proposal.processor();
        let serial = both(|corner| serial(processor, corner));
        let with_clock: Vec<Cooled> = thermal
            .into_iter()
            .map(|option| {
                let proposal = self.proposal(&Choice { cooler: option.cooler, paste: option.paste, ..pair });
                let around = Surroundings {
                    resistance: option.resistance,
                    air: air(&proposal),
                    stages: option.stages,
                };
                let clock = point_in(&proposal, &around).clock;
                let parallel = parallel_speeds(processor, clock, &self.widths);
                // Bench time depends on which kinds change, not on which part it is.
                let times = [0, 1].map(|memory| {
                    [0, 1].map(|supply| {
                        minutes(&self.proposal(&Choice {
                            memory,
                            supply,
                            cooler: option.cooler,
                            paste: option.paste,
                            ..pair
                        }))
                    })
                });
                Cooled { option, speeds: Speeds { serial, parallel, memory: None, clock }, times }
            })
            .collect();
        for memory in bound.places(Kind::Memory, self.options.memory.len()) {
            if !self.has_memory(memory) {
                continue;
            }
            let with_memory = Choice { memory, ..pair };
            let base_cost = self.cost(&with_memory);
            if !self.within_budget(base_cost) {
                continue;
            }
            let proposal = self.proposal(&with_memory);
            let Some(memory_risk) = weigh(&proposal, &stages.memory) else { continue };
            let supplies = self.supplies(with_memory, bound, stages);
            let bandwidth = both(|corner| bandwidth(&proposal, corner));
            for Cooled { option, speeds, times } in &with_clock {
                let cooled = Choice { cooler: option.cooler, paste: option.paste, ..with_memory };
                if !self.within_budget(base_cost + option.cost) {
                    continue;
                }
                let Some(meeting_risk) = mounts.risk(option.clears, memory) else { continue };
                let changes = self.options.changes(&cooled);
                let then = Speeds { memory: bandwidth, ..speeds.clone() };
                let tasks = &self.machine.workload.tasks;
                let Some(gain) = quick_gain(&self.speeds_now, &then, &changes, tasks) else {
                    front.without_gain += 1;
                    continue;
                };
                // The best that any supply could make of this: beaten already, so is each of them.
                let risk = pair_risk + memory_risk + option.risk + meeting_risk;
                let times = times[usize::from(memory > 0)];
                if let Some(ideal) =
                    self.ideal(&supplies, gain, base_cost + option.cost, risk, times, option.noise)
                    && front.beats(&ideal)
                {
                    continue;
                }
                for supply in &supplies {
                    let choice = Choice { supply: supply.supply, ..cooled };
                    let rest = Rest {
                        cost: base_cost + option.cost + supply.cost,
                        minutes: times[usize::from(supply.supply > 0)],
                        risk: risk + supply.risk,
                        noise: option.noise,
                    };
                    if !self.within_budget(rest.cost) {
                        continue;
                    }
                    match objectives(&self.now, &supply.power, gain, rest) {
                        Some(objectives) => front.add(Found { objectives, choice }),
                        None => front.without_gain += 1,
                    }
                }
            }
        }
    }

    /// Objectives that no route with these supplies can surpass, each objective on its own at its best.
    fn ideal(
        &self,
        supplies: &[SupplyChoice],
        gain: (f64, Interval<DurationDim>),
        cost: i64,
        risk: u32,
        times: [u32; 2],
        noise: i64,
    ) -> Option<Objectives> {
        let mut ideal: Option<Objectives> = None;
        for supply in supplies {
            let rest = Rest {
                cost: cost + supply.cost,
                minutes: times[usize::from(supply.supply > 0)],
                risk: risk + supply.risk,
                noise,
            };
            let one = objectives(&self.now, &supply.power, gain, rest)?;
            ideal = Some(match ideal {
                None => one,
                Some(best) => Objectives {
                    cost: best.cost.min(one.cost),
                    energy_wh: best.energy_wh.min(one.energy_wh),
                    minutes: best.minutes.min(one.minutes),
                    risk: best.risk.min(one.risk),
                    ..best
                },
            });
        }
        ideal
    }

    /// Coolers and pastes that go with a processor and a board, those dropped that another beats.
    fn thermal(
        &self,
        pair: Choice,
        bound: Bound,
        stages: &Stages,
        mounts: &mut Mounts,
    ) -> Vec<ThermalChoice> {
        let mut choices = Vec::new();
        // What a rule sees of a cooler only by its build is weighed once for each build.
        let mut by_build: BTreeMap<Option<CoolerBuild>, Option<(u32, Figure<PowerDim>)>> = BTreeMap::new();
        let pair_minutes = minutes(&self.proposal(&pair));
        for cooler in bound.places(Kind::Cooler, self.options.coolers.len()) {
            let cooled = Choice { cooler, ..pair };
            let proposal = self.proposal(&cooled);
            let build = proposal.cooler().build.get();
            let weighed = by_build
                .entry(build)
                .or_insert_with(|| Some((weigh(&proposal, &stages.cooler_build)?, binding_power(&proposal))));
            let Some((build_risk, stages_power)) = *weighed else { continue };
            let Some(risk) = weigh(&proposal, &stages.cooler) else { continue };
            let risk = risk + build_risk;
            let clears = mounts.clearance(self, &cooled, stages);
            for paste in bound.places(Kind::Paste, self.options.pastes.len()) {
                let choice = Choice { paste, ..cooled };
                if !self.has_paste(&choice) {
                    continue;
                }
                let proposal = self.proposal(&choice);
                let Some(paste_risk) = weigh(&proposal, &stages.paste) else { continue };
                choices.push(ThermalChoice {
                    cooler,
                    paste,
                    cost: cost_of(&self.options.coolers, cooler) + cost_of(&self.options.pastes, paste),
                    risk: risk + paste_risk,
                    minutes: minutes(&proposal).saturating_sub(pair_minutes),
                    noise: self.noise(&proposal),
                    resistance: junction_to_air(&proposal),
                    stages: stages_power,
                    build,
                    clears,
                });
            }
        }
        undominated(&choices)
    }

    fn noise(&self, proposal: &Proposal<'_>) -> i64 {
        match self.machine.wishes.noise {
            NoiseWish::Indifferent => 0,
            NoiseWish::Quiet => noise(proposal),
        }
    }

    /// Supplies that go with processor, board and memory, those dropped that another beats.
    fn supplies(&self, with_memory: Choice, bound: Bound, stages: &Stages) -> Vec<SupplyChoice> {
        let all: Vec<SupplyChoice> = bound
            .places(Kind::Supply, self.options.supplies.len())
            .filter_map(|supply| {
                let cost = cost_of(&self.options.supplies, supply);
                if !self.within_budget(cost) {
                    return None;
                }
                let proposal = self.proposal(&Choice { supply, ..with_memory });
                let risk = weigh(&proposal, &stages.supply)?;
                let power = wall(&proposal, allowed_power(&proposal), self.machine.setting.mains);
                self.within_wall(&power).then_some(SupplyChoice { supply, cost, risk, power })
            })
            .collect();
        all.iter().filter(|choice| !all.iter().any(|other| other.dominates(choice))).copied().collect()
    }
}

/// A cooler and paste with the speeds they allow, and the bench time without and with other memory
/// and another supply.
struct Cooled {
    option: ThermalChoice,
    speeds: Speeds,
    times: [[u32; 2]; 2],
}

/// One supply with what a route needs of it.
#[derive(Debug, Clone, Copy)]
struct SupplyChoice {
    supply: usize,
    cost: i64,
    risk: u32,
    power: WallPower,
}

impl SupplyChoice {
    /// Whether this is at least as good in everything; of equal ones the first. An unknown power is
    /// beaten by nothing and beats nothing, so that its routes are counted as they are.
    fn dominates(&self, other: &Self) -> bool {
        let ends = |power: &WallPower| {
            let (busy, idle) = power.busy.get().zip(power.idle.get())?;
            Some([busy.low().si(), busy.high().si(), idle.low().si(), idle.high().si()])
        };
        let (Some(ours), Some(theirs)) = (ends(&self.power), ends(&other.power)) else { return false };
        // A kept supply takes less time than a new one.
        let (kept, other_kept) = (self.supply == 0, other.supply == 0);
        let no_worse = self.cost <= other.cost
            && self.risk <= other.risk
            && (kept || !other_kept)
            && ours.iter().zip(&theirs).all(|(a, b)| a <= b);
        let same = self.cost == other.cost && self.risk == other.risk && kept == other_kept && ours == theirs;
        no_worse && (!same || self.supply < other.supply)
    }
}

/// Which memory kits each cooler clears, as a number for each distinct pattern.
///
/// A cooler must not be dropped for another that forbids other memory.
#[derive(Debug, Default)]
struct Mounts {
    patterns: Vec<Vec<Option<u32>>>,
    known: BTreeMap<(usize, bool), usize>,
}

impl Mounts {
    /// Risk of a cooler of this pattern over a memory option, or `None` where they do not go together.
    fn risk(&self, pattern: usize, memory: usize) -> Option<u32> {
        self.patterns.get(pattern)?.get(memory).copied().flatten()
    }

    fn clearance(&mut self, search: &Search<'_>, cooled: &Choice, stages: &Stages) -> usize {
        let key = (cooled.cooler, cooled.board > 0);
        if let Some(pattern) = self.known.get(&key) {
            return *pattern;
        }
        let clears: Vec<Option<u32>> = (0..=search.options.memory.len())
            .map(|memory| weigh(&search.proposal(&Choice { memory, ..*cooled }), &stages.cooler_memory))
            .collect();
        let place = self.patterns.iter().position(|pattern| *pattern == clears).unwrap_or_else(|| {
            self.patterns.push(clears);
            self.patterns.len() - 1
        });
        self.known.insert(key, place);
        place
    }
}

/// Routes that no other beats so far.
#[derive(Debug, Default)]
struct Archive {
    routes: Vec<Found>,
    without_gain: u64,
}

impl Archive {
    /// Takes a route up unless one there is as good in everything; of equal ones the smallest choice.
    fn add(&mut self, new: Found) {
        for idx in 0..self.routes.len() {
            let old = &mut self.routes[idx];
            if old.objectives == new.objectives {
                old.choice = old.choice.min(new.choice);
                return;
            }
            if old.objectives.no_worse_than(&new.objectives) {
                // The one that beat this beats the next as well, most likely: it comes first from now on.
                self.routes.swap(0, idx);
                return;
            }
        }
        self.routes.retain(|old| !new.objectives.no_worse_than(&old.objectives));
        self.routes.push(new);
    }

    /// Whether a route there is at least as good in everything, and is not just these objectives.
    fn beats(&mut self, objectives: &Objectives) -> bool {
        let better =
            |found: &Found| found.objectives != *objectives && found.objectives.no_worse_than(objectives);
        let place = self.routes.iter().position(better);
        if let Some(place) = place {
            self.routes.swap(0, place);
        }
        place.is_some()
    }

    fn finish(mut self) -> Front {
        self.routes.sort();
        Front { routes: self.routes, without_gain: self.without_gain }
    }
}
