//! `parts`: list, show, lint.

use std::path::Path;

use desk::check::{ids, no_such_part};
use desk::lists::origin_words;
use draw::paint::Role;
use draw::table::{Side, Table};
use imports::export::row;
use intake::csv_tree::value_at;
use intake::imported::origin::{FigureOrigin, figures, notes};
use intake::lint::lint;
use intake::node::{Node, Value};
use intake::problem::Severity;
use intake::report;
use serde_json::json;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;
use upgrade::part::offer::Offers;

use crate::args::{KindArg, LibraryArg, Parts, PartsAction};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::lists;
use crate::verb::load::library;

pub(crate) fn run(wanted: &Parts, screen: &Screen) -> Result<Exit, Failure> {
    match &wanted.action {
        PartsAction::List { kind, sketches, csv, library, json } => {
            list(*kind, *sketches, csv.as_deref(), (library, *json), screen)
        }
        PartsAction::Show { part, library, json } => show(part, library, *json, screen),
        PartsAction::Preview(list) => lists::run_preview(list, screen),
        PartsAction::Take { list, whole } => lists::take(list, *whole, screen),
        PartsAction::Undo { number, shelf } => lists::undo(*number, shelf),
        PartsAction::History { shelf } => lists::history(shelf, screen),
        PartsAction::Prices { part, library, today, json } => {
            lists::prices(part, library, *today, *json, screen)
        }
        PartsAction::Lint { library, json } => lint_library(library, *json),
    }
}

pub(crate) const fn kind(wanted: KindArg) -> Kind {
    match wanted {
        KindArg::Processor => Kind::Processor,
        KindArg::Chipset => Kind::Chipset,
        KindArg::Board => Kind::Board,
        KindArg::Memory => Kind::Memory,
        KindArg::Cooler => Kind::Cooler,
        KindArg::Paste => Kind::Paste,
        KindArg::Supply => Kind::Supply,
        KindArg::Case => Kind::Case,
    }
}

/// Name, what matters most, and prices of a part.
fn facts<'l>(library: &'l Library, id: &PartId, kind: Kind) -> Option<(&'l str, String, Option<&'l Offers>)> {
    use quantity::dimension::Dimension;
    use quantity::reading::Figure;
    fn text<D: Dimension>(figure: &Figure<D>) -> String {
        figure.known().map_or_else(|| "unknown".to_owned(), |value| value.rounded(3))
    }
    Some(match kind {
        Kind::Processor => {
            let part = library.processors.get(id)?;
            let facts = format!(
                "{}, {}, {} cores, {}",
                part.socket,
                part.generation,
                part.core_count(),
                text(&part.sustained_power)
            );
            (&part.name, facts, Some(&part.offers))
        }
        Kind::Chipset => {
            let part = library.chipsets.get(id)?;
            let generations: Vec<&str> = part.generations.iter().map(PartId::text).collect();
            (
                &part.name,
                format!("{}, series {}, drives {}", part.socket, part.series, generations.join(" and ")),
                None,
            )
        }
        Kind::Board => {
            let part = library.boards.get(id)?;
            let facts = format!(
                "{}, {}, {}, {}",
                part.socket,
                part.chipset,
                part.form.get().map_or("form unknown", |form| form.word()),
                part.memory.get().map_or("memory unknown", |kind| kind.word())
            );
            (&part.name, facts, Some(&part.offers))
        }
        Kind::Memory => {
            let part = library.memory.get(id)?;
            let facts = format!(
                "{}, {} x {}, {}",
                part.kind.get().map_or("type unknown", |kind| kind.word()),
                part.modules,
                text(&part.module_capacity),
                text(&part.speed)
            );
            (&part.name, facts, Some(&part.offers))
        }
        Kind::Cooler => {
            let part = library.coolers.get(id)?;
            let facts = format!(
                "{}, {} high, {}",
                part.build.get().map_or("build unknown", |build| build.word()),
                text(&part.height),
                text(&part.resistance)
            );
            (&part.name, facts, Some(&part.offers))
        }
        Kind::Paste => {
            let part = library.pastes.get(id)?;
            (&part.name, text(&part.conductivity), Some(&part.offers))
        }
        Kind::Supply => {
            let part = library.supplies.get(id)?;
            let certificate = part.certificate.known().map_or("no certificate", |level| level.word());
            (
                &part.name,
                format!(
                    "{}, {}, {certificate}",
                    text(&part.rated_power),
                    part.form.get().map_or("body unknown", |form| form.word())
                ),
                Some(&part.offers),
            )
        }
        Kind::Case => {
            let part = library.cases.get(id)?;
            let forms: Vec<&str> = part.forms.iter().map(|form| form.word()).collect();
            (
                &part.name,
                format!("{}, cooler up to {}", forms.join(", "), text(&part.cooler_height)),
                Some(&part.offers),
            )
        }
    })
}

