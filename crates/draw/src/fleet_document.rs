//! A fleet's plan as blocks of a document.

use fleet::answer::Answer;
use fleet::choose::Proof;
use fleet::curve::Step;
use fleet::group::Member;
use fleet::order::Turn;
use fleet::plan::{FleetPlan, Weighed};
use fleet::terms::{Goal, Terms};
use fleet::ways::Way;
use quantity::money::Money;
use quantity::text::significant;

use crate::document::Block;
use crate::table::{Side, Table};

/// What is said of a fleet besides its plan.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    /// Machines, in the order of the plan.
    pub members: &'a [Member],
    /// What was wanted.
    pub terms: &'a Terms,
    /// Machines that were not taken in.
    pub refused: usize,
}

impl Around<'_> {
    fn money(&self, minor: i64) -> String {
        Money::from_minor(minor, self.terms.currency).to_string()
    }

    fn name(&self, place: usize) -> &str {
        self.members.get(place).map_or("", |member| member.machine.name.as_str())
    }
}

/// The plan.
pub fn blocks(plan: &FleetPlan, around: &Around<'_>) -> Vec<Block> {
    let mut out: Vec<Block> = beginning(plan, around).into_iter().map(Block::Text).collect();
    let mut part = |heading: &str, blocks: Vec<Block>| {
        if !blocks.is_empty() {
            out.push(Block::Heading(heading.to_owned()));
            out.extend(blocks);
        }
    };
    let table = |table: Table| if table.is_empty() { Vec::new() } else { vec![Block::Table(table)] };
    part("What to do", table(upgrades(plan, around)));
    part("What stays as it is", table(stays(plan, around)));
    part("What to buy", table(buying(plan)));
    part("What moves, in this order", moving(plan, around).into_iter().map(Block::Item).collect());
    out
}

/// The sentences that begin the answer.
pub fn beginning(plan: &FleetPlan, around: &Around<'_>) -> Vec<String> {
    let sums = plan.chosen.sums;
    let machines = around.members.len();
    let mut said = vec![format!(
        "{machines} machines in {} groups of alike ones; {} get an upgrade.",
        plan.groups.len(),
        plan.jobs.len()
    )];
    if around.refused > 0 {
        said.push(format!(
            "{} more could not be read; they are told apart and not planned for.",
            around.refused
        ));
    }
    let of = |most: Option<String>| most.map_or(String::new(), |most| format!(" of {most}"));
    said.push(format!(
        "Spent: {}{}, resale taken off. At the bench: {}{}.",
        around.money(sums.cost),
        of(around.terms.budget.map(|most| around.money(most))),
        hours(sums.minutes),
        of(around.terms.minutes.map(hours)),
    ));
    let saved: f64 = plan.jobs.iter().filter_map(|job| saved_hours(plan, around, job)).sum();
    said.push(match around.terms.goal {
        Goal::Worth => format!(
            "Saved: {} hours a year of waiting. Worth over the years judged: {}, which is {} more than it costs.",
            significant(saved, 3),
            around.money(sums.value),
            around.money(sums.value - sums.cost)
        ),
        Goal::Hours => format!("Saved: {} hours a year of waiting.", significant(saved, 3)),
    });
    said.push(match plan.chosen.proof {
        Proof::Optimal => "No other choice does better: that is proved.".to_owned(),
        Proof::Within { gap: Some(bound_gap) } => {
            let gap = match around.terms.goal {
                Goal::Worth => around.money(bound_gap.ceil() as i64),
                Goal::Hours => format!("{} hours a year", significant(bound_gap / 3600.0, 2)),
            };
            format!(
                "The search was stopped: another choice could do better by at most {gap}. Give it more time."
            )
        }
        Proof::Within { gap: None } => {
            "The search was stopped before it had a bound: another choice could do better. Give it more time."
                .to_owned()
        }
    });
    said
}

fn saved_hours(plan: &FleetPlan, around: &Around<'_>, job: &fleet::plan::Job) -> Option<f64> {
    let days = around.members.get(job.member)?.machine.setting.days_a_year?;
    Some(plan.way(job)?.saved_s as f64 * f64::from(days) / 3600.0)
}

fn hours(minutes: i64) -> String {
    format!("{} h {} min", minutes / 60, minutes % 60)
}

/// What stands for a group: its first machine and how many more.
pub fn called(weighed: &Weighed, around: &Around<'_>) -> String {
    let first = around.name(weighed.group.first);
    match weighed.group.members.len() {
        1 => first.to_owned(),
        many => format!("{first} and {} alike", many - 1),
    }
}

