//! Which import brought a figure: looked up in the import's tables only when somebody asks.

use upgrade::part::id::{Kind, PartId};

use crate::csv_tree;
use crate::imported::gather::rearm_all;
use crate::imported::note::{self, ImportNote};
use crate::imported::place::{NOTE, ROW, import_file};
use crate::library::{csv_kind, text_of};
use crate::node::{Node, Value};
use crate::problem::{Problems, SourceFile};

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureOrigin {
    /// Field, as `cores[1].base_clock`.
    pub field: String,
    /// Value as the import wrote it.
    pub value: String,
    /// Number of the import.
    pub import: u32,
    /// Row of the list that was imported, from one.
    pub row: Option<u32>,
}

/// Every figure that imports brought for a part, in the order of imports.
pub fn figures(files: &[SourceFile], kind: Kind, id: &PartId) -> Vec<FigureOrigin> {
    let mut out = Vec::new();
    for file in files {
        let Some(place) = import_file(&file.name).filter(|place| csv_kind(place.name) == Some(kind)) else {
            continue;
        };
        let Ok(text) = text_of(file) else { continue };
        // The id is looked for in the text first: most tables do not hold it.
        if !text.contains(id.text()) {
            continue;
        }
        let mut problems = Problems::new("", "");
        for row in csv_tree::parse(text, &mut problems) {
            let Value::Table(mut table) = row.value else { continue };
            rearm_all(&mut table);
            let is_it = table.entries.get("id").is_some_and(|(_, node)| node.value.scalar() == id.text());
            if !is_it {
                continue;
            }
            let said = table.entries.get(ROW).and_then(|(_, node)| node.value.scalar().parse().ok());
            for (name, (_, node)) in &table.entries {
                if name != ROW && name != "id" {
                    flat(name, node, &mut |field, value| {
                        out.push(FigureOrigin { field, value, import: place.number, row: said });
                    });
                }
            }
        }
    }
    out
}

/// Every plain value of a node with its path.
pub fn flat(path: &str, node: &Node, take: &mut impl FnMut(String, String)) {
    match &node.value {
        Value::Table(table) => {
            for (name, (_, inner)) in &table.entries {
                flat(&format!("{path}.{name}"), inner, take);
            }
        }
        Value::List(list) if list.iter().any(|item| matches!(item.value, Value::Table(_))) => {
            for (place, item) in list.iter().enumerate() {
                flat(&format!("{path}[{}]", place + 1), item, take);
            }
        }
        Value::List(list) => {
            let texts: Vec<String> = list.iter().map(|item| item.value.scalar()).collect();
            take(path.to_owned(), texts.join("; "));
        }
        other => take(path.to_owned(), other.scalar()),
    }
}

/// What the imports of a library say of themselves, by number.
pub fn notes(files: &[SourceFile]) -> Vec<(u32, ImportNote)> {
    let mut out: Vec<(u32, ImportNote)> = files
        .iter()
        .filter_map(|file| {
            let place = import_file(&file.name).filter(|place| place.name == NOTE)?;
            Some((place.number, note::read(file).0?))
        })
        .collect();
    out.sort_by_key(|(number, _)| *number);
    out
}
