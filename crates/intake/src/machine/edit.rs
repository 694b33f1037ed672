//! One field of a record set by hand, the rest of its text as it stands.

use upgrade::machine::workload::{Attended, Task};

use toml_edit::{DocumentMut, Item, Table as TomlTable, Value};

use crate::library::ReadLibrary;
use crate::machine::file;
use crate::problem::{Problem, Severity, SourceFile};

/// Sections that hold a part.
const PARTS: [&str; 6] = ["processor", "board", "memory", "cooler", "supply", "case"];
/// What a section says of the piece itself, besides its part's figures.
const OF_THE_PIECE: [&str; 5] = ["id", "age", "resale", "faults", "part"];

/// A field that cannot be set.
#[derive(Debug, thiserror::Error)]
pub enum CannotSet {
    /// It is not written as a field.
    #[error("\"{0}\" is no field: write it as  board.stages.count  or  memory[1].speed")]
    Field(String),
    /// A list is shorter than that.
    #[error("there is no {name} number {number} in this record")]
    NoSuchItem {
        /// Name of the list.
        name: String,
        /// Which was asked for, from one.
        number: usize,
    },
    /// The record itself cannot be parsed.
    #[error("the file is no TOML, so nothing can be set in it: {0}")]
    NotToml(toml_edit::TomlError),
    /// With the value the record could not be read any more.
    #[error("with this value the record could not be read")]
    Unreadable {
        /// The record as it would have been.
        changed: SourceFile,
        /// What is wrong with it.
        problems: Vec<Problem>,
    },
}

/// A value as TOML: a whole number or a truth where it is one, else a text.
fn value_of(text: &str) -> Value {
    text.parse::<i64>()
        .map(Value::from)
        .or_else(|_| text.parse::<bool>().map(Value::from))
        .unwrap_or_else(|_| text.into())
}

/// Splits `memory[2].speed` into names and numbers.
fn steps(field: &str) -> Result<Vec<(String, Option<usize>)>, CannotSet> {
    let wrong = || CannotSet::Field(field.to_owned());
    field
        .split('.')
        .map(|step| {
            let (name, number) = match step.split_once('[') {
                Some((name, rest)) => {
                    let number = rest.strip_suffix(']').and_then(|digits| digits.parse::<usize>().ok());
                    (name, Some(number.filter(|number| *number > 0).ok_or_else(wrong)?))
                }
                None => (step, None),
            };
            let plain = !name.is_empty()
                && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
            if plain { Ok((name.to_owned(), number)) } else { Err(wrong()) }
        })
        .collect()
}

/// Goes to a table below this one, made where it is not there.
fn below<'t>(
    table: &'t mut dyn toml_edit::TableLike,
    (name, number): &(String, Option<usize>),
) -> Result<&'t mut dyn toml_edit::TableLike, CannotSet> {
    let missing = || CannotSet::NoSuchItem { name: name.clone(), number: number.unwrap_or(1) };
    let item = table.entry(name).or_insert_with(|| {
        let mut new = TomlTable::new();
        new.set_implicit(true);
        Item::Table(new)
    });
    let place = number.unwrap_or(1) - 1;
    match item {
        Item::ArrayOfTables(list) => {
            list.get_mut(place).map(|table| table as &mut dyn toml_edit::TableLike).ok_or_else(missing)
        }
        Item::Value(Value::Array(list)) => list
            .get_mut(place)
            .and_then(Value::as_inline_table_mut)
            .map(|table| table as &mut dyn toml_edit::TableLike)
            .ok_or_else(missing),
        other => other.as_table_like_mut().ok_or_else(|| CannotSet::Field(name.clone())),
    }
}

/// Ways in which a value may be meant.
#[derive(Debug, Clone, Copy)]
enum Written {
    /// As it stands.
    Plain,
    /// A list, separated by commas.
    List,
}

