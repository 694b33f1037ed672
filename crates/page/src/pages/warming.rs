//! How a machine with changes warms after load comes on.

use core::ops::ControlFlow;

use draw::warming_text::{sentences, table};
use maud::html;
use upgrade::carry::heat_path::heat_path;
use upgrade::carry::warming::curve;
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, with_query};
use crate::frame::{Place, paragraphs, picture};
use crate::pages::progress::{self, About};

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let (id, name) = (bench.kept.id.clone(), bench.kept.name.clone());
    let title = bench.changes(&with)?.title();
    let above = html! {
        h1 { "Warming: " (name) ": " (title) }
        p { a href={ "/machines/" (id) "/heat" (with_query(&with)) } { "Back to the heat path" } }
    };
    let back = format!("/machines/{id}/heat{}", with_query(&with));
    let place = Place::Machine(&id, &name, "/heat", &with);
    let known_as = format!("{} {}", ask.path, bench.state());
    let parts = with.clone();
    let stands = app.curves.look(&known_as, move |work| {
        let changes = bench.changes(&parts).map_err(|wrong| wrong.to_string())?;
        let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        curve(&proposal, &heat_path(&proposal), threads, &mut |done| {
            if work.go_on(done) { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })
        .map_err(|error| error.to_string())
    });
    let about = About { title: "Warming", place, above: &above, back: &back, known_as: &known_as };
    Ok(progress::show(app, ask, &about, &stands, |curve| {
        html! {
            (picture(&draw::warming_picture::warming(curve), "Junction against time after load comes on"))
            (paragraphs(&sentences(curve)))
            (table(curve).html())
        }
    }))
}
