//! What many machines have in common: a machine file with only some of its fields, which fills what records leave out.

use crate::library::text_of;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, SourceFile};
use crate::toml_tree;

/// Fields that hold for every machine that does not say otherwise.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Common {
    fields: Table,
}

/// What a record may leave to the common fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// A person wrote it: whatever it says stands.
    Written,
    /// A program read it: what it could not see, and the work that it only assumes, gives way.
    Surveyed,
}

/// Sections that a survey cannot see.
const UNSEEN: [&str; 4] = ["cooler", "supply", "case", "task"];
/// Sections that name one part: they are taken whole or not at all.
const PARTS: [&str; 6] = ["processor", "board", "memory", "cooler", "supply", "case"];

impl Common {
    /// Reads the fields.
    pub fn read(file: &SourceFile) -> (Self, Vec<Problem>) {
        let text = match text_of(file) {
            Ok(text) => text,
            Err(problem) => return (Self::default(), vec![*problem]),
        };
        let mut problems = Problems::new(&file.name, text);
        let fields = placeless(&toml_tree::parse(text, &mut problems));
        (Self { fields }, problems.found)
    }

    /// A record's fields with those that it leaves out.
    pub fn fill(&self, record: &mut Table, standing: Standing) {
        if standing == Standing::Surveyed {
            for name in UNSEEN.iter().filter(|name| self.fields.entries.contains_key(**name)) {
                record.entries.remove(*name);
            }
        }
        fill(record, &self.fields);
    }
}

fn fill(record: &mut Table, common: &Table) {
    for (name, (span, node)) in &common.entries {
        match record.entries.get_mut(name) {
            None => {
                record.entries.insert(name.clone(), (span.clone(), node.clone()));
            }
            Some((_, own)) => {
                if let (Value::Table(own), Value::Table(common)) = (&mut own.value, &node.value)
                    && !PARTS.contains(&name.as_str())
                {
                    fill(own, common);
                }
            }
        }
    }
}

/// Fields without their places, which are those of another file than the one they are put into.
fn placeless(table: &Table) -> Table {
    let entries = table.entries.iter().map(|(name, (_, node))| (name.clone(), (0..0, bare(node))));
    Table { entries: entries.collect() }
}

fn bare(node: &Node) -> Node {
    let value = match &node.value {
        Value::List(list) => Value::List(list.iter().map(bare).collect()),
        Value::Table(table) => Value::Table(placeless(table)),
        other => other.clone(),
    };
    Node { span: 0..0, value, origin: node.origin }
}
