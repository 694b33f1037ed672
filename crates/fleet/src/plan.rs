//! The plan of a whole fleet.

use core::ops::ControlFlow;
use core::time::Duration;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use upgrade::part::id::PartId;
use upgrade::part::library::Library;

use crate::choose::{ChooseError, Chosen, GroupRow, MoneyCounts, Problem, WayRow, choose};
use crate::donor::{Donors, donors};
use crate::group::{Group, Member, groups};
use crate::order::{Move, Turn, turns};
use crate::terms::{Goal, Terms};
use crate::ways::{Freed, NoWays, Ways, ways};

/// A group with what could be done to each of its machines.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// Its machines.
    pub group: Group,
    /// Ways, or why there are none.
    pub ways: Result<Ways, NoWays>,
}

/// What is done to one machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Job {
    /// Place of the machine in the list of all.
    pub member: usize,
    /// Its group.
    pub group: usize,
    /// Way, by its place in the group.
    pub way: usize,
    /// Machine from which its processor comes, by its place in the list of all.
    pub from: Option<usize>,
    /// Machine into which its processor goes; where none, it is left over.
    pub to: Option<usize>,
    /// Whether it has to be opened before its own turn.
    pub opened: Opened,
}

/// Whether a machine has to be opened before its own turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opened {
    /// It is done in one go.
    AtItsTurn,
    /// Its processor comes out early, since machines wait for each other in a ring.
    Early,
}

/// The plan of a fleet.
#[derive(Debug, Clone, PartialEq)]
pub struct FleetPlan {
    /// Groups, in the order of their first machines.
    pub groups: Vec<Weighed>,
    /// Processors that can move.
    pub donors: Donors,
    /// Parts in short supply, in the order of the problem's stock.
    pub scarce: Vec<PartId>,
    /// The choice as numbers.
    pub problem: Problem,
    /// What is chosen.
    pub chosen: Chosen,
    /// Jobs, in the order in which they are done.
    pub jobs: Vec<Job>,
    /// Turns, machines opened early included, by places in the list of all machines.
    pub turns: Vec<Turn>,
}

