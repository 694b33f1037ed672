//! The heat path as terminal text.

use quantity::interval::Interval;
use upgrade::carry::burst::BurstLength;
use upgrade::carry::heat_path::{HeatPath, Lifted};
use upgrade::carry::runaway::Edge;

use crate::paint::{Paint, Role};
use crate::plan_text::point_phrase;
use crate::table::{Side, Table};
use crate::wrap::wrap;

fn share(share: Option<(f64, f64)>) -> String {
    share.map_or_else(
        || "unknown".to_owned(),
        |(a, b)| format!("{:.0}..{:.0} %", 100.0 * a.min(b), 100.0 * a.max(b)),
    )
}

fn unknown(text: Option<String>) -> String {
    text.unwrap_or_else(|| "unknown".to_owned())
}

/// A limit lifted, in words.
fn lifted_sentence(lifted: &Lifted) -> String {
    let gained = Interval::between(lifted.gained.0, lifted.gained.1);
    if lifted.gained.0.si().max(lifted.gained.1.si()) < 1e6 {
        return format!("Without {} nothing would be gained.", lifted.limit.word());
    }
    format!("Without {} the clock would be higher by {}.", lifted.limit.word(), gained.rounded(2))
}

/// How near the heat is to running away.
fn edge_sentences(edge: &Edge) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(gain) = edge.loop_gain {
        out.push(format!(
            "Of each kelvin {:.0} % comes back through the leakage it makes, at the hot end; at 100 % the heat would run away.",
            100.0 * gain
        ));
    }
    if let Some(runaway) = edge.runaway {
        let from = runaway.settles_up_to.map_or_else(
            || "at every clock".to_owned(),
            |clock| format!("above {}", Interval::exact(clock).rounded(3)),
        );
        out.push(format!(
            "At the hot end its heat would run away {from}: each kelvin makes more leakage than the path takes away, so that only its limits stop it. A path below {} or air below {} would carry its highest clock.",
            Interval::exact(runaway.resistance).rounded(2),
            Interval::exact(runaway.air).rounded(3),
        ));
    }
    if let Some(clock) = edge.too_hot_at {
        out.push(format!(
            "At the hot end even {} passes the junction limit: such a machine switches itself off under load. Do not load it.",
            Interval::exact(clock).rounded(2)
        ));
    }
    out
}

/// The sentences below the staircase.
pub fn sentences(path: &HeatPath) -> Vec<String> {
    let mut out = vec![format!("It holds {}.", point_phrase(&path.point))];
    out.extend(path.lifted.iter().map(lifted_sentence));
    out.extend(path.edge.iter().flat_map(edge_sentences));
    match path.burst {
        Some(BurstLength::Ever) => out.push("Its burst power never brings the junction to its limit.".to_owned()),
        Some(BurstLength::AtLeast(seconds)) => out.push(format!(
            "From rest its burst power lasts at least {} before the junction is at its limit, perhaps for ever.",
            Interval::exact(seconds).rounded(2)
        )),
        Some(BurstLength::Seconds(seconds)) => out.push(format!(
            "From rest its burst power brings the junction to its limit within {}.",
            seconds.rounded(2)
        )),
        None => {}
    }
    if let Some(rise) = path.case_rise_by_flow.get() {
        out.push(format!(
            "By the case's fans and the heat in it the air leaves the case warmer by {}.",
            rise.rounded(2)
        ));
    }
    out
}

/// The steps from the die to the room.
pub fn steps(path: &HeatPath) -> Table {
    let mut table = Table::new(&[
        ("from the die outwards", Side::Left),
        ("takes", Side::Right),
        ("resistance", Side::Right),
        ("share", Side::Right),
        ("less by", Side::Left),
    ]);
    for step in &path.steps {
        table.row([
            step.name.to_owned(),
            unknown(step.rise.known().map(|rise| rise.rounded(2))),
            step.resistance.map_or_else(|| "-".to_owned(), |r| unknown(r.known().map(|r| r.rounded(2)))),
            share(step.share),
            step.cure.to_owned(),
        ]);
    }
    table
}

/// Junction and clock in rooms of other temperatures.
pub fn rooms(path: &HeatPath) -> Table {
    let mut rooms = Table::new(&[("room", Side::Right), ("junction", Side::Right), ("clock", Side::Right)]);
    for at in &path.rooms {
        rooms.row([
            Interval::exact(at.room).rounded(2),
            unknown(at.junction.known().map(|t| t.rounded(3))),
            unknown(at.clock.known().map(|f| f.rounded(3))),
        ]);
    }
    rooms
}

/// Noise, junction and clock at other speeds of the fan.
pub fn speeds(path: &HeatPath) -> Table {
    let mut speeds = Table::new(&[
        ("fan", Side::Right),
        ("noise", Side::Right),
        ("junction", Side::Right),
        ("clock", Side::Right),
    ]);
    for at in &path.speeds {
        speeds.row([
            format!("{:.0} %", 100.0 * at.share),
            unknown(at.noise.known().map(|noise| noise.rounded(2))),
            unknown(at.junction.known().map(|t| t.rounded(3))),
            unknown(at.clock.known().map(|f| f.rounded(3))),
        ]);
    }
    speeds
}

/// The heat path.
pub fn heat(path: &HeatPath, width: usize, paint: Paint) -> String {
    let mut out = format!("{}\n\n", paint.text(Role::Heading, &path.title));
    out.push_str(&steps(path).render(width));
    out.push('\n');
    for sentence in sentences(path) {
        out.push_str(&wrap(&sentence, width, 2).join("\n"));
        out.push('\n');
    }
    for table in [rooms(path), speeds(path)] {
        if !table.is_empty() {
            out.push('\n');
            out.push_str(&table.render(width));
        }
    }
    out.push('\n');
    out.push_str(&wrap(&format!("Settles most: {}", path.settle), width, 2).join("\n"));
    out.push('\n');
    out
}
