//! The prices of a part over time, and which of them count.

use desk::check::no_such_part;
use desk::lists::{prices_now, prices_seen};
use desk::prices::{counting, offers_of};
use intake::imported::origin::notes;
use maud::{Markup, html};
use upgrade::part::id::PartId;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, frame};
use crate::pages::lists::look::today;

/// Asks for a part.
pub fn form() -> Markup {
    html! {
        h2 { "Prices over time" }
        form.filter method="get" action="/parts/prices" {
            p { label for="part" { "Part, by its id" } input id="part" name="part" required; }
            p { button type="submit" { "Show" } }
        }
    }
}

/// The page.
///
/// # Errors
/// The library has no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let library = app.library()?;
    let asked = ask.query.text("part").trim();
    let id = PartId::new(asked);
    let parts = &library.read.library;
    let Some(offers) = offers_of(parts, &id) else {
        return Err(Wrong::Missing(no_such_part(parts, asked).to_string()));
    };
    let seen = library.read.prices.get(&id).map_or(&[][..], Vec::as_slice);
    let counts = counting(offers, seen, &parts.rates);
    let now = prices_now(offers, today(app)?);
    let body = html! {
        h1 { "Prices of " bdi { (id) } }
        @if now.is_empty() { p { "Nobody has said a price of it." } } @else {
            dl.facts { @for (kind, price) in now { dt { (kind) } dd { (price) } } }
        }
        @if seen.is_empty() { p { "No list has said a price of it." } } @else {
            (prices_seen(seen, &counts, &notes(&library.files)).html())
        }
        p { a href="/parts/lists" { "Back to the lists" } }
    };
    Ok(Answer::Page(frame("Prices of a part", Place::Parts, &body)))
}
