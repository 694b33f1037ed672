//! How paste spreads, moving: each place appears when paste reaches it, beside the curve of what is covered. Without
//! motion, for whoever wants none and on paper, it shows the end.

use core::fmt::Write as _;
use std::collections::BTreeMap;

use quantity::text::significant;
use upgrade::carry::paste_press::PasteJob;
use upgrade::carry::paste_setup::Pressed;

use crate::svg::{Anchor, Picture, axis_marks, number, runs};
use crate::wrap::shortened;

const WIDTH: f64 = 680.0;
const LEFT: f64 = 24.0;
const TOP: f64 = 58.0;
/// Longer side of the lid.
const SIDE: f64 = 300.0;
/// The curve.
const CURVE: (f64, f64) = (LEFT + SIDE + 70.0, WIDTH - 30.0);
const CURVE_TALL: f64 = 240.0;
/// Seconds of a whole turn, and the share of it for which the end stands.
const TURN_S: f64 = 9.0;
const END_STANDS: f64 = 0.25;

/// First and last frame in which something is seen.
type Span = (usize, usize);

/// The lid on the picture: its size there.
fn lid(pressed: &Pressed) -> (f64, f64) {
    let (length, width) = pressed.film.size_m;
    let scale = SIDE / length.max(width);
    (length * scale, width * scale)
}

/// A place on the curve.
fn on_curve(pressed: &Pressed, time_s: f64, coverage: f64) -> (f64, f64) {
    let last = pressed.film.time_s.max(1.0);
    let first = 0.01_f64.min(last / 100.0);
    let along = (time_s.clamp(first, last) / first).log10() / (last / first).log10();
    (CURVE.0 + along * (CURVE.1 - CURVE.0), TOP + CURVE_TALL * (1.0 - coverage))
}

/// What never moves: lid, die, axes, the whole curve in faint ink, words.
fn stage(pressed: &Pressed, job: &PasteJob) -> Picture {
    let size = lid(pressed);
    let height = TOP + size.1.max(CURVE_TALL) + 56.0;
    let title = format!("{}: how paste put as {} spreads", job.title, pressed.pattern.name());
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((LEFT, 24.0), Anchor::Start, "head", &shortened(&job.title, 74));
    picture.text(
        (LEFT, 42.0),
        Anchor::Start,
        "small",
        &format!("{}: {}", pressed.pattern.name(), pressed.to_see),
    );
    picture.rectangle((LEFT, TOP), size, "bare");
    picture.text((CURVE.0, TOP - 16.0), Anchor::Start, "small", "share of the lid covered");
    for mark in axis_marks(0.0, 1.0, 4) {
        let (_, y) = on_curve(pressed, 1.0, mark);
        picture.line((CURVE.0, y), (CURVE.1, y), "grid");
        picture.text((CURVE.0 - 8.0, y + 4.0), Anchor::End, "small", &format!("{:.0} %", 100.0 * mark));
    }
    let last = pressed.film.time_s.max(1.0);
    let mut mark = 0.01_f64.min(last / 100.0);
    while mark <= last * 1.001 {
        let (x, y) = on_curve(pressed, mark, 0.0);
        picture.text((x, y + 16.0), Anchor::Middle, "small", &significant(mark, 1));
        mark *= 10.0;
    }
    let (x, y) = on_curve(pressed, last, 0.0);
    picture.text((x, y + 32.0), Anchor::End, "small", "seconds after it met the lid");
    let mut line = String::new();
    for (place, moment) in pressed.film.history.iter().enumerate() {
        let (x, y) = on_curve(pressed, moment.time_s, moment.coverage);
        // Writing to a string cannot fail.
        let _ = write!(line, "{}{} {}", if place == 0 { "M" } else { "L" }, number(x), number(y));
    }
    picture.path(&line, "curve");
    picture
}

/// What lies over the paste: the outlines.
fn outlines(picture: &mut Picture, pressed: &Pressed, job: &PasteJob) {
    let size = lid(pressed);
    let scale = size.0 / pressed.film.size_m.0;
    let die = &job.die;
    let left = LEFT + 0.5 * size.0 + (die.centre_m.0 - die.half_m.0) * scale;
    let top = TOP + 0.5 * size.1 - (die.centre_m.1 + die.half_m.1) * scale;
    picture.rectangle((left, top), (2.0 * die.half_m.0 * scale, 2.0 * die.half_m.1 * scale), "axis");
    picture.rectangle((LEFT, TOP), size, "axis");
}

