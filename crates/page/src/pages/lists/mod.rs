//! Lists from elsewhere: sending one, and every list that the library has taken in.

pub mod change;
pub mod look;
pub mod prices;

use std::path::Path;

use imports::shelf::{self, ShelfError};
use maud::{Markup, html};
use upgrade::part::id::Kind;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, frame, token};

/// Largest list that the page takes, in bytes.
pub const LARGEST_LIST: usize = 32 << 20;

const DEMO: &str = "The library in use is the demo's. It is part of the program and cannot be changed: end this page and start it with \
a folder of your own, as in  reseat page --library parts/";

/// The library's folder.
///
/// # Errors
/// The library is the demo's.
pub fn folder(app: &App) -> Result<&Path, Wrong> {
    app.base.folder().ok_or(Wrong::Refused(DEMO))
}

/// What the shelf says, as an answer.
pub fn of_shelf(error: ShelfError) -> Wrong {
    match error {
        ShelfError::NoSuchImport { .. } | ShelfError::NothingToUndo => Wrong::Missing(error.to_string()),
        ShelfError::Overtaken => Wrong::Clash { what: error.to_string(), typed: String::new() },
        other => Wrong::folder(other),
    }
}

fn send(app: &App) -> Markup {
    html! {
        h2 { "Look at a list" }
        p { "Nothing is changed by looking: what the list would change is shown first." }
        form method="post" action="/parts/lists" enctype="multipart/form-data" {
            (token(app))
            label for="list" { "List: CSV, xlsx, ods, or SPARQL query results as JSON; at most " (LARGEST_LIST >> 20) " MiB" }
            input id="list" type="file" name="list" required;
            div.fields {
                p {
                    label for="kind" { "Kind of every row" }
                    select id="kind" name="kind" {
                        option value="" { "known parts, with prices" }
                        @for kind in Kind::ALL { option value=(kind.word()) { (kind.word()) } }
                    }
                }
                p { label for="shop" { "Shop of its prices" } input id="shop" name="shop" maxlength="200"; }
                p { label for="currency" { "Currency, where it says none" } input id="currency" name="currency" size="5" maxlength="3"; }
                p { label for="day" { "Day of its prices, where it says none" } input id="day" type="date" name="day"; }
            }
            details {
                summary { "A mapping that was kept" }
                label for="mapping" { "Mapping: which column is which field" }
                textarea.record id="mapping" name="mapping" rows="6" spellcheck="false" {}
            }
            p { button type="submit" { "Look at it" } }
        }
    }
}

fn taken(app: &App, folder: &Path) -> Result<Markup, Wrong> {
    // A folder that is not there has no lists either, but that is not what is wrong with it.
    shelf::mark(folder).map_err(of_shelf)?;
    let mut shelved = shelf::history(folder).map_err(of_shelf)?;
    shelved.reverse();
    Ok(html! {
        h2 { "Lists taken in" }
        @if shelved.is_empty() { p { "None yet." } } @else {
            (desk::lists::history(&shelved).html())
            @if shelved.iter().any(|one| !one.undone) {
                form method="post" action="/parts/lists/undo" {
                    (token(app))
                    div.fields {
                        p {
                            label for="number" { "Take back import" }
                            select id="number" name="number" {
                                @for one in shelved.iter().filter(|one| !one.undone) {
                                    option value=(one.number) {
                                        (one.number) @if let Some(note) = &one.note { ": " (note.source) }
                                    }
                                }
                            }
                        }
                        p { button type="submit" { "Take it back" } }
                    }
                }
                p.faint { "What is taken back is kept aside, in the folder imports/undone of the library." }
            }
        }
    })
}

/// The page.
///
/// # Errors
/// The library's folder cannot be read.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let body = html! {
        h1 { "Lists" }
        @match app.base.folder() {
            None => p.warn { (DEMO) },
            Some(folder) => {
                p { "Lists go into the library in " code { (folder.display()) } "." }
                (send(app))
                (taken(app, folder)?)
            }
        }
        (prices::form())
        p { a href="/parts" { "Back to the parts" } }
    };
    Ok(Answer::Page(frame("Lists", Place::Parts, &body)))
}