fn list(
    wanted: Option<KindArg>,
    with_sketches: bool,
    csv: Option<&Path>,
    (from, as_json): (&LibraryArg, bool),
    screen: &Screen,
) -> Result<Exit, Failure> {
    let loaded = library(from)?;
    let library = &loaded.read.library;
    let mut table = Table::new(&[
        ("id", Side::Left),
        ("name", Side::Left),
        ("facts", Side::Left),
        ("new", Side::Right),
        ("second-hand", Side::Right),
    ]);
    let mut rows = Vec::new();
    for (id, part_kind) in ids(library) {
        if wanted.is_some_and(|wanted| kind(wanted) != part_kind) {
            continue;
        }
        let Some((name, facts, offers)) = facts(library, id, part_kind) else { continue };
        let money = |amount: Option<quantity::money::Money>| amount.map(|amount| amount.to_string());
        let (new, used) =
            offers.map_or((None, None), |offers| (money(offers.new), money(offers.second_hand)));
        rows.push(json!({ "id": id.text(), "kind": part_kind.word(), "name": name, "facts": facts, "new": new, "second_hand": used }));
        table.row([
            id.text().to_owned(),
            name.to_owned(),
            facts,
            new.unwrap_or_default(),
            used.unwrap_or_default(),
        ]);
    }
    let mut sketches = 0;
    for ((part_kind, id), sketch) in &loaded.read.sketches {
        if wanted.is_some_and(|wanted| kind(wanted) != *part_kind) {
            continue;
        }
        sketches += 1;
        if !with_sketches {
            continue;
        }
        let key = (*part_kind, id.clone());
        let name = loaded.read.tables.get(&key).and_then(|table| value_at(table, "name"));
        let name = name.map(|node| node.value.scalar()).unwrap_or_default();
        let facts = format!("a sketch, lacks {}", sketch.missing.join(", "));
        rows.push(json!({ "id": id.text(), "kind": part_kind.word(), "name": name, "facts": facts, "new": null, "second_hand": null, "lacks": sketch.missing }));
        table.row([id.text().to_owned(), name, facts, String::new(), String::new()]);
    }
    if let Some(path) = csv {
        let mut text = String::new();
        row(&mut text, table.headings().iter().map(|(heading, _)| heading.as_str()));
        for cells in table.rows() {
            row(&mut text, cells.iter().map(String::as_str));
        }
        write(path, text.as_bytes())?;
    }
    if as_json {
        print_json(&serde_json::Value::Array(rows));
    } else {
        print(&table.render(screen.width));
        if sketches > 0 && !with_sketches {
            print(&format!("{sketches} sketches are not listed; --sketches lists them\n"));
        }
    }
    Ok(Exit::Done)
}

