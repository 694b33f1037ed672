//! Every reading of a machine file as a row: its field, its value, its origin.

use quantity::reading::Origin;
use upgrade::part::id::{Kind, PartId};

use crate::fields::{origin_word, own_origin};
use crate::library::{ReadLibrary, text_of};
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, SourceFile};
use crate::toml_tree;

/// One reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Field, as `machine set` takes it.
    pub field: String,
    /// Value as written.
    pub value: String,
    /// Origin, by its word in files.
    pub origin: String,
}

const SECTIONS: [(&str, Kind); 6] = [
    ("processor", Kind::Processor),
    ("board", Kind::Board),
    ("memory", Kind::Memory),
    ("cooler", Kind::Cooler),
    ("supply", Kind::Supply),
    ("case", Kind::Case),
];

/// The readings of a file, parts of the library included, in the order of their fields.
pub fn rows(file: &SourceFile, library: &ReadLibrary) -> (Vec<Row>, Vec<Problem>) {
    let text = match text_of(file) {
        Ok(text) => text,
        Err(problem) => return (Vec::new(), vec![*problem]),
    };
    let mut problems = Problems::new(&file.name, text);
    let tree = toml_tree::parse(text, &mut problems);
    let mut out = Vec::new();
    for (name, (_, node)) in &tree.entries {
        let kind = SECTIONS.iter().find(|(section, _)| section == name).map(|(_, kind)| *kind);
        match (kind, &node.value) {
            (Some(kind), Value::Table(table)) => part(&mut out, name, kind, table, library),
            (Some(kind), Value::List(list)) => {
                for (place, item) in list.iter().enumerate() {
                    if let Value::Table(table) = &item.value {
                        part(&mut out, &format!("{name}[{}]", place + 1), kind, table, library);
                    }
                }
            }
            _ => walk(&mut out, name, node, Origin::Hand),
        }
    }
    (out, problems.found)
}

/// The rows of one part: what the library says, with what was set by hand put over it.
fn part(out: &mut Vec<Row>, path: &str, kind: Kind, table: &Table, library: &ReadLibrary) {
    let entry = |name: &str| table.entries.get(name).map(|(_, node)| &node.value);
    for (name, (_, node)) in &table.entries {
        if !matches!(name.as_str(), "set" | "part") {
            walk(out, &format!("{path}.{name}"), node, Origin::Hand);
        }
    }
    let base = match (entry("id"), entry("part")) {
        (Some(Value::Text(id)), _) => library.tables.get(&(kind, PartId::new(id))).cloned(),
        (_, Some(Value::Table(private))) => Some(private.clone()),
        _ => None,
    };
    let Some(base) = base else { return };
    let private = matches!(entry("part"), Some(Value::Table(_)));
    let merged = match entry("set") {
        Some(Value::Table(corrected)) => base.overlaid(corrected, Origin::Hand),
        _ => base,
    };
    let default = if private { own_origin(&merged).unwrap_or(Origin::Hand) } else { Origin::Sheet };
    for (name, (_, node)) in &merged.entries {
        if !matches!(name.as_str(), "id" | "offers" | "origin") {
            walk(out, &format!("{path}.{name}"), node, default);
        }
    }
}

fn walk(out: &mut Vec<Row>, path: &str, node: &Node, default: Origin) {
    let origin = node.origin.unwrap_or(default);
    match &node.value {
        Value::Table(table) if table.entries.contains_key("value") => {
            let own = |name: &str| table.entries.get(name).map(|(_, node)| node.value.scalar());
            out.push(Row {
                field: path.to_owned(),
                value: own("value").unwrap_or_default(),
                origin: own("origin").unwrap_or_else(|| origin_word(origin).to_owned()),
            });
        }
        Value::Table(table) => {
            let origin = own_origin(table).unwrap_or(origin);
            for (name, (_, inner)) in table.entries.iter().filter(|(name, _)| *name != "origin") {
                walk(out, &format!("{path}.{name}"), inner, origin);
            }
        }
        Value::List(list) => {
            let plain: Vec<String> = list.iter().map(|item| item.value.scalar()).collect();
            if plain.iter().all(|text| !text.is_empty()) {
                let value = if plain.is_empty() { "none".to_owned() } else { plain.join(", ") };
                out.push(Row { field: path.to_owned(), value, origin: origin_word(origin).to_owned() });
            } else {
                for (place, item) in list.iter().enumerate() {
                    walk(out, &format!("{path}[{}]", place + 1), item, origin);
                }
            }
        }
        other => out.push(Row {
            field: path.to_owned(),
            value: other.scalar(),
            origin: origin_word(origin).to_owned(),
        }),
    }
}
