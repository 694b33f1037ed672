//! The heat path of a machine with changes, and the map of its lid.

use core::ops::ControlFlow;

use draw::heat_text::{rooms, sentences, speeds, steps};
use maud::html;
use physics::conduction::grid::Resolution;
use quantity::text::significant;
use upgrade::carry::heat_map::heat_map;
use upgrade::carry::heat_path::heat_path;
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, with_query};
use crate::frame::{Place, frame, paragraphs, picture};
use crate::pages::changes::choose;
use crate::pages::progress::{self, About};

/// Cells of the lid's map.
const LID_CELLS: Resolution = Resolution { x: 96, y: 96, z: 20 };
/// Residual at which the solver ends, and the one it begins from, in powers of ten.
const DECADES: f64 = 8.0;

/// A solved lid as its page shows it.
#[derive(Debug)]
pub struct Lid {
    svg: String,
    solver_k_w: f64,
    closed_form_k_w: f64,
}

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let path =
        heat_path(&Proposal { now: &bench.machine, changes: bench.changes(&with)?, library: bench.parts() });
    let lid = format!("/machines/{}/lid{}", bench.kept.id, with_query(&with));
    let body = html! {
        h1 { "Heat path: " (path.title) }
        (choose(&bench, ask, "/heat"))
        (picture(&draw::heat_picture::heat(&path), "Temperature staircase from the junction to the room"))
        p { a.button href=(lid) { "Map of the lid, solved in three dimensions" } }
        h2 { "Step by step" }
        (steps(&path).html())
        (paragraphs(&sentences(&path)))
        p { b { "Settles most: " } (path.settle) }
        @if !path.rooms.is_empty() { h2 { "In other rooms" } (rooms(&path).html()) }
        @if !path.speeds.is_empty() { h2 { "At other speeds of the fan" } (speeds(&path).html()) }
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/heat", &with);
    Ok(Answer::Page(frame("Heat path", place, &body)))
}

/// The map of the lid.
///
/// # Errors
/// No such machine, or no such part.
pub fn lid(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let (id, name) = (bench.kept.id.clone(), bench.kept.name.clone());
    let title =
        heat_path(&Proposal { now: &bench.machine, changes: bench.changes(&with)?, library: bench.parts() })
            .title;
    let above = html! {
        h1 { "Lid: " (title) }
        p { a href={ "/machines/" (id) "/heat" (with_query(&with)) } { "Back to the heat path" } }
    };
    let back = format!("/machines/{id}/heat{}", with_query(&with));
    let place = Place::Machine(&id, &name, "/heat", &with);
    let parts = with.clone();
    let known_as = format!("{} {}", ask.path, bench.kept.revision);
    let stands = app.lids.look(&known_as, move |work| {
        let changes = bench.changes(&parts).map_err(|wrong| wrong.to_string())?;
        let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let map = heat_map(&proposal, LID_CELLS, threads, &mut |residual| {
            // The residual falls by about the same factor each round.
            let done = -residual.max(1e-300).log10() / DECADES;
            if work.go_on(done) { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })
        .map_err(|error| error.to_string())?;
        let path = heat_path(&proposal);
        let power = path.point.power.or(proposal.processor().sustained_power);
        Ok(Lid {
            svg: draw::heat_map_picture::lid(&map, &path.title, &power),
            solver_k_w: map.solver_k_w,
            closed_form_k_w: map.closed_form_k_w,
        })
    });
    let about = About { title: "Lid", place, above: &above, back: &back, known_as: &known_as };
    Ok(progress::show(app, ask, &about, &stands, |lid| {
        html! {
            (picture(&lid.svg, "Lid as a heat map"))
            p { "From the cores to the cooler's base the solver comes to "
                b { (significant(lid.solver_k_w, 3)) " K/W" } ", the closed form of the search to "
                b { (significant(lid.closed_form_k_w, 3)) " K/W" } "." }
        }
    }))
}
