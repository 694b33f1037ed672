//! A difference, a history of imports and a history of prices as text.

use draw::paint::Role;
use draw::price_text::age;
use draw::table::{Side, Table};
use imports::preview::{Against, PartChange, PartState, Preview};
use imports::shelf::Shelved;
use intake::imported::note::ImportNote;
use quantity::day::Day;
use upgrade::part::id::PartId;
use upgrade::part::offer::{Offers, PriceKind};
use upgrade::part::price_history::PriceSeen;

use crate::terminal::Screen;
use crate::verb::lists::origin_words;

/// Lines of a group that are shown where not all are asked for.
const SHOWN: usize = 12;

fn many(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

/// A heading, a table of the first rows, and how many are left.
fn group(out: &mut String, title: &str, table: Table, count: usize, screen: &Screen) {
    if count == 0 {
        return;
    }
    out.push_str(&format!("\n{}\n", screen.paint.text(Role::Heading, title)));
    let shown = table.len();
    out.push_str(&table.render(screen.width));
    if shown < count {
        out.push_str(&format!("  and {} more; --all shows them\n", count - shown));
    }
}

fn figures(preview: &Preview, part: &PartChange) -> String {
    let texts: Vec<String> = part
        .figures
        .iter()
        .map(|figure| {
            let field = preview.fields.get(figure.field).map_or("", String::as_str);
            match &figure.old {
                Some(old) => format!("{field}: {old} -> {}", figure.new),
                None => format!("{field}: {}", figure.new),
            }
        })
        .collect();
    texts.join("; ")
}

/// The difference.
pub(super) fn preview(preview: &Preview, all: bool, screen: &Screen) -> String {
    let most = if all { usize::MAX } else { SHOWN };
    let mut out = format!("{}: {}\n", preview.source, many(preview.rows, "row", "rows"));
    for remark in &preview.remarks {
        out.push_str(&format!("  {remark}\n"));
    }
    let mut columns =
        Table::new(&[("heading", Side::Left), ("field", Side::Left), ("unit", Side::Left), ("", Side::Left)]);
    for column in &preview.mapping.columns {
        let unit = column
            .unit
            .clone()
            .or_else(|| column.unit_heading.as_ref().map(|heading| format!("in {heading}")));
        let how = if preview.guessed.contains(column) { "guessed" } else { "" };
        columns.row([column.heading.clone(), column.field.clone(), unit.unwrap_or_default(), how.to_owned()]);
    }
    for heading in &preview.unmapped {
        columns.row([heading.clone(), "-".to_owned(), String::new(), "not taken".to_owned()]);
    }
    let count = columns.len();
    group(&mut out, "Columns", columns, count, screen);

    let of = |is: fn(&PartState) -> bool| preview.parts.iter().filter(move |part| is(&part.state));
    for (title, is) in [
        ("New parts", (|state| *state == PartState::New) as fn(&PartState) -> bool),
        ("New sketches: kept, but they lack what a part needs to be used", |state| {
            matches!(state, PartState::Sketch(_))
        }),
        ("Changed parts", |state| *state == PartState::Changed),
    ] {
        let mut table = Table::new(&[("row", Side::Right), ("id", Side::Left), ("figures", Side::Left)]);
        for part in of(is).take(most) {
            let mut text = figures(preview, part);
            if let PartState::Sketch(missing) = &part.state {
                text.push_str(&format!(" (lacks {})", missing.join(", ")));
            }
            table.row([part.row.to_string(), part.id.text().to_owned(), text]);
        }
        group(&mut out, title, table, of(is).count(), screen);
    }
    let mut table = Table::new(&[
        ("row", Side::Right),
        ("id", Side::Left),
        ("", Side::Left),
        ("price", Side::Right),
        ("before", Side::Right),
        ("day", Side::Left),
        ("shop", Side::Left),
        ("stock", Side::Right),
    ]);
    for price in preview.prices.iter().take(most) {
        table.row([
            price.row.to_string(),
            price.id.text().to_owned(),
            price.kind.word().to_owned(),
            price.amount.to_string(),
            price.before.map_or_else(|| "-".to_owned(), |before| before.to_string()),
            price.quote.day.to_string(),
            price.quote.shop.clone().unwrap_or_default(),
            price.quote.stock.map(|stock| stock.to_string()).unwrap_or_default(),
        ]);
    }
    group(&mut out, "New prices", table, preview.prices.len(), screen);

    let mut table = Table::new(&[
        ("row", Side::Right),
        ("id", Side::Left),
        ("field", Side::Left),
        ("the list says", Side::Left),
        ("but", Side::Left),
    ]);
    for one in preview.conflicts.iter().take(most) {
        let other = match &one.against {
            Against::Hand { file, line } => format!("{file}, line {line} says {}, and stays", one.other),
            Against::Row(row) => format!("row {row} says {}; neither is taken", one.other),
            Against::OtherKind(kind) => format!("the library has a {} of this id", kind.word()),
        };
        table.row([
            one.row.to_string(),
            one.id.text().to_owned(),
            one.field.clone(),
            one.says.clone(),
            other,
        ]);
    }
    group(&mut out, "Conflicts", table, preview.conflicts.len(), screen);

    let mut table = Table::new(&[
        ("row", Side::Right),
        ("name", Side::Left),
        ("perhaps", Side::Left),
        ("alike", Side::Right),
    ]);
    for (_, name, row, alike) in preview.alike.iter().take(most) {
        table.row([
            row.to_string(),
            name.clone(),
            format!("{} ({})", alike.id, alike.name),
            format!("{:.2}", alike.score),
        ]);
    }
    group(
        &mut out,
        "Perhaps the same part under another name (say so under [[same]] in the mapping)",
        table,
        preview.alike.len(),
        screen,
    );

    let mut table = Table::new(&[
        ("place", Side::Left),
        ("heading", Side::Left),
        ("holds", Side::Left),
        ("not taken, because", Side::Left),
    ]);
    for one in preview.rejected.iter().take(most) {
        let place = if one.column == 0 {
            format!("{}:{}", preview.source, one.row)
        } else {
            format!("{}:{}:{}", preview.source, one.row, one.column)
        };
        table.row([place, one.heading.clone(), one.cell.clone(), one.reason.clone()]);
    }
    group(&mut out, "Not taken", table, preview.rejected.len(), screen);

    let sketches = preview.count(|state| matches!(state, PartState::Sketch(_)));
    out.push_str(&format!(
        "\n{} new, {}, {} changed, {} as they were; {} new, {} known; {}; {} not taken\n",
        preview.count(|state| *state == PartState::New),
        many(sketches, "sketch", "sketches"),
        preview.count(|state| *state == PartState::Changed),
        preview.unchanged,
        many(preview.prices.len(), "price", "prices"),
        preview.prices_known,
        many(preview.conflicts.len(), "conflict", "conflicts"),
        many(preview.rejected.len(), "cell or row", "cells or rows"),
    ));
    out
}

/// The imports of a library.
pub(super) fn history(shelved: &[Shelved], screen: &Screen) -> String {
    if shelved.is_empty() {
        return "No list has been taken into this library.\n".to_owned();
    }
    let mut table = Table::new(&[
        ("import", Side::Right),
        ("taken", Side::Left),
        ("list", Side::Left),
        ("sha256", Side::Left),
        ("", Side::Left),
        ("what", Side::Left),
    ]);
    for one in shelved {
        let note = one.note.as_ref();
        table.row([
            one.number.to_string(),
            note.map_or_else(|| "?".to_owned(), |note| note.taken.to_string()),
            note.map_or_else(|| "its note cannot be read".to_owned(), |note| note.source.clone()),
            note.and_then(|note| note.digest.get(..12)).unwrap_or("").to_owned(),
            if one.undone { "taken back" } else { "in use" }.to_owned(),
            note.and_then(|note| note.remarks.last().cloned()).unwrap_or_default(),
        ]);
    }
    table.render(screen.width)
}

/// Prices of a part.
pub(super) fn prices(
    id: &PartId,
    offers: &Offers,
    seen: &[PriceSeen],
    counts: &[&PriceSeen],
    notes: &[(u32, ImportNote)],
    today: Day,
    screen: &Screen,
) -> String {
    let mut out = format!("{}\n", screen.paint.text(Role::Heading, id.text()));
    for kind in PriceKind::ALL {
        let Some(price) = offers.price(kind) else { continue };
        let from = match offers.quote(kind) {
            Some(quote) => quote.shop.clone().unwrap_or_else(|| "a list without a shop".to_owned()),
            None => "the library's own file".to_owned(),
        };
        let age = age(offers.day(kind), today);
        out.push_str(&format!("  {:<12} {price}, {age}, from {from}\n", kind.word()));
    }
    if seen.is_empty() {
        out.push_str("  No list has said a price of it.\n");
        return out;
    }
    let mut rows: Vec<&PriceSeen> = seen.iter().collect();
    rows.sort_by(|a, b| (b.quote.day, b.import, &a.quote.shop).cmp(&(a.quote.day, a.import, &b.quote.shop)));
    let mut table = Table::new(&[
        ("day", Side::Left),
        ("", Side::Left),
        ("price", Side::Right),
        ("shop", Side::Left),
        ("stock", Side::Right),
        ("", Side::Left),
        ("list", Side::Left),
    ]);
    for one in rows {
        let counting = counts.iter().any(|count| core::ptr::eq(*count, one));
        table.row([
            one.quote.day.to_string(),
            one.kind.word().to_owned(),
            one.amount.to_string(),
            one.quote.shop.clone().unwrap_or_default(),
            one.quote.stock.map(|stock| stock.to_string()).unwrap_or_default(),
            if counting { "counts" } else { "" }.to_owned(),
            origin_words(notes, one.import, Some(one.row)),
        ]);
    }
    out.push_str(&table.render(screen.width));
    out
}
