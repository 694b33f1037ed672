//! How paste spreads, as a strip of moments side by side: it reads on paper and without motion.

use upgrade::carry::paste_press::PasteJob;
use upgrade::carry::paste_setup::Pressed;

use crate::svg::{Anchor, Picture, runs};

const SIDE: f64 = 130.0;
const GAP: f64 = 14.0;
const LEFT: f64 = 16.0;
const TOP: f64 = 20.0;
/// Moments in a strip, and in a row of it.
const MOMENTS: usize = 10;
const IN_A_ROW: usize = 5;

/// The strip of one pattern.
pub fn strip(pressed: &Pressed, job: &PasteJob) -> String {
    let film = &pressed.film;
    let count = film.frames.len().min(MOMENTS);
    let tall = SIDE * film.size_m.1 / film.size_m.0;
    let rows = count.div_ceil(IN_A_ROW);
    let (width, height) =
        (2.0 * LEFT + IN_A_ROW as f64 * (SIDE + GAP) - GAP, TOP + rows as f64 * (tall + 40.0));
    let mut picture = Picture::new(width, height, &format!("{}: how it spreads", pressed.pattern.name()));
    picture.rectangle((0.0, 0.0), (width, height), "paper");
    for place in 0..count {
        // The first and the last, and evenly between.
        let at = place * (film.frames.len() - 1) / (count - 1).max(1);
        let Some(frame) = film.frames.get(at) else { continue };
        let corner = (
            LEFT + (SIDE + GAP) * (place % IN_A_ROW) as f64,
            TOP + (tall + 40.0) * (place / IN_A_ROW) as f64,
        );
        picture.rectangle(corner, (SIDE, tall), "bare");
        let nx = film.frame_cells.0;
        let is_full = |x: usize, y: usize| frame.fill.get(y * nx + x).is_some_and(|share| *share >= 0.5);
        picture.path(&runs(film.frame_cells, corner, (SIDE, tall), is_full), "film4");
        let die = &job.die;
        let scale = SIDE / film.size_m.0;
        let left = corner.0 + 0.5 * SIDE + (die.centre_m.0 - die.half_m.0) * scale;
        let top = corner.1 + 0.5 * tall - (die.centre_m.1 + die.half_m.1) * scale;
        picture.rectangle((left, top), (2.0 * die.half_m.0 * scale, 2.0 * die.half_m.1 * scale), "axis");
        picture.rectangle(corner, (SIDE, tall), "axis");
        let moment = &frame.moment;
        let words = format!(
            "{} s, gap {:.0} um, {:.0} %",
            quantity::text::significant(moment.time_s, 2),
            moment.gap_m * 1e6,
            100.0 * moment.coverage
        );
        picture.text((corner.0, corner.1 + tall + 14.0), Anchor::Start, "small", &words);
    }
    picture.finish()
}
