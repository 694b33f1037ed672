//! What could be done to a machine of a group: the routes among which a choice for the whole fleet can lie.
//!
//! # Model
//! The exact search for one machine gives the routes that no other beats in cost, time saved, energy, bench time and risk.
//! For a fleet three things make more routes useful, and each gets a front of its own: a route that frees the processor
//! against one that keeps it; a processor from another machine, which costs nothing but is not always there; and a part of
//! which only so many can be had, without which the next best route counts. Fronts without each part of short supply that
//! they use are searched in turn until none is used any more, so that for every set of parts that may run out the
//! best routes without it are there.
//!
//! Whatever is done to a machine, it must save time, and at least the share its owner calls worth the trouble. Routes that
//! hang on an unknown reading are counted, not chosen.

use std::collections::{BTreeMap, BTreeSet};

use quantity::money::Money;
use upgrade::fit::finding::Verdict;
use upgrade::fit::rule::{judge, overall};
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::Proposal;
use upgrade::machine::workload::Attended;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;
use upgrade::route::open_question::open_questions;
use upgrade::route::options::{Choice, Condition, Options, Purchase, bought, processor_resale};
use upgrade::route::plan::{PlanError, in_one_currency};
use upgrade::route::search::{Found, Search};

use crate::donor::Donors;
use crate::terms::{Goal, Terms};

/// A part that is bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bought {
    /// Kind.
    pub kind: Kind,
    /// Id.
    pub id: PartId,
    /// Name.
    pub name: String,
    /// New or second-hand.
    pub condition: Condition,
    /// Price.
    pub price: Money,
}

/// One thing that could be done to each machine of a group.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Names of the parts that go in, or "change nothing".
    pub title: String,
    /// Parts that are bought.
    pub bought: Vec<Bought>,
    /// Kind of processor that comes from another machine.
    pub takes: Option<usize>,
    /// Whether the machine's own processor comes out.
    pub frees: Freed,
    /// Prices less what parts other than the processor bring, in minor units.
    pub cost: i64,
    /// Minutes at the bench.
    pub minutes: u32,
    /// Seconds a day that are no longer waited for.
    pub saved_s: i64,
    /// Watt-hours a year more than now.
    pub more_wh: i64,
    /// What it is good for by the goal, before any cost: minor units over the years, or seconds a year.
    pub value: i64,
    /// Findings that it fits only on a condition.
    pub conditions: u32,
}

/// Whether the machine's own processor comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Freed {
    /// It stays.
    Kept,
    /// It comes out.
    Out,
}

/// What could be done to a machine of a group.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ways {
    /// Ways, changing nothing not among them.
    pub list: Vec<Way>,
    /// Routes that would do but hang on a reading that is missing.
    pub hanging: usize,
    /// What would settle them, what could save most first.
    pub settle: Vec<String>,
}

/// Why nothing can be said about a group.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoWays {
    /// There is no plan for such a machine.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// The machine's own energy or speed cannot be computed.
    #[error("a reading is missing to judge it: {}", settle.first().map_or("look at reseat machine unknown", String::as_str))]
    Unknown {
        /// What would settle it.
        settle: Vec<String>,
    },
    /// The value of what is saved cannot be told.
    #[error("{what}, so that no change can be valued")]
    NotValued {
        /// Field.
        what: &'static str,
    },
}

impl NoWays {
    /// What would settle it, or what is missing.
    pub fn short(&self) -> &str {
        match self {
            Self::Plan(PlanError::NoTasks { .. }) => {
                "its record has no task; write at least one [[task]], or give common tasks"
            }
            Self::Plan(PlanError::NoCurrency) => "no currency is known",
            Self::Plan(PlanError::Currency { .. }) => {
                "an amount in its record is in a currency without a rate"
            }
            Self::Unknown { settle } => settle.first().map_or("a reading is missing", String::as_str),
            Self::NotValued { what } => what,
        }
    }
}

const SECONDS_A_YEAR: f64 = 31_557_600.0;

