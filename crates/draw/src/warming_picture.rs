//! Warming after load comes on, as a curve: the junction against time in logarithms, with its limit and its band.

use core::fmt::Write as _;

use upgrade::carry::warming::{At, Curve};

use crate::svg::{Anchor, Picture, axis_marks, number};
use crate::warming_text::sentences;
use crate::wrap::{shortened, wrap};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 640.0;
const TOP: f64 = 70.0;
const TALL: f64 = 260.0;

/// Times that the axis names, in seconds.
const MARKS: [(f64, &str); 8] = [
    (0.001, "1 ms"),
    (0.01, "10 ms"),
    (0.1, "0.1 s"),
    (1.0, "1 s"),
    (10.0, "10 s"),
    (60.0, "1 min"),
    (600.0, "10 min"),
    (3600.0, "1 h"),
];

/// The picture.
pub fn warming(curve: &Curve) -> String {
    let words: Vec<String> = sentences(curve).iter().flat_map(|sentence| wrap(sentence, 100, 0)).collect();
    let height = TOP + TALL + 62.0 + 15.0 * words.len() as f64;
    let title = format!("Warming of {}", curve.title);
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((24.0, 26.0), Anchor::Start, "head", &shortened(&title, 84));
    let (Some(first), Some(last)) = (curve.at.first(), curve.at.last()) else { return picture.finish() };
    let limit_c = curve.limit.get().map(|limit| limit.middle().si() - 273.15);
    let all = curve.at.iter().flat_map(|at| {
        let (cool, hot) = at.band_c.unwrap_or((at.sustained_c, at.sustained_c));
        [at.sustained_c, cool, hot]
    });
    let (low, high) = all
        .chain(limit_c)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let (low, high) = (low - 3.0, high + 6.0);
    let decades = (last.time_s / first.time_s).ln();
    let x = |time_s: f64| LEFT + (time_s / first.time_s).ln() / decades * (RIGHT - LEFT);
    let y = |celsius: f64| TOP + TALL - (celsius.min(high) - low) / (high - low) * TALL;
    for mark in axis_marks(low, high, 6) {
        picture.line((LEFT, y(mark)), (RIGHT, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{mark:.0}"));
    }
    picture.text((LEFT - 40.0, TOP - 12.0), Anchor::Start, "small", "junction, °C");
    for (time_s, words) in MARKS.into_iter().filter(|(time_s, _)| *time_s <= last.time_s * 1.001) {
        picture.line((x(time_s), TOP + TALL), (x(time_s), TOP + TALL + 5.0), "lead");
        picture.text((x(time_s), TOP + TALL + 19.0), Anchor::Middle, "small", words);
    }
    picture.text((RIGHT, TOP + TALL + 36.0), Anchor::End, "small", "after load came on");
    band(&mut picture, curve, &x, &y);
    let line = |of: &dyn Fn(&At) -> Option<f64>| {
        let mut data = String::new();
        for at in &curve.at {
            if let Some(celsius) = of(at).filter(|celsius| *celsius <= high) {
                let command = if data.is_empty() { "M" } else { "L" };
                // Writing to a string cannot fail.
                let _ = write!(data, "{command}{} {}", number(x(at.time_s)), number(y(celsius)));
            }
        }
        data
    };
    picture.path(&line(&|at| at.burst_c), "curve");
    picture.path(&line(&|at| Some(at.sustained_c)), "stair");
    let side = RIGHT + 10.0;
    let mut ends = vec![(y(last.sustained_c), format!("at {}", curve.sustained.rounded(2)))];
    if let Some(limit) = limit_c {
        picture.line((LEFT, y(limit)), (RIGHT, y(limit)), "lead");
        ends.push((y(limit), format!("limit {limit:.0} °C")));
    }
    if let (Some(burst), Some(celsius)) = (curve.burst, last.burst_c) {
        ends.push((y(celsius.min(high)), format!("burst, {}", burst.rounded(3))));
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = f64::NEG_INFINITY;
    for (at, words) in ends {
        // Names that would run into each other step down.
        let at = at.max(free);
        free = at + 15.0;
        picture.text((side, at + 4.0), Anchor::Start, "small", &words);
    }
    for (line, words) in words.iter().enumerate() {
        picture.text((24.0, TOP + TALL + 62.0 + 15.0 * line as f64), Anchor::Start, "small", words);
    }
    picture.finish()
}

/// From the cool end to the hot one.
fn band(picture: &mut Picture, curve: &Curve, x: &dyn Fn(f64) -> f64, y: &dyn Fn(f64) -> f64) {
    let ends: Vec<(f64, f64, f64)> =
        curve.at.iter().filter_map(|at| at.band_c.map(|(cool, hot)| (at.time_s, cool, hot))).collect();
    let mut data = String::new();
    let there = ends.iter().map(|(time, cool, _)| (*time, *cool));
    let back = ends.iter().rev().map(|(time, _, hot)| (*time, *hot));
    for (time_s, celsius) in there.chain(back) {
        let command = if data.is_empty() { "M" } else { "L" };
        // Writing to a string cannot fail.
        let _ = write!(data, "{command}{} {}", number(x(time_s)), number(y(celsius)));
    }
    if !data.is_empty() {
        data.push('Z');
        picture.path(&data, "band");
    }
}
