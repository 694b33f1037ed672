//! Prints a Parquet file as lines, or turns a file into one written by this crate: what the check against other programs
//! runs.
//!
//! `columns_text FILE` prints the notes, the columns and every row, cells between tabs. `columns_text FILE OUT` reads FILE
//! and writes it as OUT.

use std::io::Write as _;

use columns::limits::Limits;
use columns::read::{self, Reader};
use columns::table::Values;
use columns::write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let file = words.next().ok_or("name a Parquet file")?;
    if let Some(out) = words.next() {
        let table = read::table(std::fs::read(file)?, Limits::ORDINARY)?;
        std::fs::write(out, write::table(&table)?)?;
        return Ok(());
    }
    let reader = Reader::of_file(std::fs::File::open(file)?, Limits::ORDINARY)?;
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for (key, text) in reader.notes() {
        writeln!(out, "note\t{key}\t{text}")?;
    }
    for (name, kind) in reader.columns() {
        writeln!(out, "column\t{name}\t{}", kind.word())?;
    }
    for left in reader.left_out() {
        writeln!(out, "left out\t{}\t{}", left.name, left.reason)?;
    }
    for group in 0..reader.groups() {
        let columns = reader.group(group)?;
        let rows = columns.first().map_or(0, |column| column.values.len());
        for row in 0..rows {
            write!(out, "row")?;
            for column in &columns {
                write!(out, "\t{}", cell(&column.values, row))?;
            }
            writeln!(out)?;
        }
    }
    Ok(out.flush()?)
}

fn cell(values: &Values, row: usize) -> String {
    let text = match values {
        Values::Numbers(cells) => cells.get(row).copied().flatten().map(|cell| format!("{cell:?}")),
        Values::Whole(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Words(cells) => cells.get(row).cloned().flatten().map(|cell| format!("{cell:?}")),
        Values::YesNo(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
    };
    text.unwrap_or_else(|| "-".to_owned())
}
