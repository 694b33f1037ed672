//! Pressed paste as a picture: each pattern as a map of thickness with the die's outline, and below it how the
//! coverage grows.

use upgrade::carry::paste_press::PasteJob;
use upgrade::carry::paste_setup::Pressed;

use crate::svg::{Anchor, Picture, axis_marks, number, runs};

const WIDTH: f64 = 760.0;
const MAP: f64 = 200.0;
const GAP: f64 = 40.0;
const LEFT: f64 = 30.0;
const TOP: f64 = 56.0;
const CURVE: f64 = 120.0;
/// Classes of thickness that the picture tells apart, thin first.
const CLASSES: usize = 5;
/// Longest side of a map in squares: more are not seen.
const SQUARES: usize = 64;

/// The picture.
pub fn paste(job: &PasteJob) -> String {
    let title = format!("{}: paste pressed in every pattern", job.title);
    let columns = 3;
    let rows = job.patterns.len().div_ceil(columns);
    let aspect = job.patterns.first().map_or(1.0, |pressed| pressed.film.size_m.1 / pressed.film.size_m.0);
    let tall = MAP * aspect;
    let block = tall + 62.0;
    let curve_top = TOP + block * rows as f64 + 40.0;
    let height = curve_top + CURVE + 56.0;
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((24.0, 26.0), Anchor::Start, "head", &crate::wrap::shortened(&job.title, 86));
    let thickest = thickest(job);
    for (place, pressed) in job.patterns.iter().enumerate() {
        let x = LEFT + (MAP + GAP) * (place % columns) as f64;
        let y = TOP + block * (place / columns) as f64;
        map(&mut picture, pressed, job, (x, y), (MAP, tall), thickest);
        let name = format!("{}{}", pressed.pattern.name(), if place == 0 { ", best here" } else { "" });
        picture.text((x, y + tall + 16.0), Anchor::Start, "head", &name);
        picture.text((x, y + tall + 31.0), Anchor::Start, "small", &pressed.to_see.to_string());
        let joint = pressed.resistance.known().map_or_else(|| "joint unknown".to_owned(), |r| r.rounded(2));
        let words = format!(
            "lid {:.0} %, die {:.0} %, {joint}",
            100.0 * pressed.film.coverage,
            100.0 * pressed.over_die
        );
        picture.text((x, y + tall + 45.0), Anchor::Start, "note", &words);
    }
    let note = format!(
        "Darker is thicker, up to {:.0} um; crosses mark shut-in air; the outline is the largest die.",
        thickest * 1e6
    );
    picture.text((24.0, curve_top - 28.0), Anchor::Start, "note", &note);
    curves(&mut picture, job, curve_top);
    picture.finish()
}

/// Thickness that counts as darkest: the largest of any pattern but for rims.
fn thickest(job: &PasteJob) -> f64 {
    let mut all: Vec<f64> = job
        .patterns
        .iter()
        .flat_map(|pressed| pressed.film.thickness_m.iter().zip(&pressed.film.fill))
        .filter(|(_, fill)| **fill >= 0.9)
        .map(|(thick, _)| *thick)
        .collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() * 98 / 100).copied().unwrap_or(1e-4).max(1e-6)
}

/// Class of a place: none bare, else thin to thick.
fn class(fill: f64, thick: f64, thickest: f64) -> Option<usize> {
    (fill >= 0.5).then(|| ((thick / thickest * CLASSES as f64) as usize).min(CLASSES - 1))
}

