//! Everything in a store as plain files: records and own parts as TOML, photos as JPEG, soak logs as CSV, the rest as
//! JSON.
//!
//! The folder holds `store.json` (machines, jobs, entries, and which file belongs to what),
//! `machines/ID/REVISION.toml`, `photos/NUMBER.jpg`, `logs/NUMBER.csv` and `parts/NUMBER.toml`. It is written beside its
//! place first and then moved there, so a folder of that name is always whole.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::open::{Store, StoreError, Tx};
use crate::value::{self, given};

/// Version of the folder's form.
pub const FORM: i64 = 1;

/// Why a back-up was not made.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// There is something at that place.
    #[error("{} is there already; name a new folder", .0.display())]
    Exists(PathBuf),
    /// The store cannot be read.
    #[error("cannot read the store for a back-up")]
    Store(#[from] StoreError),
    /// A file cannot be written.
    #[error("cannot write {}", path.display())]
    Write {
        /// File.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Machines.
    pub machines: usize,
    /// Jobs.
    pub jobs: usize,
    /// Photos.
    pub photos: usize,
}

struct Folder {
    at: PathBuf,
}

impl Folder {
    fn write(&self, name: &str, bytes: &[u8]) -> Result<(), BackupError> {
        let path = self.at.join(name);
        let attempt = || {
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent)?;
            }
            let mut file = fs::File::create(&path)?;
            file.write_all(bytes)?;
            file.sync_all()
        };
        attempt().map_err(|source| BackupError::Write { path: path.clone(), source })
    }
}

/// The rows of a query, each an array of its columns.
fn rows(tx: &mut Tx<'_>, sql: &str) -> Result<Vec<Vec<Value>>, StoreError> {
    tx.list(sql, &[], |row| {
        Ok(row
            .0
            .iter()
            .map(|cell| match cell {
                value::Value::Number(number) => json!(number),
                value::Value::Text(text) => json!(text),
                value::Value::Bytes(_) | value::Value::Null => Value::Null,
            })
            .collect())
    })
}

impl Store {
    /// Writes everything into a new folder.
    ///
    /// # Errors
    /// The folder is there already, or a file cannot be written; nothing is left behind then.
    pub fn back_up(&mut self, folder: &Path) -> Result<Written, BackupError> {
        if folder.exists() {
            return Err(BackupError::Exists(folder.to_owned()));
        }
        let mut beside = folder.as_os_str().to_owned();
        beside.push(".part");
        let beside = PathBuf::from(beside);
        let failed = |source| BackupError::Write { path: folder.to_owned(), source };
        if beside.exists() {
            // Left by a back-up that was cut off.
            fs::remove_dir_all(&beside).map_err(failed)?;
        }
        // One look, so that all of it is of the same moment.
        let written = self.look("read", |tx| write_all(tx, &Folder { at: beside.clone() }));
        match written {
            Ok(written) => fs::rename(&beside, folder).map_err(failed).map(|()| written),
            Err(error) => {
                // The half-written folder is of no use; that it cannot be removed adds nothing.
                let _ = fs::remove_dir_all(&beside);
                Err(error)
            }
        }
    }
}

fn write_all(tx: &mut Tx<'_>, folder: &Folder) -> Result<Written, BackupError> {
    let machines = rows(tx, "select id, name, revision, removed, changed_at from machine order by id")?;
    let texts =
        rows(tx, "select machine, revision, why, at, text from machine_text order by machine, revision")?;
    let jobs =
        rows(tx, "select id, machine, revision, parts, title, begun_at, closed_at from job order by id")?;
    let entries = rows(tx, "select job, key, step, kind, text, device, at from entry order by number")?;
    let photos = rows(tx, "select id, job, step, width, height, at from photo order by id")?;
    let parts = rows(tx, "select name, revision, at, text from parts_text order by name, revision")?;
    let logs = rows(tx, "select number, job, side, name, at, text from soak_log order by number")?;
    let mut log_list = Vec::new();
    for row in logs {
        if let [number, job, side, name, at, Value::String(text)] = row.as_slice() {
            let file = format!("logs/{number}.csv");
            folder.write(&file, text.as_bytes())?;
            log_list.push(json!([number, job, side, name, at, file]));
        }
    }
    let mut text_list = Vec::new();
    for row in texts {
        if let [Value::String(machine), revision, why, at, Value::String(text)] = row.as_slice() {
            let file = format!("machines/{machine}/{revision}.toml");
            folder.write(&file, text.as_bytes())?;
            text_list.push(json!([machine, revision, why, at, file]));
        }
    }
    let mut parts_list = Vec::new();
    for (place, row) in parts.iter().enumerate() {
        if let [name, revision, at, Value::String(text)] = row.as_slice() {
            let file = format!("parts/{}.toml", place + 1);
            folder.write(&file, text.as_bytes())?;
            parts_list.push(json!([name, revision, at, file]));
        }
    }
    let mut photo_list = Vec::new();
    for row in &photos {
        if let [Value::Number(id), job, step, width, height, at] = row.as_slice() {
            let jpeg = tx
                .first("select jpeg from photo where id = ?1", given![id.as_i64()], |row| row.bytes(0))?
                .ok_or_else(|| StoreError::Missing { what: "photo", id: id.to_string() })?;
            let file = format!("photos/{id}.jpg");
            folder.write(&file, &jpeg)?;
            photo_list.push(json!([id, job, step, width, height, at, file]));
        }
    }
    let written = Written { machines: machines.len(), jobs: jobs.len(), photos: photo_list.len() };
    let all = json!({
        "form": FORM,
        "machine": { "columns": ["id", "name", "revision", "removed", "changed_at"], "rows": machines },
        "machine_text": { "columns": ["machine", "revision", "why", "at", "file"], "rows": text_list },
        "job": {
            "columns": ["id", "machine", "revision", "parts", "title", "begun_at", "closed_at"], "rows": jobs
        },
        "entry": { "columns": ["job", "key", "step", "kind", "text", "device", "at"], "rows": entries },
        "photo": { "columns": ["id", "job", "step", "width", "height", "at", "file"], "rows": photo_list },
        "soak_log": { "columns": ["number", "job", "side", "name", "at", "file"], "rows": log_list },
        "parts_text": { "columns": ["name", "revision", "at", "file"], "rows": parts_list },
    });
    folder.write("store.json", format!("{all:#}\n").as_bytes())?;
    Ok(written)
}
