//! An import as the plain files it leaves in the library.

use std::collections::BTreeMap;

use intake::imported::place::{NOTE, PRICES, ROW};
use quantity::day::Day;
use toml_edit::{Array, DocumentMut, value};
use upgrade::part::id::Kind;

use crate::export::row;
use crate::mapping_text;
use crate::preview::Preview;

/// Name of the mapping that an import was made with.
pub const MAPPING: &str = "mapping.toml";

/// A file of an import.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableFile {
    /// Name.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

const fn table_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Processor => "processors.csv",
        Kind::Chipset => "chipsets.csv",
        Kind::Board => "boards.csv",
        Kind::Memory => "memory.csv",
        Kind::Cooler => "coolers.csv",
        Kind::Paste => "pastes.csv",
        Kind::Supply => "supplies.csv",
        Kind::Case => "cases.csv",
    }
}

/// The files of an import: tables of what is new, where it comes from, and the mapping that read it.
pub fn files(preview: &Preview, taken: Day) -> Vec<TableFile> {
    let mut out = Vec::new();
    let mut kinds: BTreeMap<Kind, Vec<usize>> = BTreeMap::new();
    for (place, part) in preview.parts.iter().enumerate() {
        kinds.entry(part.kind).or_default().push(place);
    }
    for (kind, places) in kinds {
        let parts = || places.iter().filter_map(|place| preview.parts.get(*place));
        let mut fields: Vec<usize> =
            parts().flat_map(|part| &part.figures).map(|figure| figure.field).collect();
        fields.sort_unstable();
        fields.dedup();
        let name = |field: &usize| preview.fields.get(*field).map_or("", String::as_str);
        let mut text = String::new();
        row(&mut text, ["id", ROW].into_iter().chain(fields.iter().map(name)));
        for part in parts() {
            let number = part.row.to_string();
            let figures = fields.iter().map(|field| {
                part.figures.iter().find(|figure| figure.field == *field).map_or("", |figure| &*figure.new)
            });
            row(&mut text, [part.id.text(), &number].into_iter().chain(figures));
        }
        out.push(TableFile { name: table_name(kind).to_owned(), bytes: text.into_bytes() });
    }
    if !preview.prices.is_empty() {
        let mut text = String::new();
        row(&mut text, ["id", "price", "amount", "day", "shop", "stock", ROW]);
        for price in &preview.prices {
            let quote = &price.quote;
            let cells = [
                price.id.text().to_owned(),
                price.kind.word().to_owned(),
                price.amount.to_string(),
                quote.day.to_string(),
                quote.shop.clone().unwrap_or_default(),
                quote.stock.map(|stock| stock.to_string()).unwrap_or_default(),
                price.row.to_string(),
            ];
            row(&mut text, cells.iter().map(String::as_str));
        }
        out.push(TableFile { name: PRICES.to_owned(), bytes: text.into_bytes() });
    }
    let mut note = DocumentMut::new();
    note["source"] = value(preview.source.as_str());
    note["sha256"] = value(preview.digest.as_str());
    note["taken"] = value(taken.to_string());
    let mut remarks = Array::new();
    for remark in &preview.remarks {
        remarks.push(remark.as_str());
    }
    remarks.push(format!(
        "{} rows; {} parts and {} prices taken; {} cells or rows not taken, {} figures in conflict",
        preview.rows,
        preview.parts.len(),
        preview.prices.len(),
        preview.rejected.len(),
        preview.conflicts.len()
    ));
    note["remarks"] = value(remarks);
    out.push(TableFile { name: NOTE.to_owned(), bytes: note.to_string().into_bytes() });
    let mapping = mapping_text::write(&preview.mapping);
    out.push(TableFile { name: MAPPING.to_owned(), bytes: mapping.into_bytes() });
    out
}