fn map(
    picture: &mut Picture,
    pressed: &Pressed,
    job: &PasteJob,
    corner: (f64, f64),
    size: (f64, f64),
    thickest: f64,
) {
    let film = &pressed.film;
    let (nx, ny) = film.cells;
    let (columns, rows) = (nx.min(SQUARES), ny.min(SQUARES));
    picture.rectangle(corner, size, "bare");
    let class_at = |column: usize, row: usize| {
        let k = (row * ny / rows).min(ny - 1) * nx + (column * nx / columns).min(nx - 1);
        class(film.fill[k], film.thickness_m[k], thickest)
    };
    for (class, name) in ["film1", "film2", "film3", "film4", "film5"].into_iter().enumerate() {
        let data = runs((columns, rows), corner, size, |column, row| class_at(column, row) == Some(class));
        picture.path(&data, name);
    }
    let scale = (size.0 / film.size_m.0, size.1 / film.size_m.1);
    for pocket in film.pockets.iter().take(12) {
        let centre = (
            corner.0 + size.0 / 2.0 + pocket.at_m.0 * scale.0,
            corner.1 + size.1 / 2.0 - pocket.at_m.1 * scale.1,
        );
        let cross = format!("M{} {}l6 6m0 -6l-6 6", number(centre.0 - 3.0), number(centre.1 - 3.0));
        picture.path(&cross, "axis");
    }
    let die = &job.die;
    let left = corner.0 + size.0 / 2.0 + (die.centre_m.0 - die.half_m.0) * scale.0;
    let top = corner.1 + size.1 / 2.0 - (die.centre_m.1 + die.half_m.1) * scale.1;
    picture.rectangle((left, top), (2.0 * die.half_m.0 * scale.0, 2.0 * die.half_m.1 * scale.1), "axis");
    picture.rectangle(corner, size, "axis");
}

/// The points of a curve that an eye can tell apart: each at least a unit from the one before. A long pressing has
/// thousands of moments, most of them at one place of the picture.
fn seen_apart(points: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for point in points {
        let is_apart = kept.last().is_none_or(|last| (point.0 - last.0).hypot(point.1 - last.1) >= 1.0);
        if is_apart {
            kept.push(point);
        }
    }
    kept
}

/// Coverage against time, time in logarithms, a line for each pattern with its name at the end.
fn curves(picture: &mut Picture, job: &PasteJob, top: f64) {
    let (left, right) = (60.0, WIDTH - 150.0);
    let times =
        job.patterns.iter().flat_map(|pressed| pressed.film.history.iter()).map(|moment| moment.time_s);
    let last = times.clone().fold(1.0, f64::max);
    let first = 0.01_f64.min(last / 100.0);
    let x = |time: f64| left + (time.max(first) / first).log10() / (last / first).log10() * (right - left);
    let y = |coverage: f64| top + CURVE - coverage * CURVE;
    picture.text((left, top - 8.0), Anchor::Start, "head", "Share of the lid covered, against time");
    for mark in axis_marks(0.0, 1.0, 4) {
        picture.line((left, y(mark)), (right, y(mark)), "grid");
        picture.text((left - 8.0, y(mark) + 4.0), Anchor::End, "small", &format!("{:.0} %", 100.0 * mark));
    }
    let mut mark = first;
    while mark <= last * 1.001 {
        picture.text((x(mark), top + CURVE + 16.0), Anchor::Middle, "small", &format!("{mark}"));
        mark *= 10.0;
    }
    picture.text((right + 12.0, top + CURVE + 16.0), Anchor::Start, "small", "seconds");
    let mut ends: Vec<f64> = Vec::new();
    for pressed in &job.patterns {
        let mut line = String::new();
        let points = pressed.film.history.iter().map(|moment| (x(moment.time_s), y(moment.coverage)));
        for (place, (px, py)) in seen_apart(points).into_iter().enumerate() {
            let command = if place == 0 { "M" } else { "L" };
            line.push_str(&format!("{command}{} {}", number(px), number(py)));
        }
        let end = y(pressed.film.coverage);
        line.push_str(&format!("H{}", number(right)));
        picture.path(&line, "curve");
        // Names that would run into each other step down.
        let mut at = end;
        while ends.iter().any(|other| (other - at).abs() < 12.0) {
            at += 12.0;
        }
        ends.push(at);
        picture.text((right + 12.0, at + 4.0), Anchor::Start, "small", pressed.pattern.name());
    }
}

#[cfg(test)]
mod tests {
    use super::seen_apart;

    #[test]
    fn a_curve_keeps_its_shape_with_few_points() {
        let all: Vec<(f64, f64)> =
            (0..6000).map(|k| f64::from(k) / 20.0).map(|x| (x, 100.0 * (x / 40.0).sin())).collect();
        let kept = seen_apart(all.iter().copied());
        assert!(kept.len() < 1000, "{}", kept.len());
        for point in &all {
            let nearest =
                kept.iter().map(|one| (one.0 - point.0).hypot(one.1 - point.1)).fold(f64::MAX, f64::min);
            assert!(nearest <= 1.0, "{point:?} is {nearest} from the curve");
        }
    }
}
