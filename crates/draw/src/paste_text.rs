//! Pressed paste as terminal text.

use physics::paste::film::PressOutcome;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use upgrade::carry::paste_press::PasteJob;
use upgrade::carry::paste_setup::Pressed;

use crate::paint::{Paint, Role};
use crate::table::{Side, Table};
use crate::wrap::wrap;

/// A length in micrometres.
fn micrometres(metres: f64) -> String {
    format!("{:.0} um", metres * 1e6)
}

/// Time after which nothing more moves that matters: the coverage is within a hundredth of its end.
pub fn settled_s(film: &PressOutcome) -> f64 {
    let end = film.coverage;
    film.history
        .iter()
        .find(|moment| moment.coverage >= end - 0.01)
        .map_or(film.time_s, |moment| moment.time_s)
}

/// The film as a map of marks, as wide as tall on a terminal: `#` filled, `+` partly, `.` bare; the die in
/// capitals `D` where it is covered and `!` where it is bare.
pub fn map(pressed: &Pressed, job: &PasteJob, columns: usize) -> String {
    let film = &pressed.film;
    let (nx, ny) = film.cells;
    // A character is about twice as tall as it is wide.
    let rows = ((columns as f64) * film.size_m.1 / film.size_m.0 / 2.0).round().max(2.0) as usize;
    let mut out = String::new();
    for row in (0..rows).rev() {
        out.push_str("    ");
        for column in 0..columns {
            let x = ((column as f64 + 0.5) / columns as f64 * nx as f64) as usize;
            let y = ((row as f64 + 0.5) / rows as f64 * ny as f64) as usize;
            let fill = film.fill[y.min(ny - 1) * nx + x.min(nx - 1)];
            let px = ((column as f64 + 0.5) / columns as f64 - 0.5) * film.size_m.0 - job.die.centre_m.0;
            let py = ((row as f64 + 0.5) / rows as f64 - 0.5) * film.size_m.1 - job.die.centre_m.1;
            let on_die = px.abs() <= job.die.half_m.0 && py.abs() <= job.die.half_m.1;
            out.push(match (on_die, fill >= 0.9, fill > 0.1) {
                (true, true, _) => 'D',
                (true, false, _) => '!',
                (false, true, _) => '#',
                (false, false, true) => '+',
                (false, false, false) => '.',
            });
        }
        out.push('\n');
    }
    out
}

/// What the headings of [`patterns`] mean.
pub const LEGEND: &str = "Lid and die: share covered. Film: mean thickness over the die. Joint: its resistance over the die. Air: shut in. \
                          Spilt: over the lid's edge.";

/// Each pattern: what to put, what it covers, what the joint then is.
pub fn patterns(job: &PasteJob) -> Table {
    let mut table = Table::new(&[
        ("pattern", Side::Left),
        ("to put", Side::Left),
        ("lid", Side::Right),
        ("die", Side::Right),
        ("film", Side::Right),
        ("joint", Side::Right),
        ("air", Side::Right),
        ("spilt", Side::Right),
        ("spreads in", Side::Right),
    ]);
    for pressed in &job.patterns {
        let film = &pressed.film;
        let air: f64 = film.pockets.iter().map(|pocket| pocket.area_m2).sum();
        table.row([
            pressed.pattern.name().to_owned(),
            pressed.to_see.to_string(),
            format!("{:.0} %", 100.0 * film.coverage),
            format!("{:.0} %", 100.0 * pressed.over_die),
            pressed.thickness_over_die_m.map_or_else(|| "bare".to_owned(), micrometres),
            pressed.resistance.known().map_or_else(|| "unknown".to_owned(), |r| r.rounded(2)),
            if film.pockets.is_empty() { "none".to_owned() } else { format!("{:.1} mm2", air * 1e6) },
            format!("{:.0} mm3", film.overflow_m3 * 1e9),
            Interval::exact(Quantity::<quantity::dimension::DurationDim>::from_si(settled_s(film)))
                .rounded(2),
        ]);
    }
    table
}

/// The pressed patterns, one of them as a map.
pub fn paste(job: &PasteJob, shown: Option<&Pressed>, width: usize, paint: Paint) -> String {
    let mut out = format!("{}\n", paint.text(Role::Heading, &job.title));
    let volume = Interval::exact(job.volume).rounded(2);
    let Some(best) = job.patterns.first() else {
        out.push_str("Stopped before the first pattern was pressed.\n");
        return out;
    };
    out.push_str(
        &wrap(&format!("Put {volume}: {} ({}).", best.to_see, best.pattern.name()), width, 2).join("\n"),
    );
    out.push('\n');
    for assumed in &job.assumed {
        out.push_str(&paint.text(Role::Careful, &wrap(assumed, width, 2).join("\n")));
        out.push('\n');
    }
    out.push('\n');
    out.push_str(&patterns(job).render(width));
    out.push_str(&format!("\n{}\n", wrap(LEGEND, width, 2).join("\n")));
    let shown = shown.unwrap_or(best);
    out.push_str(&format!(
        "\n{} pressed: # paste, D paste over the die, ! bare over the die, . bare\n",
        shown.pattern.name()
    ));
    out.push_str(&map(shown, job, 48.min(width.saturating_sub(8).max(16))));
    out
}