/// The ways of one group.
///
/// # Errors
/// No currency, no tasks, a reading that is missing, no days or value of an hour for the goal.
pub fn ways(machine: &Machine, library: &Library, donors: &Donors, terms: &Terms) -> Result<Ways, NoWays> {
    if machine.workload.tasks.is_empty() {
        return Err(PlanError::NoTasks { machine: machine.name.clone() }.into());
    }
    let machine = &in_one_currency(machine, library, terms.currency)?;
    let scale = Scale::of(machine, terms)?;
    let mut options = Options::of(machine, library, terms.currency);
    if terms.resale == crate::terms::Resale::Nothing {
        whole_prices(&mut options);
    }
    // What the processor brings is counted by the fleet, which sells it or uses it again.
    options.processors.iter_mut().for_each(|purchase| purchase.cost = purchase.price.minor());
    let stocked = |options: &Options<'_>, id: &PartId| terms.stock.contains_key(id) && has(options, None, id);
    let mut limited: BTreeSet<PartId> =
        terms.stock.keys().filter(|id| stocked(&options, id)).cloned().collect();
    for id in terms.stock.iter().filter(|(_, most)| **most == 0).map(|(id, _)| id) {
        limited.remove(id);
        without(&mut options, None, id);
    }
    // The owner's own budget counts what the old processor brings.
    let mut owner = machine.clone();
    let resale = processor_resale(machine, library, terms.currency);
    owner.wishes.budget = owner
        .wishes
        .budget
        .map(|most| Money::from_minor(most.minor().saturating_add(resale), terms.currency));

    let mut found = Collected { machine, library, scale, limited, ways: Ways::default() };
    let keeping = Options { processors: Vec::new(), ..options.clone() };
    let stay = found.keep(&keeping)?;
    found.search(Class::Swapping { owner: &owner, takes: None }, &options, stay, &mut BTreeSet::new());
    for (kind, donor) in donors.kinds.iter().enumerate() {
        if donor.processor == machine.processor.part
            || donor.processor.socket != machine.board.part.socket && options.boards.is_empty()
        {
            continue;
        }
        let moved = Purchase {
            part: &donor.processor,
            condition: Condition::Used,
            price: Money::zero(terms.currency),
            cost: 0,
        };
        let from_another = Options { processors: vec![moved], ..options.clone() };
        let class = Class::Swapping { owner: &owner, takes: Some(kind) };
        found.search(class, &from_another, stay, &mut BTreeSet::new());
    }
    let mut ways = found.ways;
    ways.list = undominated(ways.list, &found.limited);
    if ways.hanging > 0 {
        ways.settle = settle(machine, library);
    }
    Ok(ways)
}

fn settle(machine: &Machine, library: &Library) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let open = open_questions(machine, library).into_iter().map(|question| question.settle);
    open.filter(|text| seen.insert(text.clone())).take(3).collect()
}

/// Every part at its full price.
fn whole_prices(options: &mut Options<'_>) {
    macro_rules! whole {
        ($($list:ident),+) => { $(options.$list.iter_mut().for_each(|purchase| purchase.cost = purchase.price.minor());)+ };
    }
    whole!(boards, memory, coolers, pastes, supplies);
}

macro_rules! each_list {
    ($options:expr, $takes:expr, $do:ident, $id:expr) => {
        // A processor from another machine is not bought, and so not in short supply at the shop.
        if $takes.is_none() {
            $do!($options.processors, $id);
        }
        $do!($options.boards, $id);
        $do!($options.memory, $id);
        $do!($options.coolers, $id);
        $do!($options.pastes, $id);
        $do!($options.supplies, $id);
    };
}

fn has(options: &Options<'_>, takes: Option<usize>, id: &PartId) -> bool {
    let mut found = false;
    macro_rules! look {
        ($list:expr, $id:expr) => {
            found |= $list.iter().any(|purchase| purchase.part.id == *$id);
        };
    }
    each_list!(options, takes, look, id);
    found
}

fn without(options: &mut Options<'_>, takes: Option<usize>, id: &PartId) {
    macro_rules! drop {
        ($list:expr, $id:expr) => {
            $list.retain(|purchase| purchase.part.id != *$id)
        };
    }
    each_list!(options, takes, drop, id);
}

/// How a saving becomes a value.
#[derive(Debug, Clone, Copy)]
struct Scale {
    goal: Goal,
    attended_s: f64,
    least_gain: f64,
    days: f64,
    years: f64,
    hour_minor: f64,
    energy_minor_per_wh: f64,
}