/// Told how many of how many groups are done; says whether to go on.
pub type Progress<'a> = &'a (dyn Fn(usize, usize) -> ControlFlow<()> + Sync);

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum NoPlan {
    /// Nothing could be chosen.
    #[error(transparent)]
    Choose(#[from] ChooseError),
    /// Nobody wants it any more.
    #[error("it was stopped")]
    Stopped,
}

/// Plans for a fleet.
///
/// # Errors
/// The solver fails, or `progress` ended it; what is wrong with single groups is kept with them.
pub fn plan(
    members: &[Member],
    library: &Library,
    terms: &Terms,
    time_limit: Option<Duration>,
    progress: Progress<'_>,
) -> Result<FleetPlan, NoPlan> {
    let groups = groups(members);
    let donors = donors(members, &groups, library, terms);
    let found = weigh(members, &groups, library, &donors, terms, progress).ok_or(NoPlan::Stopped)?;
    let groups: Vec<Weighed> =
        groups.into_iter().zip(found).map(|(group, ways)| Weighed { group, ways }).collect();
    let scarce: Vec<PartId> = terms.stock.keys().cloned().collect();
    let problem = problem(&groups, &donors, &scarce, terms);
    let chosen = choose(&problem, time_limit)?;
    let (jobs, turns) = jobs(&groups, &problem, &chosen);
    Ok(FleetPlan { groups, donors, scarce, problem, chosen, jobs, turns })
}

/// The ways of each group, on as many threads as there are cores; none where `progress` ended it.
fn weigh(
    members: &[Member],
    groups: &[Group],
    library: &Library,
    donors: &Donors,
    terms: &Terms,
    progress: Progress<'_>,
) -> Option<Vec<Result<Ways, NoWays>>> {
    let next = AtomicUsize::new(0);
    let done = AtomicUsize::new(0);
    let is_stopped = AtomicBool::new(false);
    let found: Vec<Mutex<Option<Result<Ways, NoWays>>>> = groups.iter().map(|_| Mutex::new(None)).collect();
    let threads = std::thread::available_parallelism().map_or(1, core::num::NonZero::get);
    let work = || {
        while let Some((group, slot)) = {
            let place = next.fetch_add(1, Ordering::Relaxed);
            groups.get(place).zip(found.get(place))
        } {
            if let Some(member) = members.get(group.first) {
                let ways = ways(&member.machine, library, donors, terms);
                // Only this thread ever takes this slot.
                if let Ok(mut slot) = slot.lock() {
                    *slot = Some(ways);
                }
            }
            if progress(done.fetch_add(1, Ordering::Relaxed) + 1, groups.len()).is_break() {
                is_stopped.store(true, Ordering::Relaxed);
            }
            if is_stopped.load(Ordering::Relaxed) {
                break;
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads.min(groups.len()) {
            scope.spawn(work);
        }
        work();
    });
    let taken = |slot: Mutex<Option<Result<Ways, NoWays>>>| {
        let inner = slot.into_inner().ok().flatten();
        inner.unwrap_or_else(|| Err(NoWays::Unknown { settle: Vec::new() }))
    };
    (!is_stopped.into_inner()).then(|| found.into_iter().map(taken).collect())
}

fn problem(groups: &[Weighed], donors: &Donors, scarce: &[PartId], terms: &Terms) -> Problem {
    let rows = groups.iter().enumerate().map(|(place, weighed)| {
        let own = donors.of_group.get(place).copied().flatten();
        let other = donors.other_resale.get(place).copied().unwrap_or(0);
        let ways = weighed.ways.as_ref().map(|ways| ways.list.as_slice()).unwrap_or_default();
        let row = |way: &crate::ways::Way| {
            let out = way.frees == Freed::Out;
            let uses = way.bought.iter().filter_map(|part| scarce.iter().position(|id| *id == part.id));
            WayRow {
                value: way.value,
                cost: way.cost - if out { other } else { 0 },
                minutes: i64::from(way.minutes),
                takes: way.takes,
                gives: own.filter(|_| out),
                uses: uses.map(|part| (part, 1)).collect(),
            }
        };
        GroupRow {
            count: i64::try_from(weighed.group.members.len()).unwrap_or(i64::MAX),
            ways: ways.iter().map(row).collect(),
        }
    });
    Problem {
        groups: rows.collect(),
        resale: donors.kinds.iter().map(|kind| kind.resale).collect(),
        stock: scarce.iter().map(|id| terms.stock.get(id).map_or(0, |most| i64::from(*most))).collect(),
        budget: terms.budget,
        minutes: terms.minutes,
        money_counts: match terms.goal {
            Goal::Worth => MoneyCounts::Whole,
            Goal::Hours => MoneyCounts::BetweenEquals,
        },
    }
}

/// Gives each chosen way its machines, the first of a group first, and puts the jobs in order.
fn jobs(groups: &[Weighed], problem: &Problem, chosen: &Chosen) -> (Vec<Job>, Vec<Turn>) {
    let mut list: Vec<Job> = Vec::new();
    let mut moves: Vec<Move> = Vec::new();
    for (place, (weighed, counts)) in groups.iter().zip(&chosen.counts).enumerate() {
        let mut members = weighed.group.members.iter();
        for (way, count) in counts.iter().enumerate() {
            for _ in 0..*count {
                let row = problem.groups.get(place).and_then(|group| group.ways.get(way));
                if let (Some(member), Some(row)) = (members.next(), row) {
                    let opened = Opened::AtItsTurn;
                    list.push(Job { member: *member, group: place, way, from: None, to: None, opened });
                    moves.push(Move { takes: row.takes, gives: row.gives });
                }
            }
        }
    }
    let member = |place: usize| list.get(place).map_or(usize::MAX, |job| job.member);
    let order = turns(&moves);
    let told = order.iter().map(|turn| match *turn {
        Turn::Open { machine } => Turn::Open { machine: member(machine) },
        Turn::Do { machine, from } => Turn::Do { machine: member(machine), from: from.map(member) },
    });
    let told: Vec<Turn> = told.collect();
    let mut done = Vec::with_capacity(list.len());
    for turn in &order {
        match *turn {
            Turn::Open { machine } => {
                if let Some(job) = list.get_mut(machine) {
                    job.opened = Opened::Early;
                }
            }
            Turn::Do { machine, from } => {
                let from_member = from.and_then(|from| list.get(from)).map(|job| job.member);
                let own = list.get(machine).map(|job| job.member);
                if let Some(giver) = from.and_then(|from| list.get_mut(from)) {
                    giver.to = own;
                }
                if let Some(job) = list.get_mut(machine) {
                    job.from = from_member;
                    done.push(machine);
                }
            }
        }
    }
    (done.into_iter().filter_map(|place| list.get(place).copied()).collect(), told)
}
