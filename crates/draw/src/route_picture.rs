//! Routes as price against time saved, with the steps of the front and the picks named.

use upgrade::route::pick::time_a_day;
use upgrade::route::plan::Plan;

use crate::svg::{Anchor, Picture, axis_marks, number};
use crate::wrap::shortened;

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 420.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 52.0;
const BOTTOM: f64 = 56.0;

/// The picture: net cost to the right, minutes saved a day upwards, a step line through the routes
/// that no cheaper one beats in time.
pub fn routes(plan: &Plan, machine: &str) -> String {
    let title = format!("Routes for {machine}: price against time saved");
    // The picks are named below the plot, a line each.
    let below = 16.0 * plan.picks.len() as f64 + 10.0;
    let mut picture = Picture::new(WIDTH, HEIGHT + below, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, HEIGHT + below), "paper");
    picture.text((LEFT - 48.0, 22.0), Anchor::Start, "head", &title);
    let money = |minor: i64| quantity::money::Money::from_minor(minor, plan.currency).major();
    let costs = plan.front.iter().map(|found| money(found.objectives.cost));
    let saved = plan.front.iter().map(|found| found.objectives.saved_s() as f64 / 60.0);
    let (cost_low, cost_high) = range(costs);
    let (saved_low, saved_high) = range(saved);
    let x = |cost: f64| LEFT + (cost - cost_low) / (cost_high - cost_low) * (WIDTH - LEFT - RIGHT);
    let y = |minutes: f64| {
        HEIGHT - BOTTOM - (minutes - saved_low) / (saved_high - saved_low) * (HEIGHT - TOP - BOTTOM)
    };
    for mark in axis_marks(cost_low, cost_high, 6) {
        picture.line((x(mark), TOP), (x(mark), HEIGHT - BOTTOM), "grid");
        picture.text((x(mark), HEIGHT - BOTTOM + 18.0), Anchor::Middle, "small", &format!("{mark:.0}"));
    }
    for mark in axis_marks(saved_low, saved_high, 6) {
        picture.line((LEFT, y(mark)), (WIDTH - RIGHT, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    picture.line((LEFT, HEIGHT - BOTTOM), (WIDTH - RIGHT, HEIGHT - BOTTOM), "axis");
    picture.line((LEFT, TOP), (LEFT, HEIGHT - BOTTOM), "axis");
    let unit = plan.currency.code();
    picture.text((WIDTH - RIGHT, HEIGHT - 16.0), Anchor::End, "small", &format!("net price, {unit}"));
    picture.text((LEFT - 48.0, TOP - 9.0), Anchor::Start, "small", "min saved a day");

    // Routes on the step line tell their name when pointed at. All others, of which there may be hundreds, are one
    // path of points: a page with an element for each took half as long again to paint.
    let mut best = f64::NEG_INFINITY;
    let (mut path, mut others) = (String::new(), String::new());
    let mut named = Vec::new();
    for (found, name) in plan.front.iter().zip(&plan.titles) {
        let (cost, minutes) = (money(found.objectives.cost), found.objectives.saved_s() as f64 / 60.0);
        let (px, py) = (number(x(cost)), number(y(minutes)));
        if minutes > best {
            path.push_str(&if path.is_empty() { format!("M{px} {py}") } else { format!("H{px}V{py}") });
            best = minutes;
            named
                .push(((x(cost), y(minutes)), format!("{name}: {}", time_a_day(found.objectives.saved_s()))));
        } else {
            others.push_str(&format!("M{px} {py}h.01"));
        }
    }
    picture.path(&others, "dots");
    picture.path(&path, "step");
    for (at, tip) in &named {
        picture.circle(*at, 2.5, "dot", tip);
    }
    // Several picks may be one route: they share a number.
    let mut labels: Vec<(f64, f64, String, String)> = Vec::new();
    for pick in &plan.picks {
        let cost = pick.route.net_cost.major();
        let minutes = pick.route.objectives.saved_s() as f64 / 60.0;
        let (px, py) = (x(cost), y(minutes));
        match labels.iter_mut().find(|label| label.0 == px && label.1 == py) {
            Some(label) => label.2 = format!("{}, {}", label.2, pick.kind.word()),
            None => labels.push((px, py, pick.kind.word().to_owned(), pick.route.title.clone())),
        }
    }
    for ((px, py, words, name), place) in labels.iter().zip(1..) {
        picture.circle((*px, *py), 8.0, "pick", name);
        picture.text((*px, py + 4.0), Anchor::Middle, "number", &place.to_string());
        let line = HEIGHT + 16.0 * f64::from(place) - 4.0;
        let words = if words == name { words.clone() } else { format!("{words}: {name}") };
        picture.text((LEFT, line), Anchor::Start, "small", &format!("{place}  {}", shortened(&words, 110)));
    }
    picture.finish()
}

/// Smallest range that holds all values and zero, never empty, with a little air.
fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((0.0_f64, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
    let span = (high - low).max(1.0);
    (low - 0.02 * span, high + 0.06 * span)
}