impl Scale {
    fn of(machine: &Machine, terms: &Terms) -> Result<Self, NoWays> {
        let wishes = &machine.wishes;
        let waited = machine.workload.tasks.iter().filter(|task| task.attended == Attended::Waited);
        let days = machine
            .setting
            .days_a_year
            .ok_or(NoWays::NotValued { what: "its record does not say setting.days_a_year" })?;
        let hour_minor = match (terms.goal, wishes.hour_value) {
            (Goal::Hours, _) => 0.0,
            (Goal::Worth, Some(value)) => value.minor() as f64,
            (Goal::Worth, None) => {
                return Err(NoWays::NotValued { what: "its record does not say wishes.hour_value" });
            }
        };
        Ok(Self {
            goal: terms.goal,
            attended_s: waited
                .filter_map(|task| task.time_a_day.known().map(|time| time.middle().si()))
                .sum(),
            least_gain: wishes.least_gain.known().map_or(0.0, |gain| gain.middle().si()),
            days: f64::from(days),
            years: wishes.payback.known().map_or(terms.years, |time| time.middle().si() / SECONDS_A_YEAR),
            hour_minor,
            energy_minor_per_wh: machine
                .setting
                .energy_price
                .map_or(0.0, |price| price.minor() as f64 / 1000.0),
        })
    }

    fn is_enough(&self, saved_s: i64) -> bool {
        saved_s > 0 && (self.attended_s <= 0.0 || saved_s as f64 / self.attended_s >= self.least_gain)
    }

    /// Minor units over the years, or seconds a year; a cast saturates far beyond what any machine is worth.
    fn value(&self, saved_s: i64, more_wh: i64) -> i64 {
        match self.goal {
            Goal::Hours => (saved_s as f64 * self.days).round() as i64,
            Goal::Worth => {
                let time = saved_s as f64 / 3600.0 * self.days * self.hour_minor;
                ((time - more_wh as f64 * self.energy_minor_per_wh) * self.years).round() as i64
            }
        }
    }
}

/// Energy of the machine as it is, in watt-hours a year.
#[derive(Debug, Clone, Copy)]
struct Stay {
    energy_wh: i64,
}

/// Routes that compete with each other: what they do with the machine's processor is the same.
#[derive(Debug, Clone, Copy)]
enum Class<'m> {
    /// It stays.
    Keeping,
    /// It comes out.
    Swapping {
        /// The machine with the budget its owner has when the old processor is sold.
        owner: &'m Machine,
        /// Kind of processor that goes in from another machine; none where it is bought.
        takes: Option<usize>,
    },
}

/// Ways as they are found.
struct Collected<'a> {
    machine: &'a Machine,
    library: &'a Library,
    scale: Scale,
    limited: BTreeSet<PartId>,
    ways: Ways,
}

impl<'a> Collected<'a> {
    /// Ways that keep the processor; changing nothing is among the routes found, and says what energy is used now.
    fn keep(&mut self, options: &Options<'a>) -> Result<Stay, NoWays> {
        let search = Search::new(self.machine, self.library, options);
        let risk = search.risk(&Choice::default()).unwrap_or(0);
        let Some(now) = search.objectives(&Choice::default(), risk) else {
            return Err(NoWays::Unknown { settle: settle(self.machine, self.library) });
        };
        let stay = Stay { energy_wh: now.energy_wh };
        self.search(Class::Keeping, options, stay, &mut BTreeSet::new());
        Ok(stay)
    }

    /// The front of a class of routes, and those without each part of short supply that it uses, each set of parts once.
    fn search(
        &mut self,
        class: Class<'_>,
        options: &Options<'a>,
        stay: Stay,
        removed: &mut BTreeSet<BTreeSet<PartId>>,
    ) {
        let (front, takes) = match class {
            Class::Keeping => (Search::new(self.machine, self.library, options).front(), None),
            Class::Swapping { owner, takes } => {
                (Search::new(owner, self.library, options).front_of_swaps(), takes)
            }
        };
        self.ways.hanging += usize::try_from(front.without_gain).unwrap_or(usize::MAX);
        for id in self.take(options, &front.routes, takes, stay) {
            let mut fewer = options.clone();
            without(&mut fewer, takes, &id);
            let left: BTreeSet<PartId> =
                self.limited.iter().filter(|id| has(&fewer, takes, id)).cloned().collect();
            if removed.insert(left) {
                self.search(class, &fewer, stay, removed);
            }
        }
    }

