//! Figures that imports brought, gathered by part, and the parts they make.

use std::collections::BTreeMap;

use quantity::reading::Origin;
use upgrade::part::id::{Kind, PartId};

use crate::csv_tree;
use crate::fields::Fields;
use crate::imported::place::ROW;
use crate::imported::safe_cell::rearm;
use crate::library::{ReadLibrary, Sketch, put};
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems};

/// A file under way.
#[derive(Debug, Clone, Copy)]
pub struct Taken<'f> {
    /// Its name.
    pub name: &'f str,
    /// Its text.
    pub text: &'f str,
}

/// One row of an import.
#[derive(Debug)]
struct Row {
    file: usize,
    line: usize,
    span: core::ops::Range<usize>,
    table: Table,
}

/// Rows by part, in the order of imports.
#[derive(Debug, Default)]
pub struct Gathered<'f> {
    files: Vec<Taken<'f>>,
    rows: BTreeMap<(Kind, PartId), Vec<Row>>,
}

/// Puts the values of another table over those of this one, field by field, in lists of tables place by place.
pub fn absorb(table: &mut Table, other: Table) {
    for (name, (span, node)) in other.entries {
        match table.entries.get_mut(&name) {
            None => {
                table.entries.insert(name, (span, node));
            }
            Some((_, old)) => absorb_node(old, node),
        }
    }
}

fn absorb_node(old: &mut Node, new: Node) {
    match (&mut old.value, new.value) {
        (Value::Table(old), Value::Table(new)) => absorb(old, new),
        (Value::List(old), Value::List(new))
            if new.iter().all(|item| matches!(item.value, Value::Table(_))) =>
        {
            for (place, item) in new.into_iter().enumerate() {
                match old.get_mut(place) {
                    Some(old) => absorb_node(old, item),
                    None => old.push(item),
                }
            }
        }
        (_, value) => *old = Node { value, ..new },
    }
}

/// Takes the apostrophes off that keep spreadsheet programs from calculating.
pub fn rearm_all(table: &mut Table) {
    for (_, node) in table.entries.values_mut() {
        rearm_node(node);
    }
}

fn rearm_node(node: &mut Node) {
    match &mut node.value {
        Value::Cell(text) if rearm(text).len() != text.len() => *text = rearm(text).to_owned(),
        Value::Table(inner) => rearm_all(inner),
        Value::List(list) => list.iter_mut().for_each(rearm_node),
        _ => {}
    }
}

impl<'f> Gathered<'f> {
    /// Takes the rows of a table of one kind.
    pub fn table(&mut self, kind: Kind, file: Taken<'f>, problems: &mut Problems<'_>) {
        let place = self.files.len();
        self.files.push(file);
        let mut lines = LineCount::default();
        for row in csv_tree::parse(file.text, problems) {
            let line = lines.of(file.text, row.span.start);
            let Value::Table(mut table) = row.value else { continue };
            table.entries.remove(ROW);
            rearm_all(&mut table);
            let mut fields = Fields::read(&table, row.span.clone(), kind.word(), Origin::Sheet, problems);
            let Some(id) = fields.required_id("id") else { continue };
            let row = Row { file: place, line, span: row.span, table };
            self.rows.entry((kind, id)).or_default().push(row);
        }
    }

    /// Makes parts of the rows, those of the library's own files over them.
    pub fn finish(self, read: &mut ReadLibrary, found: &mut Vec<Problem>) {
        let Self { files, rows } = self;
        let mut told = 0;
        for ((kind, id), rows) in rows {
            let own = read.tables.get(&(kind, id.clone())).cloned();
            // Who stands in an own file under another kind keeps the id.
            if own.is_none()
                && let Some((file, line)) = read.places.get(&id).cloned()
            {
                if let Some(row) = rows.first() {
                    let file_of = files.get(row.file);
                    let mut problems =
                        Problems::new(file_of.map_or("", |file| file.name), file_of.map_or("", |f| f.text));
                    let message = format!(
                        "the id \"{id}\" stands already in {file}, line {line}, as another kind of part"
                    );
                    problems.error(row.span.start..row.span.start, "id", message, None);
                    found.append(&mut problems.found);
                }
                continue;
            }
            let alone = own.is_none() && rows.len() == 1;
            let mut merged = Table::default();
            let mut last = (String::new(), 0);
            let mut part = None;
            for row in rows {
                let Some(file) = files.get(row.file) else { continue };
                last = (file.name.to_owned(), row.line);
                // Each row is read by itself, so that what is wrong in it is told with its own place.
                let mut problems = Problems::of_sketches(file.name, file.text);
                let path = format!("{} {id}", kind.word());
                let taken = put::part(kind, &row.table, row.span, &path, &mut problems);
                if told < crate::problem::MOST_PROBLEMS {
                    told += problems.found.len();
                    found.append(&mut problems.found);
                }
                if alone {
                    let missing = problems.missing.unwrap_or_default().into_iter().map(|field| {
                        field
                            .strip_prefix(&path)
                            .and_then(|field| field.strip_prefix('.'))
                            .unwrap_or(&field)
                            .to_owned()
                    });
                    part = Some((taken, missing.collect()));
                    merged = row.table;
                } else {
                    absorb(&mut merged, row.table);
                }
            }
            if !alone {
                if let Some(own) = &own {
                    absorb(&mut merged, own.clone());
                }
                let mut problems = Problems::of_sketches("", "");
                let taken = put::part(kind, &merged, 0..0, "", &mut problems);
                part = Some((taken, problems.missing.unwrap_or_default()));
            }
            if own.is_none() {
                read.places.insert(id.clone(), last);
            } else {
                read.own_tables.extend(own.map(|own| ((kind, id.clone()), own)));
            }
            match part {
                Some((Some(part), _)) => put::into(&mut read.library, part),
                Some((None, missing)) => {
                    read.sketches.insert((kind, id.clone()), Sketch { missing });
                }
                None => {}
            }
            read.tables.insert((kind, id), merged);
        }
    }
}

/// Counts lines along a file that is read from its beginning to its end.
#[derive(Debug, Default)]
struct LineCount {
    byte: usize,
    lines: usize,
}

impl LineCount {
    fn of(&mut self, text: &str, byte: usize) -> usize {
        let between = text.as_bytes().get(self.byte..byte).unwrap_or_default();
        self.lines += between.iter().filter(|byte| **byte == b'\n').count();
        self.byte = self.byte.max(byte);
        self.lines + 1
    }
}
