//! A fleet's plan as a picture: what more money would bring, and how many machines of each group get something.

use fleet::curve::Step;
use fleet::plan::FleetPlan;
use fleet::terms::Goal;
use quantity::money::Money;

use crate::fleet_document::{Around, called};
use crate::svg::{Anchor, Picture, axis_marks, number};
use crate::wrap::shortened;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 84.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 56.0;
const PLOT: f64 = 260.0;
/// Height of one group's bar with its line of text.
const BAR: f64 = 30.0;
/// Groups drawn; the rest is told as a number.
const MOST_GROUPS: usize = 24;

/// The picture: budgets to the right against what the best choice under each is good for, then a bar for each group.
pub fn fleet(plan: &FleetPlan, steps: &[Step], around: &Around<'_>) -> String {
    let groups: Vec<usize> = largest(plan);
    let bars = BAR * groups.len() as f64 + if groups.len() < plan.groups.len() { 52.0 } else { 34.0 };
    let height = TOP + PLOT + 56.0 + bars;
    let title = format!("{} machines: what a budget brings, and who gets something", around.members.len());
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((LEFT - 60.0, 22.0), Anchor::Start, "head", &title);
    plot(&mut picture, plan, steps, around);
    let below = TOP + PLOT + 66.0;
    picture.text(
        (LEFT - 60.0, below),
        Anchor::Start,
        "small",
        "Machines that get something, of those alike (largest groups first)",
    );
    let most =
        groups.iter().filter_map(|place| plan.groups.get(*place)).map(|one| one.group.members.len()).max();
    let most = most.unwrap_or(1) as f64;
    for (line, place) in groups.iter().enumerate() {
        let (Some(weighed), Some(counts)) = (plan.groups.get(*place), plan.chosen.counts.get(*place)) else {
            continue;
        };
        let y = below + 10.0 + BAR * line as f64;
        let all = weighed.group.members.len() as f64;
        let done = counts.iter().sum::<i64>() as f64;
        let room = WIDTH - RIGHT - 330.0;
        picture.text(
            (LEFT - 60.0, y + 14.0),
            Anchor::Start,
            "small",
            &shortened(&called(weighed, around), 42),
        );
        picture.rectangle((300.0, y + 3.0), (room * all / most, 14.0), "bare");
        picture.rectangle((300.0, y + 3.0), (room * done / most, 14.0), "stream");
        picture.text(
            (300.0 + room * all / most + 6.0, y + 14.0),
            Anchor::Start,
            "small",
            &format!("{done} of {all}"),
        );
    }
    if groups.len() < plan.groups.len() {
        let more = format!("and {} smaller groups", plan.groups.len() - groups.len());
        picture.text((LEFT - 60.0, height - 12.0), Anchor::Start, "small", &more);
    }
    picture.finish()
}

/// The groups with most machines, in that order.
fn largest(plan: &FleetPlan) -> Vec<usize> {
    let mut places: Vec<usize> = (0..plan.groups.len()).collect();
    let size = |place: &usize| plan.groups.get(*place).map_or(0, |one| one.group.members.len());
    places.sort_by_key(|place| (core::cmp::Reverse(size(place)), *place));
    places.truncate(MOST_GROUPS);
    places
}

fn plot(picture: &mut Picture, plan: &FleetPlan, steps: &[Step], around: &Around<'_>) {
    let major = |minor: i64| Money::from_minor(minor, around.terms.currency).major();
    let value = |sums: &fleet::choose::Sums| match around.terms.goal {
        Goal::Worth => major(sums.value - sums.cost),
        Goal::Hours => sums.value as f64 / 3600.0,
    };
    let most_money = steps.iter().map(|step| major(step.budget)).fold(1.0, f64::max);
    let most_value = steps.iter().map(|step| value(&step.sums)).fold(1.0, f64::max) * 1.06;
    let x = |money: f64| LEFT + money / most_money * (WIDTH - LEFT - RIGHT - 40.0);
    let y = |value: f64| TOP + PLOT - value / most_value * PLOT;
    for mark in axis_marks(0.0, most_money, 6) {
        picture.line((x(mark), TOP), (x(mark), TOP + PLOT), "grid");
        picture.text((x(mark), TOP + PLOT + 18.0), Anchor::Middle, "small", &format!("{mark:.0}"));
    }
    for mark in axis_marks(0.0, most_value, 5) {
        picture.line((LEFT, y(mark)), (WIDTH - RIGHT, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    picture.line((LEFT, TOP + PLOT), (WIDTH - RIGHT, TOP + PLOT), "axis");
    picture.line((LEFT, TOP), (LEFT, TOP + PLOT), "axis");
    let code = around.terms.currency.code();
    let upwards = match around.terms.goal {
        Goal::Worth => format!("worth over the years less cost, {code}"),
        Goal::Hours => "hours a year no longer waited".to_owned(),
    };
    picture.text((LEFT - 60.0, TOP - 12.0), Anchor::Start, "small", &upwards);
    picture.text((WIDTH - RIGHT, TOP + PLOT + 36.0), Anchor::End, "small", &format!("budget, {code}"));
    let mut path = String::new();
    for step in steps {
        let letter = if path.is_empty() { 'M' } else { 'L' };
        path.push_str(&format!("{letter}{} {}", number(x(major(step.budget))), number(y(value(&step.sums)))));
    }
    picture.path(&path, "step");
    for step in steps {
        let tip = format!("{}: {}", around.terms.currency.code(), major(step.budget));
        picture.circle((x(major(step.budget)), y(value(&step.sums))), 3.0, "dot", &tip);
    }
    let spent = major(plan.chosen.sums.cost.max(0));
    let reached = value(&plan.chosen.sums);
    if spent <= most_money {
        picture.circle((x(spent), y(reached)), 7.0, "pick", "this plan");
        let left = spent > most_money / 2.0;
        let (at, anchor) =
            if left { (x(spent) - 12.0, Anchor::End) } else { (x(spent) + 12.0, Anchor::Start) };
        picture.text((at, y(reached) + 20.0), anchor, "small", "this plan");
    }
}