/// The words and the dot of a moment.
fn moment(picture: &mut Picture, pressed: &Pressed, idx: usize) {
    let Some(frame) = pressed.film.frames.get(idx) else { return };
    let at = &frame.moment;
    let words = format!(
        "after {} s: gap {} um, {:.0} % of the lid",
        significant(at.time_s, 2),
        significant(at.gap_m * 1e6, 2),
        100.0 * at.coverage
    );
    picture.text((LEFT, TOP + lid(pressed).1 + 20.0), Anchor::Start, "small", &words);
    picture.circle(on_curve(pressed, at.time_s, at.coverage), 5.0, "pick", &words);
}

/// How many frames there are.
pub fn count(pressed: &Pressed) -> usize {
    pressed.film.frames.len()
}

/// One frame, standing still.
pub fn still(pressed: &Pressed, job: &PasteJob, idx: usize) -> String {
    let mut picture = stage(pressed, job);
    if let Some(frame) = pressed.film.frames.get(idx) {
        let nx = pressed.film.frame_cells.0;
        let is_full = |x: usize, y: usize| frame.fill.get(y * nx + x).is_some_and(|share| *share >= 0.5);
        picture.path(&runs(pressed.film.frame_cells, (LEFT, TOP), lid(pressed), is_full), "film4");
    }
    outlines(&mut picture, pressed, job);
    moment(&mut picture, pressed, idx);
    picture.finish()
}

/// For each cell the first and the last frame of the time for which it is full at the end, or was longest.
fn spans(pressed: &Pressed) -> Vec<Option<Span>> {
    let film = &pressed.film;
    let cells = film.frame_cells.0 * film.frame_cells.1;
    (0..cells)
        .map(|cell| {
            let is_full = |idx: usize| film.frames[idx].fill.get(cell).is_some_and(|share| *share >= 0.5);
            let last = (0..film.frames.len()).rev().find(|idx| is_full(*idx))?;
            let first = (0..=last).rev().take_while(|idx| is_full(*idx)).last()?;
            Some((first, last))
        })
        .collect()
}

/// The film, moving.
pub fn moving(pressed: &Pressed, job: &PasteJob) -> String {
    let frames = count(pressed);
    let mut picture = stage(pressed, job);
    let Some(end) = frames.checked_sub(1) else { return picture.finish() };
    let of_cells = spans(pressed);
    let nx = pressed.film.frame_cells.0;
    let mut all: BTreeMap<Span, ()> = of_cells.iter().flatten().map(|span| (*span, ())).collect();
    all.extend((0..frames).map(|idx| ((idx, idx), ())));
    picture.raw(&style(all.keys().copied(), end));
    for span in all.keys() {
        let is_in = |x: usize, y: usize| of_cells.get(y * nx + x).copied().flatten() == Some(*span);
        let data = runs(pressed.film.frame_cells, (LEFT, TOP), lid(pressed), is_in);
        if !data.is_empty() {
            picture.path(&data, &format!("film4 {}", class(*span)));
        }
    }
    outlines(&mut picture, pressed, job);
    for idx in 0..frames {
        picture.raw(&format!("<g class=\"{}\">", class((idx, idx))));
        moment(&mut picture, pressed, idx);
        picture.raw("</g>");
    }
    picture.finish()
}

fn class((first, last): Span) -> String {
    format!("m{first}-{last}")
}

/// The rules of each span: hidden but while it is seen; what is there at the end stands where nothing moves.
fn style(spans: impl Iterator<Item = Span>, end: usize) -> String {
    let share = |idx: usize| 100.0 * (1.0 - END_STANDS) * idx as f64 / end.max(1) as f64;
    let (mut rules, mut still) = (String::new(), String::new());
    for span in spans {
        let name = class(span);
        if span.1 < end {
            let _ = write!(still, ".{name}{{visibility:hidden}}");
        }
        let _ = write!(rules, "@keyframes {name}{{0%{{visibility:hidden}}");
        let _ = write!(rules, "{}%{{visibility:visible}}", number(share(span.0)));
        if span.1 < end {
            let _ = write!(rules, "{}%{{visibility:hidden}}", number(share(span.1 + 1)));
        }
        let _ = write!(
            rules,
            "}}@media screen and (prefers-reduced-motion:no-preference){{.{name}{{animation:{name} {TURN_S}s step-end infinite}}}}"
        );
    }
    format!("<style>{still}{rules}</style>")
}
