//! SPARQL 1.1 query results in JSON, as an open knowledge base answers.
//!
//! # Source
//! W3C Recommendation 21 March 2013, SPARQL 1.1 Query Results JSON Format, 3.1 and 3.2.

use serde_json::Value;

use crate::cell::Cell;
use crate::limits::{LONGEST_CELL, MOST_CELLS, MOST_COLUMNS, MOST_ROWS};
use crate::source::separated::owned;
use crate::source::{Format, KeptRow, Source, SourceError};

fn damaged(why: impl core::fmt::Display) -> SourceError {
    SourceError::Damaged { format: Format::QueryResults.word(), why: why.to_string() }
}

/// Opens query results: the variables are the headings, on row one; the first binding is row two.
///
/// # Errors
/// It is no such JSON, cut off, an answer of yes or no, or more than is read.
pub fn open(bytes: &[u8]) -> Result<Source, SourceError> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let root: Value = serde_json::from_slice(bytes).map_err(|error| {
        let cut = if error.is_eof() { "; it is cut off: fetch it again" } else { "" };
        damaged(format!("{error}{cut}"))
    })?;
    if root.get("boolean").is_some() {
        return Err(damaged("it answers yes or no; a list needs a SELECT query"));
    }
    let variables = root
        .pointer("/head/vars")
        .and_then(Value::as_array)
        .ok_or_else(|| damaged("it has no list head.vars"))?;
    let names: Vec<&str> = variables.iter().filter_map(Value::as_str).collect();
    if names.len() > MOST_COLUMNS {
        return Err(SourceError::TooMany { what: "columns", most: MOST_COLUMNS });
    }
    let bindings = root
        .pointer("/results/bindings")
        .and_then(Value::as_array)
        .ok_or_else(|| damaged("it has no list results.bindings"))?;
    if bindings.len() > MOST_ROWS {
        return Err(SourceError::TooMany { what: "rows", most: MOST_ROWS });
    }
    if bindings.len().saturating_mul(names.len()) > MOST_CELLS {
        return Err(SourceError::TooMany { what: "cells", most: MOST_CELLS });
    }
    let mut rows = Vec::with_capacity(bindings.len() + 1);
    rows.push(KeptRow { number: 1, cells: names.iter().map(|name| owned((*name).to_owned())).collect() });
    for (place, binding) in bindings.iter().enumerate() {
        let cells = names.iter().map(|name| binding.get(name).map_or(Cell::Empty, term)).collect();
        rows.push(KeptRow { number: u32::try_from(place + 2).unwrap_or(u32::MAX), cells });
    }
    Ok(Source::kept(Format::QueryResults, vec![format!("{} results of a query", bindings.len())], rows))
}

/// One RDF term; a blank node says nothing.
fn term(term: &Value) -> Cell<'static> {
    let text = |name: &str| term.get(name).and_then(Value::as_str).unwrap_or("");
    let value = text("value");
    if text("type") == "bnode" || value.len() > LONGEST_CELL {
        return Cell::Empty;
    }
    let kind = text("datatype").rsplit(['#', '/']).next().unwrap_or("");
    match kind {
        // XML Schema 1.1 part 2 writes these with a point and without marks between thousands.
        "decimal" | "integer" | "double" | "float" | "int" | "long" | "nonNegativeInteger" => value
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
            .map_or_else(|| owned(value.to_owned()), Cell::Number),
        "date" | "dateTime" => value
            .get(..10)
            .and_then(|day| day.parse().ok())
            .map_or_else(|| owned(value.to_owned()), Cell::Day),
        "boolean" => owned(if matches!(value, "true" | "1") { "yes" } else { "no" }.to_owned()),
        _ => owned(value.to_owned()),
    }
}
