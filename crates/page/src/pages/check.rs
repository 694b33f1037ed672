//! Every finding about a machine with changes, each unfolding to its readings.

use draw::findings_html::{findings, verdict};
use maud::html;
use upgrade::fit::rule::{judge, overall};
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, button, frame};
use crate::pages::changes::choose;

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let changes = bench.changes(&with)?;
    let list = judge(&Proposal { now: &bench.machine, changes, library: bench.parts() });
    let body = html! {
        h1 { "Findings: " (changes.title()) }
        (choose(&bench, ask, "/check"))
        p { "On the whole: " (verdict(overall(&list))) }
        @if changes.any() {
            (button(app, &format!("/machines/{}/jobs", bench.kept.id), "Make the job sheet", &[("parts", &with.join(" "))]))
        }
        (findings(&list))
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/check", &with);
    Ok(Answer::Page(frame("Findings", place, &body)))
}
