//! A difference that a list would make, a history of imports and a history of prices as tables.

use core::ops::Range;

use draw::price_text::age;
use draw::table::{Side, Table};
use imports::preview::{Against, PartChange, PartState, Preview};
use imports::shelf::Shelved;
use intake::imported::note::ImportNote;
use quantity::day::Day;
use upgrade::part::offer::{Offers, PriceKind};
use upgrade::part::price_history::PriceSeen;

/// Lines of one kind: some of them, and how many there are.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they are.
    pub title: &'static str,
    /// Those that were asked for.
    pub table: Table,
    /// How many there are.
    pub count: usize,
}

fn many(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

/// Where an import's figures come from, for one line: `list.csv (import 3 of 2026-11-20, row 12)`.
pub fn origin_words(notes: &[(u32, ImportNote)], import: u32, row: Option<u32>) -> String {
    let row = row.map_or_else(String::new, |row| format!(", row {row}"));
    match notes.iter().find(|(number, _)| *number == import) {
        Some((_, note)) => format!(
            "{} (import {import} of {}, sha256 {}{row})",
            note.source,
            note.taken,
            note.digest.get(..12).unwrap_or(&note.digest)
        ),
        None => format!("import {import}{row}"),
    }
}

/// The rows of a list, as `1 row`.
pub fn rows(preview: &Preview) -> String {
    many(preview.rows, "row", "rows")
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

/// The difference by kind of line, these lines of each besides its columns; kinds without any are left out.
pub fn groups(preview: &Preview, lines: Range<usize>) -> Vec<Group> {
    let (from, most) = (lines.start, lines.len());
    let mut out = Vec::new();
    let mut columns = Table::new(&[
        ("heading", Side::Left),
        ("field", Side::Left),
        ("unit", Side::Left),
        ("how", Side::Left),
    ]);
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
    out.push(Group { title: "Columns", table: columns, count });

    let of = |is: fn(&PartState) -> bool| preview.parts.iter().filter(move |part| is(&part.state));
    for (title, is) in [
        ("New parts", (|state| *state == PartState::New) as fn(&PartState) -> bool),
        ("New sketches: kept, but they lack what a part needs to be used", |state| {
            matches!(state, PartState::Sketch(_))
        }),
        ("Changed parts", |state| *state == PartState::Changed),
    ] {
        let mut table = Table::new(&[("row", Side::Right), ("id", Side::Left), ("figures", Side::Left)]);
        for part in of(is).skip(from).take(most) {
            let mut text = figures(preview, part);
            if let PartState::Sketch(missing) = &part.state {
                text.push_str(&format!(" (lacks {})", missing.join(", ")));
            }
            table.row([part.row.to_string(), part.id.text().to_owned(), text]);
        }
        out.push(Group { title, table, count: of(is).count() });
    }
    let mut table = Table::new(&[
        ("row", Side::Right),
        ("id", Side::Left),
        ("for", Side::Left),
        ("price", Side::Right),
        ("before", Side::Right),
        ("day", Side::Left),
        ("shop", Side::Left),
        ("stock", Side::Right),
    ]);
    for price in preview.prices.iter().skip(from).take(most) {
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
    out.push(Group { title: "New prices", table, count: preview.prices.len() });

    let mut table = Table::new(&[
        ("row", Side::Right),
        ("id", Side::Left),
        ("field", Side::Left),
        ("the list says", Side::Left),
        ("but", Side::Left),
    ]);
    for one in preview.conflicts.iter().skip(from).take(most) {
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
    out.push(Group { title: "Conflicts", table, count: preview.conflicts.len() });

    let mut table = Table::new(&[
        ("row", Side::Right),
        ("name", Side::Left),
        ("perhaps", Side::Left),
        ("alike", Side::Right),
    ]);
    for (_, name, row, alike) in preview.alike.iter().skip(from).take(most) {
        table.row([
            row.to_string(),
            name.clone(),
            format!("{} ({})", alike.id, alike.name),
            format!("{:.2}", alike.score),
        ]);
    }
    out.push(Group {
        title: "Perhaps the same part under another name (say so under [[same]] in the mapping)",
        table,
        count: preview.alike.len(),
    });

    let mut table = Table::new(&[
        ("place", Side::Left),
        ("heading", Side::Left),
        ("holds", Side::Left),
        ("not taken, because", Side::Left),
    ]);
    for one in preview.rejected.iter().skip(from).take(most) {
        let place = if one.column == 0 {
            format!("{}:{}", preview.source, one.row)
        } else {
            format!("{}:{}:{}", preview.source, one.row, one.column)
        };
        table.row([place, one.heading.clone(), one.cell.clone(), one.reason.clone()]);
    }
    out.push(Group { title: "Not taken", table, count: preview.rejected.len() });
    out.retain(|group| group.count > 0);
    out
}

/// The difference in one line.
pub fn summary(preview: &Preview) -> String {
    let sketches = preview.count(|state| matches!(state, PartState::Sketch(_)));
    format!(
        "{} new, {}, {} changed, {} as they were; {} new, {} known; {}; {} not taken",
        preview.count(|state| *state == PartState::New),
        many(sketches, "sketch", "sketches"),
        preview.count(|state| *state == PartState::Changed),
        preview.unchanged,
        many(preview.prices.len(), "price", "prices"),
        preview.prices_known,
        many(preview.conflicts.len(), "conflict", "conflicts"),
        many(preview.rejected.len(), "cell or row", "cells or rows"),
    )
}

/// The imports of a library.
pub fn history(shelved: &[Shelved]) -> Table {
    let mut table = Table::new(&[
        ("import", Side::Right),
        ("taken", Side::Left),
        ("list", Side::Left),
        ("sha256", Side::Left),
        ("state", Side::Left),
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
    table
}

/// The prices that count: what for, and the price with its age and who said it.
pub fn prices_now(offers: &Offers, today: Day) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    for kind in PriceKind::ALL {
        let Some(price) = offers.price(kind) else { continue };
        let from = match offers.quote(kind) {
            Some(quote) => quote.shop.clone().unwrap_or_else(|| "a list without a shop".to_owned()),
            None => "the library's own file".to_owned(),
        };
        let age = age(offers.day(kind), today);
        out.push((kind.word(), format!("{price}, {age}, from {from}")));
    }
    out
}

/// Every price that a list has said, the newest first; `counts` are those of `seen` that count.
pub fn prices_seen(seen: &[PriceSeen], counts: &[&PriceSeen], notes: &[(u32, ImportNote)]) -> Table {
    let mut rows: Vec<&PriceSeen> = seen.iter().collect();
    rows.sort_by(|a, b| (b.quote.day, b.import, &a.quote.shop).cmp(&(a.quote.day, a.import, &b.quote.shop)));
    let mut table = Table::new(&[
        ("day", Side::Left),
        ("for", Side::Left),
        ("price", Side::Right),
        ("shop", Side::Left),
        ("stock", Side::Right),
        ("now", Side::Left),
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
    table
}
