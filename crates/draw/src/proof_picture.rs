//! A soak as curves: temperature as measured and as the heat path that was found answers, power below it.

use core::fmt::Write as _;

use quantity::text::significant;
use upgrade::proof::log::SoakLog;
use upgrade::proof::soak::SoakRead;

use crate::svg::{Anchor, Picture, axis_marks, number};

/// One soak to draw.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'c> {
    /// What it is called: before, after.
    pub name: &'static str,
    /// The log.
    pub log: &'c SoakLog,
    /// What was read in it.
    pub read: &'c SoakRead,
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 150.0;
const TOP: f64 = 62.0;
const HIGH: f64 = 190.0;
const POWER: f64 = 70.0;
const GAP: f64 = 34.0;
const FOOT: f64 = 46.0;
/// A picture shows no more points of a curve than this.
const MOST_POINTS: usize = 700;

fn panel_height() -> f64 {
    HIGH + GAP + POWER + FOOT
}

/// What the pictures say, for who does not see them.
pub fn words(title: &str, curves: &[Curve<'_>]) -> String {
    let mut out = format!("Soak of {title}.");
    for curve in curves {
        let settled = &curve.read.settled;
        if let (Some(junction), Some(power)) = (&settled.junction, &settled.power) {
            let _ = write!(
                out,
                " {}: settles at {} with {}.",
                capital(curve.name),
                junction.value.rounded(3),
                power.value.rounded(3)
            );
        }
    }
    out
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The picture: a panel for each soak, all on the same scales.
pub fn soak(title: &str, curves: &[Curve<'_>]) -> String {
    let height = TOP + panel_height() * curves.len().max(1) as f64;
    let mut picture = Picture::new(WIDTH, height, &words(title, curves));
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text(
        (24.0, 26.0),
        Anchor::Start,
        "head",
        &format!("Soak of {}", crate::wrap::shortened(title, 80)),
    );
    let hottest: Vec<Vec<(f64, f64)>> = curves.iter().map(|curve| temperatures(curve.log)).collect();
    let celsius = hottest.iter().flatten().map(|point| point.1);
    let (low, high) = celsius
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let watts = curves.iter().flat_map(|curve| powers(curve.log)).map(|point| point.1).fold(1.0, f64::max);
    let seconds = curves.iter().map(|curve| curve.log.length().si()).fold(1.0, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        picture.text((24.0, TOP), Anchor::Start, "note", "The log has no temperature of the processor.");
        return picture.finish();
    }
    let scales = Scales { celsius: (low - 3.0, high + 4.0), watts: 1.08 * watts, seconds };
    for (place, (curve, points)) in curves.iter().zip(&hottest).enumerate() {
        panel(&mut picture, curve, points, &scales, TOP + panel_height() * place as f64);
    }
    picture.finish()
}

struct Scales {
    celsius: (f64, f64),
    watts: f64,
    seconds: f64,
}

fn first_s(log: &SoakLog) -> f64 {
    log.times.first().map_or(0.0, |time| time.si())
}

fn temperatures(log: &SoakLog) -> Vec<(f64, f64)> {
    let from = first_s(log);
    let hottest = log.hottest().unwrap_or_default();
    log.times
        .iter()
        .zip(hottest)
        .filter_map(|(time, value)| Some((time.si() - from, value?.celsius())))
        .filter(|point| point.1.is_finite())
        .collect()
}

fn powers(log: &SoakLog) -> Vec<(f64, f64)> {
    let from = first_s(log);
    let power = log.power().unwrap_or(&[]);
    log.times
        .iter()
        .zip(power)
        .filter_map(|(time, value)| Some((time.si() - from, (*value)?.si())))
        .filter(|point| point.1.is_finite())
        .collect()
}

/// A line through some of the points.
fn line(points: &[(f64, f64)], x: impl Fn(f64) -> f64, y: impl Fn(f64) -> f64) -> String {
    let stride = points.len().div_ceil(MOST_POINTS).max(1);
    let mut out = String::new();
    for (place, point) in points.iter().step_by(stride).enumerate() {
        let sign = if place == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(out, "{sign}{} {}", number(x(point.0)), number(y(point.1)));
    }
    out
}

fn panel(picture: &mut Picture, curve: &Curve<'_>, points: &[(f64, f64)], scales: &Scales, top: f64) {
    let right = WIDTH - RIGHT;
    let x = |seconds: f64| LEFT + seconds / scales.seconds * (right - LEFT);
    let (low, high) = scales.celsius;
    let y = |celsius: f64| top + HIGH - (celsius - low) / (high - low) * HIGH;
    picture.text((LEFT, top - 10.0), Anchor::Start, "head", &format!("{}, °C", capital(curve.name)));
    for mark in axis_marks(low, high, 5) {
        picture.line((LEFT, y(mark)), (right, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    if let Ok(path) = &curve.read.path {
        let from = first_s(curve.log);
        let fitted: Vec<(f64, f64)> =
            path.stations.curve.iter().map(|(at, _, fit)| (at - from, *fit)).collect();
        // Between two runs of power the bins lie far apart: no line is drawn where nothing was fitted.
        let mut from = 0;
        for place in 1..=fitted.len() {
            let apart = |pair: &[(f64, f64)]| (pair[1].1 - pair[0].1).abs() > 0.12 * (high - low);
            if place == fitted.len() || fitted.get(place - 1..=place).is_some_and(apart) {
                picture.path(&line(fitted.get(from..place).unwrap_or(&[]), x, y), "stair");
                from = place;
            }
        }
    }
    picture.path(&line(points, x, y), "curve");
    let power_top = top + HIGH + GAP;
    let power_y = |watts: f64| power_top + POWER - watts / scales.watts * POWER;
    picture.text((LEFT, power_top - 6.0), Anchor::Start, "small", "power, W");
    for mark in axis_marks(0.0, scales.watts, 2) {
        picture.line((LEFT, power_y(mark)), (right, power_y(mark)), "grid");
        picture.text((LEFT - 8.0, power_y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    picture.path(&line(&powers(curve.log), x, power_y), "curve");
    for mark in axis_marks(0.0, scales.seconds / 60.0, 8) {
        picture.text(
            (x(60.0 * mark), power_top + POWER + 16.0),
            Anchor::Middle,
            "small",
            &significant(mark, 3),
        );
    }
    picture.text((right + 10.0, power_top + POWER + 16.0), Anchor::Start, "small", "minutes");
    side(picture, curve, (right + 10.0, top + 8.0));
    loads(picture, curve, &x, top);
}

/// What the lines are, and where they settle.
fn side(picture: &mut Picture, curve: &Curve<'_>, (x, y): (f64, f64)) {
    picture.line((x, y), (x + 22.0, y), "curve");
    picture.text((x + 28.0, y + 4.0), Anchor::Start, "small", "measured");
    if curve.read.path.is_ok() {
        picture.line((x, y + 18.0), (x + 22.0, y + 18.0), "stair");
        picture.text((x + 28.0, y + 22.0), Anchor::Start, "small", "heat path found");
    }
    let settled = &curve.read.settled;
    let mut at = y + 48.0;
    let mut add = |words: String| {
        picture.text((x, at), Anchor::Start, "small", &words);
        at += 15.0;
    };
    if let Some(junction) = &settled.junction {
        add(format!("settles at {}", junction.value.rounded(3)));
    }
    if let Some(power) = &settled.power {
        add(format!("with {}", power.value.rounded(3)));
    }
    if let Some(clock) = &settled.clock {
        add(format!("at {}", clock.value.rounded(3)));
    }
}

/// Room that the heading takes.
const HEADING: f64 = 76.0;

/// Names of the loads over their stretches, where there is room for them.
fn loads(picture: &mut Picture, curve: &Curve<'_>, x: &impl Fn(f64) -> f64, top: f64) {
    let from = first_s(curve.log);
    let at = |row: usize| curve.log.times.get(row).map_or(0.0, |time| time.si() - from);
    for stretch in &curve.read.stretches {
        let Some(name) = &stretch.load else { continue };
        let (left, right) = (x(at(stretch.rows.start)), x(at(stretch.rows.end.saturating_sub(1))));
        picture.line((left, top + 2.0), (right, top + 2.0), "lead");
        // Above the line, for a curve may come close below it; clear of the heading.
        let (middle, wide) = (0.5 * (left + right), 7.0 * name.chars().count() as f64);
        if right - left > wide && middle - 0.5 * wide > LEFT + HEADING {
            picture.text((middle, top - 3.0), Anchor::Middle, "note", name);
        }
    }
}