fn edited(text: &str, field: &str, value: &str, written: Written) -> Result<String, CannotSet> {
    let mut document: DocumentMut = text.parse().map_err(CannotSet::NotToml)?;
    let steps = steps(field)?;
    let Some((last, path)) = steps.split_last() else { return Err(CannotSet::Field(field.to_owned())) };
    let mut table: &mut dyn toml_edit::TableLike = document.as_table_mut();
    for (place, step) in path.iter().enumerate() {
        table = below(table, step)?;
        let next = path.get(place + 1).unwrap_or(last);
        if place == 0 && PARTS.contains(&step.0.as_str()) && !OF_THE_PIECE.contains(&next.0.as_str()) {
            // A figure of the part: corrected for this very piece.
            table = below(table, &("set".to_owned(), None))?;
        }
    }
    if last.1.is_some() {
        return Err(CannotSet::Field(field.to_owned()));
    }
    if path.len() == 1 && last.0 == "id" && PARTS.contains(&path[0].0.as_str()) {
        // A part that is named is no longer described.
        table.remove("part");
    }
    let new = match written {
        Written::Plain => value_of(value),
        Written::List => Value::Array(
            value.split(',').map(str::trim).filter(|one| !one.is_empty()).map(value_of).collect(),
        ),
    };
    table.insert(&last.0, Item::Value(new));
    Ok(document.to_string())
}

/// The text of a record with one field set, if it can still be read with it.
///
/// # Errors
/// The field is none, or its value is not one that the field takes.
pub fn set_field(
    record: &SourceFile,
    field: &str,
    value: &str,
    library: &ReadLibrary,
) -> Result<String, CannotSet> {
    let text = String::from_utf8_lossy(&record.bytes);
    // What is wrong with the first way is told, if no other way is right.
    let mut first = None;
    for written in [Written::Plain, Written::List] {
        let text = edited(&text, field, value, written)?;
        let changed = SourceFile { name: record.name.clone(), bytes: text.clone().into_bytes() };
        let (_, problems) = file::read(&changed, library);
        if problems.iter().all(|problem| problem.severity != Severity::Error) {
            return Ok(text);
        }
        first.get_or_insert(CannotSet::Unreadable { changed, problems });
    }
    Err(first.unwrap_or_else(|| CannotSet::Field(field.to_owned())))
}

/// The text of a record after a part was changed for one of the library: the section names the new part, and
/// what was said of the old piece (age, faults, figures set by hand) is gone with it. `paste` puts fresh paste.
///
/// # Errors
/// The record is no TOML.
pub fn with_part(text: &str, section: &str, id: &str) -> Result<String, CannotSet> {
    let mut document: DocumentMut = text.parse().map_err(CannotSet::NotToml)?;
    let mut part = toml_edit::InlineTable::new();
    let (name, item) = match section {
        "paste" => {
            part.insert("paste", id.into());
            part.insert("state", "fresh".into());
            ("joint", Item::Value(Value::InlineTable(part)))
        }
        "memory" => {
            part.insert("id", id.into());
            let list: toml_edit::Array = [Value::InlineTable(part)].into_iter().collect();
            ("memory", Item::Value(Value::Array(list)))
        }
        section => {
            part.insert("id", id.into());
            (section, Item::Value(Value::InlineTable(part)))
        }
    };
    // A value goes before the tables of a document, whatever stood there before.
    document.remove(name);
    document.insert(name, item);
    Ok(document.to_string())
}

/// A task's fields as a record writes them; what is unknown is left out.
fn task_table(task: &Task) -> toml_edit::InlineTable {
    let mut table = toml_edit::InlineTable::new();
    table.insert("name", task.name.as_str().into());
    if let Some(time) = task.time_a_day.known() {
        table.insert("time_a_day", time.rounded(3).into());
    }
    let shares = [
        ("serial", task.serial),
        ("parallel", task.parallel),
        ("memory", task.memory),
        ("elsewhere", task.elsewhere),
    ];
    for (name, share) in shares {
        if let Some(share) = share.known() {
            table.insert(name, share.rounded(3).into());
        }
    }
    if let Some(widest) = task.widest {
        table.insert("widest", i64::from(widest).into());
    }
    if task.attended == Attended::Alone {
        table.insert("attended", "alone".into());
    }
    table
}

/// The text of a record with these tasks instead of its own; an empty text gives a file of tasks only.
///
/// # Errors
/// The record is no TOML.
pub fn with_tasks(text: &str, tasks: &[Task]) -> Result<String, CannotSet> {
    let mut document: DocumentMut = text.parse().map_err(CannotSet::NotToml)?;
    let mut list = toml_edit::Array::new();
    for task in tasks {
        let mut value = Value::InlineTable(task_table(task));
        value.decor_mut().set_prefix("\n    ");
        list.push_formatted(value);
    }
    list.set_trailing("\n");
    list.set_trailing_comma(true);
    // A value goes before the tables of a document, whatever stood there before.
    document.remove("task");
    document.insert("task", Item::Value(Value::Array(list)));
    Ok(document.to_string())
}