/// Each way that is taken: for how many machines of which group.
fn upgrades(plan: &FleetPlan, around: &Around<'_>) -> Table {
    let mut table = Table::new(&[
        ("machines", Side::Right),
        ("like", Side::Left),
        ("get", Side::Left),
        ("cost each", Side::Right),
        ("save a day", Side::Right),
        ("bench", Side::Right),
    ]);
    for (weighed, counts) in plan.groups.iter().zip(&plan.chosen.counts) {
        let Ok(ways) = &weighed.ways else { continue };
        for (way, count) in ways.list.iter().zip(counts).filter(|(_, count)| **count > 0) {
            table.row([
                format!("{count} of {}", weighed.group.members.len()),
                around.name(weighed.group.first).to_owned(),
                got(way),
                around.money(way.cost),
                upgrade::route::pick::time_a_day(way.saved_s).trim_end_matches(" a day").to_owned(),
                format!("{} min", way.minutes),
            ]);
        }
    }
    table
}

/// A way in words: what moves is said to move.
fn got(way: &Way) -> String {
    match way.takes {
        Some(_) => format!("{} (the processor from another machine)", way.title),
        None => way.title.clone(),
    }
}

fn stays(plan: &FleetPlan, around: &Around<'_>) -> Table {
    let mut table = Table::new(&[("machines", Side::Right), ("like", Side::Left), ("why", Side::Left)]);
    for (weighed, counts) in plan.groups.iter().zip(&plan.chosen.counts) {
        let chosen: i64 = counts.iter().sum();
        let left = i64::try_from(weighed.group.members.len()).unwrap_or(i64::MAX) - chosen;
        if left == 0 {
            continue;
        }
        let answer = FleetPlan::unless_upgraded(weighed);
        let why = match answer {
            Answer::CannotTell { why } => format!("cannot tell; what settles it: {why}"),
            Answer::Leave { .. } => "money, hours or parts do more elsewhere".to_owned(),
            Answer::NothingWorth | Answer::Upgrade { .. } => {
                "no change is worth its trouble there".to_owned()
            }
        };
        table.row([left.to_string(), around.name(weighed.group.first).to_owned(), why]);
    }
    table
}

/// What has to be bought, most money first.
fn buying(plan: &FleetPlan) -> Table {
    let mut list: std::collections::BTreeMap<String, (String, i64, Money)> =
        std::collections::BTreeMap::new();
    for job in &plan.jobs {
        for part in plan.way(job).map(|way| way.bought.as_slice()).unwrap_or_default() {
            let key = format!("{} {}", part.id, part.condition.word());
            let entry = list
                .entry(key)
                .or_insert_with(|| (format!("{}, {}", part.name, part.condition.word()), 0, part.price));
            entry.1 += 1;
        }
    }
    let mut rows: Vec<_> = list.into_values().collect();
    rows.sort_by_key(|(name, count, price)| (core::cmp::Reverse(count * price.minor()), name.clone()));
    let mut table = Table::new(&[
        ("pieces", Side::Right),
        ("part", Side::Left),
        ("each", Side::Right),
        ("together", Side::Right),
    ]);
    for (name, count, price) in rows {
        let together = Money::from_minor(price.minor() * count, price.currency());
        table.row([count.to_string(), name, price.to_string(), together.to_string()]);
    }
    table
}

/// Where processors go; long lists are cut, the table of machines has all of it.
fn moving(plan: &FleetPlan, around: &Around<'_>) -> Vec<String> {
    const MOST: usize = 12;
    let mut said = Vec::new();
    for turn in &plan.turns {
        match *turn {
            Turn::Open { machine } => {
                said.push(format!("Open {} first and take its processor out.", around.name(machine)));
            }
            Turn::Do { machine, from: Some(from) } => {
                said.push(format!("{} gives its processor to {}.", around.name(from), around.name(machine)));
            }
            Turn::Do { from: None, .. } => {}
        }
    }
    if said.len() > MOST {
        let more = said.len() - MOST;
        said.truncate(MOST);
        said.push(format!("And {more} more: the table of machines and the job sheets hold them all."));
    }
    said
}

/// What more money would bring.
pub fn curve(steps: &[Step], around: &Around<'_>) -> Vec<Block> {
    let value = match around.terms.goal {
        Goal::Worth => "worth less cost",
        Goal::Hours => "hours a year",
    };
    let mut table = Table::new(&[
        ("budget", Side::Right),
        ("spent", Side::Right),
        (value, Side::Right),
        ("bench", Side::Right),
        ("", Side::Left),
    ]);
    for step in steps {
        let value = match around.terms.goal {
            Goal::Worth => around.money(step.sums.value - step.sums.cost),
            Goal::Hours => significant(step.sums.value as f64 / 3600.0, 3),
        };
        table.row([
            around.money(step.budget),
            around.money(step.sums.cost),
            value,
            hours(step.sums.minutes),
            if step.is_proved { String::new() } else { "not proved".to_owned() },
        ]);
    }
    vec![Block::Heading("What more money would bring".to_owned()), Block::Table(table)]
}
