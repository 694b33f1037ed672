//! The heat path of a machine with changes.

use draw::heat_text::{rooms, sentences, speeds, steps};
use maud::html;
use upgrade::carry::heat_path::heat_path;
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, with_query};
use crate::frame::{Place, frame, paragraphs, two_pictures};
use crate::pages::changes::choose;

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
    let warming = format!("/machines/{}/warming{}", bench.kept.id, with_query(&with));
    let body = html! {
        h1 { "Heat path: " (path.title) }
        (choose(&bench, ask, "/heat"))
        (two_pictures(&draw::heat_picture::heat(&path), &draw::heat_narrow_picture::heat(&path), "Temperature staircase from the junction to the room"))
        p {
            a.button href=(lid) { "Map of the lid, solved in three dimensions" } " "
            a.button href=(warming) { "How it warms after load comes on" }
        }
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
