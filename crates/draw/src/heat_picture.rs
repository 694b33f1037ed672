//! The heat path as a staircase: temperature falls step by step from the die to the room, and below it what a
//! warmer room does.

use quantity::interval::Interval;
use upgrade::carry::heat_path::HeatPath;

use crate::svg::{Anchor, Picture, axis_marks, number};
use crate::wrap::{shortened, wrap};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 226.0;
const TOP: f64 = 54.0;
const STAIRS: f64 = 280.0;
const CURVE: f64 = 150.0;

/// Names of the landings, in two lines.
pub(crate) const LANDINGS: [[&str; 2]; 6] = [
    ["junction", ""],
    ["lid,", "below"],
    ["lid,", "above"],
    ["cooler's", "base"],
    ["air at the", "cooler"],
    ["room", ""],
];

/// Temperatures at the landings, junction first, in °C at the cool end and at the hot one; none where one
/// is unknown.
pub(crate) fn landings(path: &HeatPath) -> Option<Vec<(f64, f64)>> {
    let room = path.room.get()?;
    let mut at = (room.low().si() - 273.15, room.high().si() - 273.15);
    let mut out = vec![at];
    for step in path.steps.iter().rev() {
        let rise = step.rise.get()?;
        at = (at.0 + rise.low().si(), at.1 + rise.high().si());
        out.push(at);
    }
    out.reverse();
    Some(out)
}

/// The picture.
pub fn heat(path: &HeatPath) -> String {
    let title = format!("Heat path of {}", path.title);
    let has_curve = path.rooms.iter().any(|at| at.junction.get().is_some());
    let height = TOP + STAIRS + 58.0 + if has_curve { CURVE + 70.0 } else { 0.0 };
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((24.0, 26.0), Anchor::Start, "head", &shortened(&title, 84));
    match landings(path) {
        Some(landings) => stairs(&mut picture, path, &landings),
        None => {
            let words = format!(
                "A step is not known, so no staircase can be drawn. It would be settled by: {}",
                path.settle
            );
            picture.text((24.0, TOP + 20.0), Anchor::Start, "note", &shortened(&words, 104));
        }
    }
    if has_curve {
        curve(&mut picture, path, TOP + STAIRS + 84.0);
    }
    picture.finish()
}