fn show(part: &str, from: &LibraryArg, as_json: bool, screen: &Screen) -> Result<Exit, Failure> {
    let loaded = library(from)?;
    let id = PartId::new(part);
    let found = Kind::ALL
        .into_iter()
        .find_map(|kind| loaded.read.tables.get(&(kind, id.clone())).map(|table| (kind, table)));
    let Some((part_kind, table)) = found else {
        return Err(no_such_part(&loaded.read.library, part).into());
    };
    let notes = notes(&loaded.files);
    let own = loaded.read.own_tables.get(&(part_kind, id.clone()));
    let by_hand = |field: &str| own.is_some_and(|own| value_at(own, field).is_some());
    let imported: Vec<FigureOrigin> = figures(&loaded.files, part_kind, &id);
    let lacks = loaded.read.sketches.get(&(part_kind, id.clone())).map(|sketch| &sketch.missing);
    if as_json {
        let mut value = as_value(&Node { span: 0..0, value: Value::Table(table.clone()), origin: None });
        if let Some(map) = value.as_object_mut() {
            map.insert("kind".to_owned(), json!(part_kind.word()));
            let rows: Vec<serde_json::Value> = imported
                .iter()
                .map(|one| {
                    let note = notes.iter().find(|(number, _)| *number == one.import).map(|(_, note)| note);
                    json!({
                        "field": one.field,
                        "value": one.value,
                        "import": one.import,
                        "row": one.row,
                        "list": note.map(|note| &note.source),
                        "sha256": note.map(|note| &note.digest),
                        "taken": note.map(|note| note.taken.to_string()),
                        "overridden_by_hand": by_hand(&one.field),
                    })
                })
                .collect();
            map.insert("imported".to_owned(), json!(rows));
            map.insert("lacks".to_owned(), json!(lacks));
        }
        print_json(&value);
        return Ok(Exit::Done);
    }
    let heading = format!("{id} ({})", part_kind.word());
    let mut out = format!("{}\n", screen.paint.text(Role::Heading, &heading));
    if let Some((file, line)) = loaded.read.places.get(&id) {
        out.push_str(&format!(
            "  from {file}, line {line}; figures without another origin are the maker's sheet\n"
        ));
    }
    if let Some(lacks) = lacks {
        out.push_str(&format!("  a sketch: before it can be used it lacks {}\n", lacks.join(", ")));
    }
    lines(&mut out, "", &Value::Table(table.clone()), &|field| {
        let last = imported.iter().rfind(|one| one.field == field).filter(|_| !by_hand(field))?;
        Some(origin_words(&notes, last.import, last.row))
    });
    print(&out);
    Ok(Exit::Done)
}

fn lines(out: &mut String, path: &str, value: &Value, origin: &impl Fn(&str) -> Option<String>) {
    let from = |path: &str| origin(path).map_or_else(String::new, |origin| format!("  <- {origin}"));
    match value {
        Value::Table(table) if table.entries.contains_key("value") => {
            let part =
                |name| table.entries.get(name).map(|(_, node)| node.value.scalar()).unwrap_or_default();
            out.push_str(&format!("  {path:<32} {} ({})\n", part("value"), part("origin")));
        }
        Value::Table(table) => {
            for (name, (_, node)) in &table.entries {
                let inner = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
                lines(out, &inner, &node.value, origin);
            }
        }
        Value::List(list) => {
            let plain: Vec<String> = list.iter().map(|node| node.value.scalar()).collect();
            if plain.iter().all(|text| !text.is_empty()) {
                out.push_str(&format!("  {path:<32} {}{}\n", plain.join(", "), from(path)));
            } else {
                for (idx, node) in list.iter().enumerate() {
                    lines(out, &format!("{path}[{}]", idx + 1), &node.value, origin);
                }
            }
        }
        other => out.push_str(&format!("  {path:<32} {}{}\n", other.scalar(), from(path))),
    }
}

fn as_value(node: &Node) -> serde_json::Value {
    match &node.value {
        Value::Text(text) | Value::Cell(text) | Value::Moment(text) => json!(text),
        Value::Whole(number) => json!(number),
        Value::Number(number) => json!(number),
        Value::Truth(truth) => json!(truth),
        Value::List(list) => serde_json::Value::Array(list.iter().map(as_value).collect()),
        Value::Table(table) => {
            let entries = table.entries.iter().map(|(name, (_, node))| (name.clone(), as_value(node)));
            serde_json::Value::Object(entries.collect())
        }
    }
}

fn lint_library(from: &LibraryArg, as_json: bool) -> Result<Exit, Failure> {
    let loaded = library(from)?;
    let mut problems = loaded.problems;
    problems.extend(lint(&loaded.read));
    if as_json {
        let rows: Vec<serde_json::Value> = problems
            .iter()
            .map(|problem| {
                json!({
                    "file": problem.file,
                    "line": problem.line,
                    "column": problem.column,
                    "field": problem.field,
                    "severity": problem.severity.word(),
                    "message": problem.message,
                    "help": problem.help,
                })
            })
            .collect();
        print_json(&serde_json::Value::Array(rows));
    } else {
        print(&report::text(&problems, &loaded.files));
    }
    let bad = problems.iter().any(|problem| problem.severity == Severity::Error);
    Ok(if bad { Exit::No } else { Exit::Done })
}
