//! `machine`: show, set, compare, and what is unknown.

mod set;

use std::collections::{BTreeMap, BTreeSet};

use draw::paint::Role;
use draw::table::{Side, Table};
use draw::where_to_look::sketch;
use draw::wrap::wrap;
use intake::machine::rows::{Row, rows};
use intake::problem::Severity;
use intake::report;
use serde_json::json;
use upgrade::route::open_question::open_questions;
use upgrade::route::pick::time_a_day;

use crate::args::{MachineAction, MachineArg, MachineFile};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::{Loaded, library, machine, source};

pub(crate) fn run(wanted: &MachineFile, screen: &Screen) -> Result<Exit, Failure> {
    match &wanted.action {
        MachineAction::Show { machine, json } => show(machine, *json, screen),
        MachineAction::Set { machine, field, value } => set::set(machine, field, value),
        MachineAction::Compare { before, after, library: from, json } => {
            let loaded = library(from)?;
            compare(&read(before, &loaded)?, &read(after, &loaded)?, *json, screen)
        }
        MachineAction::Unknown { machine, json } => unknown(machine, *json, screen),
    }
}

/// The rows of a record.
fn read(name: &str, loaded: &Loaded) -> Result<Vec<Row>, Failure> {
    let file = source(name)?;
    let (rows, problems) = rows(&file, &loaded.read);
    if problems.iter().any(|problem| problem.severity == Severity::Error) {
        return Err(Failure::Report(report::text(&problems, &[file])));
    }
    Ok(rows)
}

fn show(wanted: &MachineArg, as_json: bool, screen: &Screen) -> Result<Exit, Failure> {
    let rows = read(&wanted.machine, &library(&wanted.library)?)?;
    if as_json {
        let list: Vec<_> = rows
            .iter()
            .map(|row| json!({ "field": row.field, "value": row.value, "origin": row.origin }))
            .collect();
        print_json(&json!(list));
        return Ok(Exit::Done);
    }
    let mut table = Table::new(&[("field", Side::Left), ("value", Side::Left), ("origin", Side::Left)]);
    for row in rows {
        table.row([row.field, row.value, row.origin]);
    }
    print(&table.render(screen.width));
    Ok(Exit::Done)
}

fn compare(before: &[Row], after: &[Row], as_json: bool, screen: &Screen) -> Result<Exit, Failure> {
    let by_field = |rows: &[Row]| -> BTreeMap<String, String> {
        rows.iter().map(|row| (row.field.clone(), row.value.clone())).collect()
    };
    let (before, after) = (by_field(before), by_field(after));
    let fields: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let changed: Vec<(&String, Option<&String>, Option<&String>)> = fields
        .into_iter()
        .map(|field| (field, before.get(field), after.get(field)))
        .filter(|(_, a, b)| a != b)
        .collect();
    if as_json {
        let list: Vec<_> =
            changed.iter().map(|(field, a, b)| json!({ "field": field, "before": a, "after": b })).collect();
        print_json(&json!(list));
        return Ok(Exit::Done);
    }
    if changed.is_empty() {
        print("The two records say the same.\n");
        return Ok(Exit::Done);
    }
    let mut table = Table::new(&[("field", Side::Left), ("before", Side::Left), ("after", Side::Left)]);
    for (field, a, b) in changed {
        let text = |value: Option<&String>| value.cloned().unwrap_or_else(|| "unknown".to_owned());
        table.row([field.clone(), text(a), text(b)]);
    }
    print(&table.render(screen.width));
    Ok(Exit::Done)
}

fn unknown(wanted: &MachineArg, as_json: bool, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(wanted, screen)?;
    let questions = open_questions(&machine, &library);
    if as_json {
        let list: Vec<_> = questions
            .iter()
            .map(|question| {
                json!({
                    "rule": question.rule, "question": question.question, "settled_by": question.settle,
                    "decides": question.decides, "most_saved_seconds_a_day": question.most_saved_s,
                })
            })
            .collect();
        print_json(&json!(list));
        return Ok(Exit::Done);
    }
    if questions.is_empty() {
        print("Nothing that is unknown would change an answer.\n");
        return Ok(Exit::Done);
    }
    let mut out = String::from("What is unknown, in the order in which it would change the answer:\n\n");
    let mut shown = BTreeSet::new();
    for (place, question) in questions.iter().enumerate() {
        let head = format!("{}. {}", place + 1, question.settle);
        out.push_str(&screen.paint.text(Role::Heading, &wrap(&head, screen.width, 3).join("\n")));
        out.push('\n');
        let decides = match question.decides.as_slice() {
            [] => "about the machine as it is".to_owned(),
            [one] => format!("decides whether {one} fits"),
            [first, rest @ ..] => format!("decides whether {first} and {} more fit", rest.len()),
        };
        let saves = question
            .most_saved_s
            .map_or(String::new(), |saved| format!("; the best would save {}", time_a_day(saved)));
        let line = format!("{} {decides}{saves}", question.question);
        for line in wrap(&line, screen.width.saturating_sub(3), 0) {
            out.push_str(&format!("   {line}\n"));
        }
        if let Some(sketch) = sketch(question.rule).filter(|sketch| shown.insert(*sketch)) {
            out.push('\n');
            out.push_str(sketch);
            out.push_str("\n\n");
        }
    }
    out.push_str("\nWrite what you read with  reseat machine set RECORD FIELD VALUE\n");
    print(&out);
    Ok(Exit::CannotTell)
}