fn stairs(picture: &mut Picture, path: &HeatPath, landings: &[(f64, f64)]) {
    let low = landings.iter().map(|at| at.0).fold(f64::INFINITY, f64::min) - 4.0;
    let limit = path.limit.get().map(|limit| limit.middle().si() - 273.15);
    let high = landings.iter().map(|at| at.1).fold(limit.unwrap_or(low + 10.0), f64::max) + 4.0;
    let y = |celsius: f64| TOP + STAIRS - (celsius - low) / (high - low) * STAIRS;
    let step = (WIDTH - LEFT - RIGHT) / landings.len() as f64;
    for mark in axis_marks(low, high, 6) {
        picture.line((LEFT, y(mark)), (WIDTH - RIGHT, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    picture.text((LEFT - 36.0, TOP - 10.0), Anchor::Start, "small", "°C");
    if let Some(limit) = limit {
        picture.line((LEFT, y(limit)), (WIDTH - RIGHT, y(limit)), "lead");
        picture.text(
            (WIDTH - RIGHT - 4.0, y(limit) - 4.0),
            Anchor::End,
            "small",
            &format!("junction limit {limit:.0} °C"),
        );
    }
    let mut line = String::new();
    for (place, (cool, hot)) in landings.iter().enumerate() {
        let x = LEFT + step * place as f64;
        let middle = 0.5 * (cool + hot);
        // The band says how far the landing may lie; the line is its middle.
        picture.rectangle((x, y(*hot)), (step, (y(*cool) - y(*hot)).max(1.0)), "band");
        line.push_str(&if place == 0 {
            format!("M{} {}H{}", number(x), number(y(middle)), number(x + step))
        } else {
            format!("V{}H{}", number(y(middle)), number(x + step))
        });
        for (line, name) in LANDINGS.get(place).into_iter().flatten().enumerate() {
            let at = (x + 0.5 * step, TOP + STAIRS + 18.0 + 13.0 * line as f64);
            picture.text(at, Anchor::Middle, "small", name);
        }
        let text = format!("{cool:.0}..{hot:.0}");
        picture.text((x + 0.5 * step, y(*hot) - 5.0), Anchor::Middle, "small", &text);
    }
    picture.path(&line, "stair");
    for (place, step_of) in path.steps.iter().enumerate() {
        let (above, below) = (landings[place], landings[place + 1]);
        let middle = 0.25 * (above.0 + above.1 + below.0 + below.1);
        let rise = step_of.rise.known().map_or_else(|| "unknown".to_owned(), |rise| rise.rounded(2));
        let x = WIDTH - RIGHT + 14.0;
        // The words stand at the right under each other; the step has their number.
        let at = TOP + 14.0 + place as f64 * (STAIRS / path.steps.len() as f64);
        let riser = LEFT + step * (place + 1) as f64;
        let number = (place + 1).to_string();
        picture.circle((riser, y(middle)), 8.0, "dot", step_of.name);
        picture.text((riser, y(middle) + 4.0), Anchor::Middle, "small", &number);
        let share = step_of
            .share
            .map_or(String::new(), |(a, b)| format!(", {:.0}..{:.0} %", 100.0 * a.min(b), 100.0 * a.max(b)));
        picture.text((x, at), Anchor::Start, "small", &format!("{number} {}: {rise}{share}", step_of.name));
        // The case's air has no resistance of its own: it goes with all heat in the case.
        let resistance = match step_of.resistance {
            Some(resistance) => resistance.known().map_or_else(|| "unknown".to_owned(), |r| r.rounded(2)),
            None => "by the heat in the case".to_owned(),
        };
        picture.text((x, at + 14.0), Anchor::Start, "small", &resistance);
        for (line, words) in wrap(step_of.cure, 33, 0).iter().take(2).enumerate() {
            picture.text((x, at + 27.0 + 12.0 * line as f64), Anchor::Start, "note", words);
        }
    }
}

/// Junction against room, both ends.
fn curve(picture: &mut Picture, path: &HeatPath, top: f64) {
    let points: Vec<(f64, f64, f64)> = path
        .rooms
        .iter()
        .filter_map(|at| {
            let junction = at.junction.get()?;
            Some((at.room.si() - 273.15, junction.low().si() - 273.15, junction.high().si() - 273.15))
        })
        .collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    let low = points.iter().map(|at| at.1.min(at.2)).fold(f64::INFINITY, f64::min) - 3.0;
    let high = points.iter().map(|at| at.1.max(at.2)).fold(low + 1.0, f64::max) + 3.0;
    let x = |room: f64| LEFT + (room - first.0) / (last.0 - first.0).max(1.0) * (WIDTH - LEFT - RIGHT);
    let y = |celsius: f64| top + CURVE - (celsius - low) / (high - low) * CURVE;
    picture.text(
        (LEFT, top - 10.0),
        Anchor::Start,
        "head",
        "Junction in a warmer room, at the clock it then holds",
    );
    for mark in axis_marks(low, high, 4) {
        picture.line((LEFT, y(mark)), (WIDTH - RIGHT, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    let mut band = String::new();
    for (place, at) in points.iter().enumerate() {
        let command = if place == 0 { "M" } else { "L" };
        band.push_str(&format!("{command}{} {}", number(x(at.0)), number(y(at.1.min(at.2)))));
    }
    for at in points.iter().rev() {
        band.push_str(&format!("L{} {}", number(x(at.0)), number(y(at.1.max(at.2)))));
    }
    band.push('Z');
    picture.path(&band, "band");
    for (place, at) in path.rooms.iter().enumerate() {
        let room = at.room.si() - 273.15;
        picture.text((x(room), top + CURVE + 16.0), Anchor::Middle, "small", &format!("{room:.0}"));
        if place % 2 == 0
            && let Some(clock) = at.clock.get()
        {
            picture.text((x(room), top + CURVE + 31.0), Anchor::Middle, "note", &Interval::rounded(clock, 2));
        }
    }
    let side = WIDTH - RIGHT + 30.0;
    picture.text((side, top + CURVE + 16.0), Anchor::Start, "small", "room, °C");
    picture.text((side, top + CURVE + 31.0), Anchor::Start, "note", "clock it holds");
}
