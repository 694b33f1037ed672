//! An import's difference as JSON.

use imports::preview::{Against, PartState, Preview};
use imports::shelf::Shelved;
use serde_json::{Value, json};

fn against(against: &Against) -> Value {
    match against {
        Against::Hand { file, line } => json!({ "who": "own file", "file": file, "line": line }),
        Against::Row(row) => json!({ "who": "row", "row": row }),
        Against::OtherKind(kind) => json!({ "who": "other kind", "kind": kind.word() }),
    }
}

/// The difference that a list would make.
pub fn preview(preview: &Preview) -> Value {
    let field = |place: usize| preview.fields.get(place).map_or("", String::as_str);
    let parts: Vec<Value> = preview
        .parts
        .iter()
        .map(|part| {
            let (state, missing): (_, &[String]) = match &part.state {
                PartState::New => ("new", &[]),
                PartState::Sketch(missing) => ("sketch", missing),
                PartState::Changed => ("changed", &[]),
            };
            let figures: Vec<Value> = part
                .figures
                .iter()
                .map(|figure| json!({ "field": field(figure.field), "old": figure.old, "new": figure.new }))
                .collect();
            json!({
                "kind": part.kind.word(),
                "id": part.id.text(),
                "name": part.name,
                "row": part.row,
                "state": state,
                "missing": missing,
                "figures": figures,
            })
        })
        .collect();
    let prices: Vec<Value> = preview
        .prices
        .iter()
        .map(|price| {
            json!({
                "id": price.id.text(),
                "price": price.kind.word(),
                "amount": price.amount.to_string(),
                "day": price.quote.day.to_string(),
                "shop": price.quote.shop,
                "stock": price.quote.stock,
                "row": price.row,
                "before": price.before.map(|before| before.to_string()),
            })
        })
        .collect();
    let conflicts: Vec<Value> = preview
        .conflicts
        .iter()
        .map(|one| {
            json!({
                "id": one.id.text(),
                "field": one.field,
                "row": one.row,
                "says": one.says,
                "other": one.other,
                "against": against(&one.against),
            })
        })
        .collect();
    let alike: Vec<Value> = preview
        .alike
        .iter()
        .map(|(id, name, row, alike)| {
            json!({
                "id": id.text(), "name": name, "row": row,
                "perhaps": alike.id.text(), "perhaps_name": alike.name, "score": alike.score,
            })
        })
        .collect();
    let rejected: Vec<Value> = preview
        .rejected
        .iter()
        .map(|one| {
            json!({
                "file": preview.source,
                "row": one.row,
                "column": (one.column > 0).then_some(one.column),
                "heading": one.heading,
                "cell": one.cell,
                "reason": one.reason,
            })
        })
        .collect();
    let guessed: Vec<Value> = preview
        .guessed
        .iter()
        .map(|column| json!({ "heading": column.heading, "field": column.field, "unit": column.unit }))
        .collect();
    json!({
        "list": preview.source,
        "sha256": preview.digest,
        "format": preview.format.word(),
        "remarks": preview.remarks,
        "rows": preview.rows,
        "counts": {
            "new": preview.count(|state| *state == PartState::New),
            "sketches": preview.count(|state| matches!(state, PartState::Sketch(_))),
            "changed": preview.count(|state| *state == PartState::Changed),
            "unchanged": preview.unchanged,
            "repeated": preview.repeated,
            "prices": preview.prices.len(),
            "prices_known": preview.prices_known,
            "conflicts": preview.conflicts.len(),
            "alike": preview.alike.len(),
            "rejected": preview.rejected.len(),
        },
        "guessed": guessed,
        "not_taken_headings": preview.unmapped,
        "parts": parts,
        "prices": prices,
        "conflicts": conflicts,
        "alike": alike,
        "rejected": rejected,
        "mapping": imports::mapping_text::write(&preview.mapping),
    })
}

/// The imports of a library.
pub fn history(shelved: &[Shelved]) -> Value {
    let rows = shelved.iter().map(|one| {
        json!({
            "number": one.number,
            "state": if one.undone { "taken back" } else { "in the library" },
            "list": one.note.as_ref().map(|note| &note.source),
            "sha256": one.note.as_ref().map(|note| &note.digest),
            "taken": one.note.as_ref().map(|note| note.taken.to_string()),
            "remarks": one.note.as_ref().map(|note| &note.remarks),
        })
    });
    Value::Array(rows.collect())
}