    /// Takes the routes up that will do; the parts of short supply that any route of the front uses.
    fn take(
        &mut self,
        options: &Options<'a>,
        routes: &[Found],
        takes: Option<usize>,
        stay: Stay,
    ) -> BTreeSet<PartId> {
        let mut used = BTreeSet::new();
        for found in routes {
            let bought = purchases(options, &found.choice, takes);
            used.extend(bought.iter().map(|part| part.id.clone()).filter(|id| self.limited.contains(id)));
            let objectives = found.objectives;
            if found.choice == Choice::default() || !self.scale.is_enough(objectives.saved_s()) {
                continue;
            }
            let proposal = Proposal {
                now: self.machine,
                changes: options.changes(&found.choice),
                library: self.library,
            };
            let findings = judge(&proposal);
            if overall(&findings) == Verdict::CannotTell {
                self.ways.hanging += 1;
                continue;
            }
            let more_wh = objectives.energy_wh - stay.energy_wh;
            let conditions =
                findings.iter().filter(|finding| finding.verdict == Verdict::OnCondition).count();
            self.ways.list.push(Way {
                title: proposal.changes.title(),
                bought,
                takes,
                frees: if found.choice.processor > 0 { Freed::Out } else { Freed::Kept },
                cost: objectives.cost,
                minutes: objectives.minutes,
                saved_s: objectives.saved_s(),
                more_wh,
                value: self.scale.value(objectives.saved_s(), more_wh),
                conditions: u32::try_from(conditions).unwrap_or(u32::MAX),
            });
        }
        used
    }
}

/// What a choice buys; a processor from another machine is not bought.
fn purchases(options: &Options<'_>, choice: &Choice, takes: Option<usize>) -> Vec<Bought> {
    let mut out = Vec::new();
    macro_rules! add {
        ($kind:expr, $list:expr, $place:expr) => {
            if let Some(purchase) = bought($list, $place) {
                out.push(Bought {
                    kind: $kind,
                    id: purchase.part.id.clone(),
                    name: purchase.part.name.clone(),
                    condition: purchase.condition,
                    price: purchase.price,
                });
            }
        };
    }
    if takes.is_none() {
        add!(Kind::Processor, &options.processors, choice.processor);
    }
    add!(Kind::Board, &options.boards, choice.board);
    add!(Kind::Memory, &options.memory, choice.memory);
    add!(Kind::Cooler, &options.coolers, choice.cooler);
    add!(Kind::Paste, &options.pastes, choice.paste);
    add!(Kind::Supply, &options.supplies, choice.supply);
    out
}

/// Drops each way that another beats in cost, value and time with the same use of what is scarce.
fn undominated(list: Vec<Way>, limited: &BTreeSet<PartId>) -> Vec<Way> {
    type Scarce = (Option<usize>, Freed, Vec<PartId>);
    let scarce = |way: &Way| -> Scarce {
        let mut parts: Vec<PartId> =
            way.bought.iter().map(|part| part.id.clone()).filter(|id| limited.contains(id)).collect();
        parts.sort();
        (way.takes, way.frees, parts)
    };
    let mut by_use: BTreeMap<Scarce, Vec<Way>> = BTreeMap::new();
    for way in list {
        by_use.entry(scarce(&way)).or_default().push(way);
    }
    let mut kept = Vec::new();
    for mut alike in by_use.into_values() {
        // Cheapest first, of equal cost the most valuable: a later one is never cheaper.
        alike.sort_by(|a, b| {
            (a.cost, core::cmp::Reverse(a.value), a.minutes, &a.title).cmp(&(
                b.cost,
                core::cmp::Reverse(b.value),
                b.minutes,
                &b.title,
            ))
        });
        let mut front: Vec<Way> = Vec::new();
        for way in alike {
            if !front.iter().any(|other| other.value >= way.value && other.minutes <= way.minutes) {
                front.push(way);
            }
        }
        kept.extend(front);
    }
    kept.sort_by(|a, b| (a.cost, a.minutes, &a.title, a.takes).cmp(&(b.cost, b.minutes, &b.title, b.takes)));
    kept
}
