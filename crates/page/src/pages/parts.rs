//! The parts library, and own parts after it.

use draw::price_text::age;
use draw::table::{Side, Table};
use intake::report;
use maud::{Markup, html};
use quantity::day::Day;
use quantity::money::Money;
use upgrade::part::offer::{Offers, PriceKind};

use crate::answer::{Answer, Wrong};
use crate::app::{App, has_error};
use crate::ask::Ask;
use crate::clock::day_of;
use crate::frame::{Place, frame, token};

/// Name under which own parts are kept and told of.
const OWN: &str = "own-parts.toml";

fn price(price: Option<Money>) -> String {
    price.map_or_else(|| "-".to_owned(), |money| money.to_string())
}

/// The days of a part's prices, how old they are, and the shops that said them.
fn days(offers: &Offers, today: Option<Day>) -> String {
    let mut said: Vec<String> = Vec::new();
    for kind in PriceKind::ALL.into_iter().filter(|kind| offers.price(*kind).is_some()) {
        let day = offers.day(kind);
        let age = match today {
            Some(today) => age(day, today),
            None => day.map_or_else(|| "of an unknown day".to_owned(), |day| format!("of {day}")),
        };
        let one = match offers.quote(kind).and_then(|quote| quote.shop.as_ref()) {
            Some(shop) => format!("{age}, {shop}"),
            None => age,
        };
        if !said.contains(&one) {
            said.push(one);
        }
    }
    said.join("; ")
}

fn kind<'a>(
    name: &str,
    today: Option<Day>,
    parts: impl ExactSizeIterator<Item = (String, String, &'a Offers)>,
) -> Markup {
    let count = parts.len();
    let mut table = Table::new(&[
        ("id", Side::Left),
        ("name", Side::Left),
        ("new", Side::Right),
        ("second-hand", Side::Right),
        ("brings", Side::Right),
        ("prices", Side::Left),
    ]);
    for (id, part, offers) in parts {
        let days = days(offers, today);
        table.row([id, part, price(offers.new), price(offers.second_hand), price(offers.resale), days]);
    }
    html! { details { summary { (name) ": " (count) } (table.html()) } }
}

/// The page.
///
/// # Errors
/// The store cannot be read.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let library = app.library()?;
    let parts = &library.read.library;
    let today = day_of((app.now)());
    let (revision, own) = app.store().own_parts_file(OWN)?;
    macro_rules! list {
        ($name:literal, $map:ident) => {
            kind(
                $name,
                today,
                parts.$map.values().map(|part| (part.id.text().to_owned(), part.name.clone(), &part.offers)),
            )
        };
    }
    let body = html! {
        h1 { "Parts" }
        p { "Prices are what the library's files say they were on their day." }
        p { a href="/parts/lists" { "Lists: take one in, take one back, prices over time" } }
        (list!("Processors", processors))
        (list!("Boards", boards))
        (list!("Memory", memory))
        (list!("Coolers", coolers))
        (list!("Pastes", pastes))
        (list!("Supplies", supplies))
        (list!("Cases", cases))
        @if !library.problems.is_empty() {
            h2 { "What is wrong in the files" }
            pre.problem { (report::text(&library.problems, &library.files)) }
        }
        h2 { "Own parts" }
        p { "Parts that the library does not have, in its own form: a table for each, such as " code { "[[cooler]]" }
            ", with every figure and its unit. They are kept here and read after the library." }
        form method="post" action="/parts" {
            (token(app))
            input type="hidden" name="revision" value=(revision);
            label for="own" { "Own parts" }
            textarea.record id="own" name="own" rows="12" spellcheck="false" { "\n" (own) }
            p { button type="submit" { "Keep" } }
        }
    };
    Ok(Answer::Page(frame("Parts", Place::Parts, &body)))
}

/// Keeps own parts, if they can be read.
///
/// # Errors
/// They cannot; what was typed is shown again.
pub fn set(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let text = ask.form.text("own").replace("\r\n", "\n");
    let tried = app.library_with(OWN, &text).map_err(|wrong| wrong.with_typed(&text))?;
    let own: Vec<_> = tried.problems.iter().filter(|problem| problem.file == OWN).cloned().collect();
    if has_error(&own) {
        return Err(Wrong::Input { what: report::text(&own, &tried.files), typed: text });
    }
    let begun = ask.form.text("revision").parse().unwrap_or(0);
    let done = app.store().set_own_parts(OWN, begun, &text, (app.now)());
    done.map_err(|error| Wrong::from(error).with_typed(&text))?;
    Ok(Answer::See("/parts".to_owned()))
}
