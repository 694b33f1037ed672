//! The structure function: capacitance met over resistance passed, from the junction outwards, with its band; and its
//! slope below it.

use core::fmt::Write as _;

use physics::network::path::HeatPathFound;
use quantity::text::significant;

use crate::svg::{Anchor, Picture, axis_marks, number};

/// One structure function to draw.
#[derive(Debug, Clone, Copy)]
pub struct Structure<'s> {
    /// What it is called: before, after.
    pub name: &'static str,
    /// What was found.
    pub found: &'s HeatPathFound,
    /// Where the stations of this machine end, in K/W from the junction: die and lid, paste, cooler; empty where they
    /// were not found.
    pub ends: &'s [(&'static str, f64)],
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 170.0;
const TOP: f64 = 66.0;
const HIGH: f64 = 250.0;
const SLOPE: f64 = 120.0;
const GAP: f64 = 52.0;

/// What the picture says, for who does not see it.
pub fn words(title: &str, all: &[Structure<'_>]) -> String {
    let mut out = format!(
        "Structure function of {title}: heat stored over resistance passed, from the junction to the air."
    );
    for one in all {
        let (low, high) = one.found.total_band_k_w;
        let _ = write!(
            out,
            " {}: {} K/W in all, {} to {}.",
            one.name,
            significant(one.found.total_k_w, 3),
            significant(low, 3),
            significant(high, 3)
        );
    }
    out
}

/// The picture.
pub fn structure(title: &str, all: &[Structure<'_>]) -> String {
    let height = TOP + HIGH + GAP + SLOPE + 60.0;
    let mut picture = Picture::new(WIDTH, height, &words(title, all));
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    let head = format!("Structure function of {}", crate::wrap::shortened(title, 70));
    picture.text((24.0, 26.0), Anchor::Start, "head", &head);
    let furthest = |one: &Structure<'_>| one.ends.last().map_or(0.0, |(_, to)| *to);
    let most = all
        .iter()
        .map(|one| one.found.total_k_w.max(one.found.total_band_k_w.1).max(furthest(one)))
        .fold(0.01, f64::max);
    let stores = || all.iter().flat_map(|one| one.found.curve.iter().map(|at| at.capacitance_j_k));
    let (low, high) = stores().fold((f64::INFINITY, 0.0_f64), |(low, high), c| (low.min(c), high.max(c)));
    if !(low > 0.0 && low.is_finite()) {
        picture.text((24.0, TOP), Anchor::Start, "note", "The log does not tell its heat path.");
        return picture.finish();
    }
    // Below a thousandth of the whole nothing of a desktop's path is seen by its own sensors.
    let low = low.max(1e-5 * high);
    let (decade_low, decade_high) = (low.log10().floor(), high.log10().ceil().max(low.log10().floor() + 1.0));
    let right = WIDTH - RIGHT;
    let x = |k_w: f64| LEFT + (k_w / (1.04 * most)).clamp(0.0, 1.0) * (right - LEFT);
    let y = |j_k: f64| {
        let share = ((j_k.max(1e-12).log10() - decade_low) / (decade_high - decade_low)).clamp(0.0, 1.0);
        TOP + HIGH - share * HIGH
    };
    picture.text((LEFT, TOP - 12.0), Anchor::Start, "small", "heat stored up to here, J/K");
    let mut decade = decade_low;
    while decade <= decade_high + 0.5 {
        let at = y(10_f64.powf(decade));
        picture.line((LEFT, at), (right, at), "grid");
        picture.text((LEFT - 8.0, at + 4.0), Anchor::End, "small", &significant(10_f64.powf(decade), 1));
        decade += 1.0;
    }
    for mark in axis_marks(0.0, 1.04 * most, 7) {
        picture.line((x(mark), TOP), (x(mark), TOP + HIGH), "grid");
        picture.text((x(mark), TOP + HIGH + 16.0), Anchor::Middle, "small", &significant(mark, 2));
    }
    picture.text((right + 10.0, TOP + HIGH + 16.0), Anchor::Start, "small", "K/W from the junction");
    for (place, one) in all.iter().enumerate() {
        curve(&mut picture, one, &x, &y, class(place, all.len()));
        key(&mut picture, one, (right + 10.0, TOP + 6.0 + 62.0 * place as f64), class(place, all.len()));
    }
    if let Some(last) = all.last() {
        ends(&mut picture, last, &x);
    }
    slopes(&mut picture, all, &x);
    picture.finish()
}

/// The last one is drawn strongest; what came before it is dashed.
const fn class(place: usize, count: usize) -> &'static str {
    if place + 1 == count { "stair" } else { "before" }
}

fn curve(
    picture: &mut Picture,
    one: &Structure<'_>,
    x: &impl Fn(f64) -> f64,
    y: &impl Fn(f64) -> f64,
    class: &str,
) {
    // What is faster than the first row is not known: curve and band begin where it is.
    let too_fast_k_w = one.found.too_fast_k_w;
    let points: Vec<_> = one.found.curve.iter().filter(|at| at.resistance_k_w >= too_fast_k_w).collect();
    if class == "stair" && !points.is_empty() {
        let mut band = String::new();
        for (place, at) in points.iter().enumerate() {
            let sign = if place == 0 { 'M' } else { 'L' };
            let _ = write!(
                band,
                "{sign}{} {}",
                number(x(at.band_k_w.0.max(too_fast_k_w))),
                number(y(at.capacitance_j_k))
            );
        }
        for at in points.iter().rev() {
            let _ = write!(band, "L{} {}", number(x(at.band_k_w.1)), number(y(at.capacitance_j_k)));
        }
        band.push('Z');
        picture.path(&band, "band");
    }
    let mut line = String::new();
    for (place, at) in points.iter().enumerate() {
        let sign = if place == 0 { 'M' } else { 'L' };
        let _ = write!(line, "{sign}{} {}", number(x(at.resistance_k_w)), number(y(at.capacitance_j_k)));
    }
    picture.path(&line, class);
    if class == "stair" && too_fast_k_w > 0.0 {
        let to = x(too_fast_k_w);
        picture.rectangle((x(0.0), TOP), (to - x(0.0), HIGH), "bare");
        if to - x(0.0) > 70.0 {
            picture.text((0.5 * (x(0.0) + to), TOP + 14.0), Anchor::Middle, "note", "too fast to see");
        }
    }
}

fn key(picture: &mut Picture, one: &Structure<'_>, (x, y): (f64, f64), class: &str) {
    picture.line((x, y), (x + 22.0, y), class);
    picture.text((x + 28.0, y + 4.0), Anchor::Start, "small", one.name);
    let (low, high) = one.found.total_band_k_w;
    picture.text(
        (x, y + 19.0),
        Anchor::Start,
        "small",
        &format!("{} K/W in all", significant(one.found.total_k_w, 3)),
    );
    let band = format!("{} to {}", significant(low, 3), significant(high, 3));
    picture.text((x, y + 33.0), Anchor::Start, "note", &band);
}

/// Where this machine's stations end: a line each, its name in the picture where there is room, and all of them beside it.
fn ends(picture: &mut Picture, one: &Structure<'_>, x: &impl Fn(f64) -> f64) {
    let mut from = 0.0;
    let side = WIDTH - RIGHT + 10.0;
    let mut at = TOP + HIGH - 18.0 * one.ends.len() as f64;
    if !one.ends.is_empty() {
        picture.text((side, at - 16.0), Anchor::Start, "small", "of this machine, to");
    }
    for (name, to) in one.ends {
        picture.line((x(*to), TOP), (x(*to), TOP + HIGH), "lead");
        if x(*to) - x(from) > 6.5 * name.chars().count() as f64 {
            picture.text((0.5 * (x(from) + x(*to)), TOP + HIGH - 12.0), Anchor::Middle, "small", name);
        }
        picture.text((side, at), Anchor::Start, "note", &format!("{} K/W {name}", significant(*to, 3)));
        at += 16.0;
        from = *to;
    }
}

/// Capacitance over resistance, layer by layer, on a scale of powers of ten.
fn slopes(picture: &mut Picture, all: &[Structure<'_>], x: &impl Fn(f64) -> f64) {
    let top = TOP + HIGH + GAP;
    picture.text(
        (LEFT, top - 10.0),
        Anchor::Start,
        "small",
        "its slope, W s/K²: peaks are metal, valleys are joints",
    );
    let found: Vec<Vec<(f64, f64)>> = all.iter().map(|one| one.found.differential()).collect();
    let values = || found.iter().flatten().map(|at| at.1).filter(|slope| *slope > 0.0);
    let high = values().fold(1.0, f64::max).log10().ceil();
    let low = (values().fold(f64::INFINITY, f64::min).log10().floor()).max(high - 6.0);
    let y = |slope: f64| {
        top + SLOPE - ((slope.max(1e-30).log10() - low) / (high - low).max(1.0)).clamp(0.0, 1.0) * SLOPE
    };
    for mark in axis_marks(low, high, 3).into_iter().filter(|mark| mark.fract() == 0.0) {
        picture.line((LEFT, y(10_f64.powf(mark))), (WIDTH - RIGHT, y(10_f64.powf(mark))), "grid");
        picture.text((LEFT - 8.0, y(10_f64.powf(mark)) + 4.0), Anchor::End, "small", &format!("1e{mark:.0}"));
    }
    for (place, (one, layers)) in all.iter().zip(&found).enumerate() {
        let mut line = String::new();
        for (at, (from, slope)) in layers.iter().enumerate() {
            let to = layers.get(at + 1).map_or(one.found.total_k_w, |next| next.0);
            let from = from.max(one.found.too_fast_k_w);
            if to <= from {
                continue;
            }
            let sign = if line.is_empty() { 'M' } else { 'L' };
            let level = number(y(*slope));
            let _ = write!(line, "{sign}{} {level}L{} {level}", number(x(from)), number(x(to)));
        }
        picture.path(&line, class(place, all.len()));
    }
}
