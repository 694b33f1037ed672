//! A store out of the plain files of a back-up.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::backup::{FORM, Written};
use crate::open::{Store, StoreError, Tx};
use crate::value::Value as Cell;

/// Why a back-up was not restored. The store is as it was.
#[derive(Debug, thiserror::Error)]
pub enum RestoreError {
    /// There is something in the store.
    #[error("the store is not empty: restore into a new one, named with --store")]
    NotEmpty,
    /// A file cannot be read.
    #[error("cannot read {}", path.display())]
    Read {
        /// File.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The index is no JSON.
    #[error("{} is damaged", path.display())]
    NotJson {
        /// File.
        path: PathBuf,
        /// What the parser said.
        source: serde_json::Error,
    },
    /// The index does not say what it should.
    #[error("store.json, {place}: expected {expected}")]
    Form {
        /// Where.
        place: String,
        /// What was expected there.
        expected: &'static str,
    },
    /// The store could not be written.
    #[error("cannot write the restored store")]
    Store(#[from] StoreError),
}

/// A table as a back-up holds it.
#[derive(Debug, Clone, Copy)]
struct Table {
    name: &'static str,
    columns: &'static [&'static str],
    /// Column that a file's bytes go into; the file's name is the last cell.
    file: Option<&'static str>,
    /// Column that counts the rows, where the back-up leaves that to their order.
    counts: Option<&'static str>,
}

const fn plain(name: &'static str, columns: &'static [&'static str]) -> Table {
    Table { name, columns, file: None, counts: None }
}

const fn with_file(name: &'static str, columns: &'static [&'static str], file: &'static str) -> Table {
    Table { name, columns, file: Some(file), counts: None }
}

/// Tables in an order in which each finds what it points to.
const TABLES: [Table; 7] = [
    plain("machine", &["id", "name", "revision", "removed", "changed_at"]),
    with_file("machine_text", &["machine", "revision", "why", "at"], "text"),
    plain("job", &["id", "machine", "revision", "parts", "title", "begun_at", "closed_at"]),
    Table {
        counts: Some("number"),
        ..plain("entry", &["job", "key", "step", "kind", "text", "device", "at"])
    },
    with_file("photo", &["id", "job", "step", "width", "height", "at"], "jpeg"),
    with_file("parts_text", &["name", "revision", "at"], "text"),
    with_file(SOAK_LOG, &["number", "job", "side", "name", "at"], "text"),
];

/// The table that older back-ups do not have.
const SOAK_LOG: &str = "soak_log";

fn read(path: &Path) -> Result<Vec<u8>, RestoreError> {
    fs::read(path).map_err(|source| RestoreError::Read { path: path.to_owned(), source })
}

/// The path of a file that the index names, if it stays inside the folder.
fn inside(folder: &Path, name: &str) -> Option<PathBuf> {
    let plain = Path::new(name).components().all(|part| matches!(part, std::path::Component::Normal(_)));
    plain.then(|| folder.join(name))
}

fn table(tx: &mut Tx<'_>, folder: &Path, index: &Value, wanted: Table) -> Result<usize, RestoreError> {
    let Table { name, columns, file, counts } = wanted;
    let form = |row: Option<usize>, expected| RestoreError::Form {
        place: row.map_or_else(|| name.to_owned(), |row| format!("{name}, row {}", row + 1)),
        expected,
    };
    if name == SOAK_LOG && index.get(name).is_none() {
        return Ok(0);
    }
    let rows = index.get(name).and_then(|table| table.get("rows")).and_then(Value::as_array);
    let rows = rows.ok_or_else(|| form(None, "a table with rows"))?;
    let cells_wanted = columns.len() + usize::from(file.is_some());
    let names: Vec<&str> = columns.iter().copied().chain(file).chain(counts).collect();
    let marks: Vec<String> = (1..=names.len()).map(|place| format!("?{place}")).collect();
    let sql = format!("insert into {name} ({}) values ({})", names.join(", "), marks.join(", "));
    for (place, row) in rows.iter().enumerate() {
        let cells = row.as_array().filter(|cells| cells.len() == cells_wanted);
        let cells = cells.ok_or_else(|| form(Some(place), "as many cells as columns"))?;
        let mut values: Vec<Cell> = Vec::with_capacity(names.len());
        for (column, cell) in cells.iter().enumerate() {
            values.push(match cell {
                Value::String(path) if column == columns.len() => {
                    let path =
                        inside(folder, path).ok_or_else(|| form(Some(place), "a file inside the folder"))?;
                    let bytes = read(&path)?;
                    if file == Some("jpeg") {
                        Cell::Bytes(bytes)
                    } else {
                        let text =
                            String::from_utf8(bytes).map_err(|_| form(Some(place), "text in UTF-8"))?;
                        Cell::from(&text)
                    }
                }
                Value::String(text) => Cell::from(text),
                Value::Number(number) => {
                    Cell::Number(number.as_i64().ok_or_else(|| form(Some(place), "whole numbers"))?)
                }
                Value::Null => Cell::Null,
                _ => return Err(form(Some(place), "texts and whole numbers")),
            });
        }
        if counts.is_some() {
            values.push(Cell::Number(place as i64 + 1));
        }
        tx.run(&sql, &values)?;
    }
    Ok(rows.len())
}

impl Store {
    /// Puts a back-up into this store, which must be empty; all of it or nothing.
    ///
    /// # Errors
    /// The store is not empty, or a file is missing or damaged.
    pub fn restore(&mut self, folder: &Path) -> Result<Written, RestoreError> {
        let path = folder.join("store.json");
        let index: Value =
            serde_json::from_slice(&read(&path)?).map_err(|source| RestoreError::NotJson { path, source })?;
        if index.get("form").and_then(Value::as_i64) != Some(FORM) {
            return Err(RestoreError::Form { place: "form".to_owned(), expected: "the number 1" });
        }
        self.change("write a restored row to", |tx| {
            let filled = tx.first(
                "select (select count(*) from machine) + (select count(*) from parts_text)",
                &[],
                |row| row.number(0),
            )?;
            if filled != Some(0) {
                return Err(RestoreError::NotEmpty);
            }
            let mut counts = [0; TABLES.len()];
            for (count, wanted) in counts.iter_mut().zip(TABLES) {
                *count = table(tx, folder, &index, wanted)?;
            }
            let [machines, _, jobs, _, photos, _, _] = counts;
            Ok(Written { machines, jobs, photos })
        })
    }
}
