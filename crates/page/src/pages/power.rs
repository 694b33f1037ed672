//! The power path of a machine with changes.

use draw::power_text::{closing, flows, gauges, sentences};
use maud::html;
use upgrade::carry::power_path::power_path;
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, frame, paragraphs, picture};
use crate::pages::changes::choose;

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let path =
        power_path(&Proposal { now: &bench.machine, changes: bench.changes(&with)?, library: bench.parts() });
    let body = html! {
        h1 { "Power path: " (path.title) }
        (choose(&bench, ask, "/power"))
        p.lead { (closing(&path).1) }
        (picture(&draw::power_picture::power(&path), "Power from the wall to the processor, with losses"))
        h2 { "Limits" }
        // The picture has the bars.
        (gauges(&path.gauges, 0).html())
        h2 { "What that means" }
        (paragraphs(&sentences(&path)))
        p { b { "Narrows the stages most: " } (path.settle_stages) }
        p { b { "Settles the supply: " } (path.settle_supply) }
        h2 { "Where the power goes" }
        (flows(&path).html())
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/power", &with);
    Ok(Answer::Page(frame("Power path", place, &body)))
}
