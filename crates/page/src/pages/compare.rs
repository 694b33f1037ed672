//! Two or three routes side by side.

use draw::findings_html::{finding, verdict};
use maud::html;
use upgrade::route::named::named;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, button, frame};
use crate::pages::routes::facts;

/// Most routes that stand side by side.
const MOST: usize = 3;

/// The page.
///
/// # Errors
/// No such machine, or a part that is none.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let mut routes = Vec::new();
    // The one that changes nothing has no parts: its value is empty.
    let wanted: Vec<&str> = ask.query.every("route");
    for parts in wanted.iter().take(MOST) {
        let ids: Vec<String> = parts.split_whitespace().map(str::to_owned).collect();
        let changes = bench.changes(&ids)?;
        routes.push((parts, named(&bench.machine, bench.parts(), changes).map_err(Wrong::input)?));
    }
    let body = html! {
        h1 { "Side by side" }
        @if wanted.len() < 2 {
            p { "Tick two or three routes in the table of the " a href={ "/machines/" (bench.kept.id) "/routes" } { "routes" } " to compare them." }
        }
        @if wanted.len() > MOST { p { "The first three of those ticked are shown." } }
        div.side-by-side {
            @for (parts, one) in &routes {
                section.pick {
                    h2 { (one.route.title) }
                    p { (verdict(one.route.verdict)) }
                    (facts(&one.route))
                    @if !one.unpriced.is_empty() { p { "Without a known price: " (one.unpriced.join(", ")) } }
                    @for remark in one.route.remarks() { (finding(remark)) }
                    @if !parts.is_empty() {
                        (button(app, &format!("/machines/{}/jobs", bench.kept.id), "Make the job sheet", &[("parts", parts)]))
                    }
                }
            }
        }
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/routes", &[]);
    Ok(Answer::Page(frame("Side by side", place, &body)))
}
