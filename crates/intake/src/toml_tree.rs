//! TOML text as a tree with places.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::node::{Node, Table, Value};
use crate::problem::Problems;

/// Largest file that is read, in bytes.
pub const LARGEST_FILE: usize = 64 * 1024 * 1024;

/// The tree of a TOML text. What cannot be read is reported and left out.
pub fn parse(text: &str, problems: &mut Problems<'_>) -> Table {
    let (table, errors) = DeTable::parse_recoverable(text);
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        let message = format!("this is not TOML: {}", error.message());
        problems.error(span, "", message, Some("write each field as  name = \"value\"".to_owned()));
    }
    table_of(table.get_ref())
}

fn table_of(table: &DeTable<'_>) -> Table {
    let entries = table.iter().map(|(name, node)| (name.get_ref().to_string(), (name.span(), node_of(node))));
    Table { entries: entries.collect() }
}

fn node_of(node: &Spanned<DeValue<'_>>) -> Node {
    let value = match node.get_ref() {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(whole) => i64::from_str_radix(&whole.as_str().replace('_', ""), whole.radix())
            .map_or_else(|_| Value::Text(whole.as_str().to_owned()), Value::Whole),
        DeValue::Float(number) => number
            .as_str()
            .replace('_', "")
            .parse()
            .map_or_else(|_| Value::Text(number.as_str().to_owned()), Value::Number),
        DeValue::Boolean(truth) => Value::Truth(*truth),
        DeValue::Datetime(moment) => Value::Moment(moment.to_string()),
        DeValue::Array(list) => Value::List(list.iter().map(node_of).collect()),
        DeValue::Table(table) => Value::Table(table_of(table)),
    };
    Node { span: node.span(), value, origin: None }
}
