//! Imports on the disk: taken in whole or not at all, taken back, listed. The only file of this crate that touches it.
//!
//! # Model
//! An import is written into a folder that nobody reads, each file and the folder are brought to the disk, and one
//! rename makes it part of the library. Whatever stops it before that leaves the library as it was; what lies in the
//! unread folder is cleared by the next import. Taking back is one rename too. Both hold a lock, so that two at once
//! wait for each other, and both look again at what the library's last import is before they begin.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use intake::folder::{FolderError, numbered};
use intake::imported::note::{self, ImportNote};
use intake::imported::place::{FOLDER, NOTE};
use intake::problem::SourceFile;

use crate::tables::TableFile;

const UNREAD: &str = ".taking";
const UNDONE: &str = "undone";
const LOCK: &str = ".lock";

/// What went wrong with a library's imports.
#[derive(Debug, thiserror::Error)]
pub enum ShelfError {
    /// The library is no folder.
    #[error("{} is no folder with a parts library", .0.display())]
    NoFolder(PathBuf),
    /// Something could not be written; the library is as it was.
    #[error("cannot write {}; nothing in the library was changed", path.display())]
    Write {
        /// What.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Something could not be read.
    #[error(transparent)]
    Read(#[from] FolderError),
    /// Another import came between preview and taking.
    #[error(
        "the library was changed by another import meanwhile; nothing was taken, look at the preview again"
    )]
    Overtaken,
    /// There is no such import.
    #[error("there is no import {number} that could be taken back{}", if *.undone { ": it has been already" } else { "" })]
    NoSuchImport {
        /// Its number.
        number: u32,
        /// Whether it was taken back before.
        undone: bool,
    },
    /// There is nothing to take back.
    #[error("this library has no import that could be taken back")]
    NothingToUndo,
}

/// An import that is in a library or was taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shelved {
    /// Its number.
    pub number: u32,
    /// Whether it was taken back.
    pub undone: bool,
    /// Where it comes from; none where its note cannot be read.
    pub note: Option<ImportNote>,
}

fn failed(path: &Path) -> impl FnOnce(io::Error) -> ShelfError + '_ {
    move |source| ShelfError::Write { path: path.to_owned(), source }
}

/// Brings a folder's names to the disk.
fn settle(folder: &Path) -> Result<(), ShelfError> {
    File::open(folder).and_then(|folder| folder.sync_all()).map_err(failed(folder))
}

/// The lock of a library, held as long as this lives.
struct Held {
    _file: File,
}

fn hold(imports: &Path) -> Result<Held, ShelfError> {
    let path = imports.join(LOCK);
    let file = OpenOptions::new().create(true).append(true).open(&path).map_err(failed(&path))?;
    file.lock().map_err(failed(&path))?;
    Ok(Held { _file: file })
}

fn all_numbers(imports: &Path) -> Result<(Vec<u32>, Vec<u32>), ShelfError> {
    let of = |folder: &Path| -> Result<Vec<u32>, ShelfError> {
        if !folder.is_dir() {
            return Ok(Vec::new());
        }
        Ok(numbered(folder)?.into_iter().map(|(number, _)| number).collect())
    };
    Ok((of(imports)?, of(&imports.join(UNDONE))?))
}

/// What tells one state of a library's imports from another: the numbers there and those taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark(Vec<u32>, Vec<u32>);

/// The state of a library's imports; taken before a preview, and given to [`take`].
///
/// # Errors
/// The folder cannot be read.
pub fn mark(library: &Path) -> Result<Mark, ShelfError> {
    if !library.is_dir() {
        return Err(ShelfError::NoFolder(library.to_owned()));
    }
    let (there, undone) = all_numbers(&library.join(FOLDER))?;
    Ok(Mark(there, undone))
}

/// Takes an import into a library; its number.
///
/// # Errors
/// Something cannot be written, or another import came first; nothing is changed then.
pub fn take(library: &Path, files: &[TableFile], since: &Mark) -> Result<u32, ShelfError> {
    if !library.is_dir() {
        return Err(ShelfError::NoFolder(library.to_owned()));
    }
    let imports = library.join(FOLDER);
    let is_first = !imports.exists();
    fs::create_dir_all(&imports).map_err(failed(&imports))?;
    if is_first {
        settle(library)?;
    }
    let _held = hold(&imports)?;
    let (there, undone) = all_numbers(&imports)?;
    let number = there.iter().chain(&undone).max().map_or(1, |last| last + 1);
    if Mark(there, undone) != *since {
        return Err(ShelfError::Overtaken);
    }
    let unread = imports.join(UNREAD);
    clear(&unread)?;
    let place = imports.join(format!("{number:04}"));
    let attempt = || {
        fs::create_dir(&unread).map_err(failed(&unread))?;
        for file in files {
            let path = unread.join(&file.name);
            let mut written = File::create_new(&path).map_err(failed(&path))?;
            written.write_all(&file.bytes).and_then(|()| written.sync_all()).map_err(failed(&path))?;
        }
        settle(&unread)?;
        fs::rename(&unread, &place).map_err(failed(&place))?;
        settle(&imports)
    };
    attempt().inspect_err(|_| {
        // What was half written is of no use; that it cannot be removed adds nothing.
        let _ = clear(&unread);
    })?;
    Ok(number)
}

fn clear(folder: &Path) -> Result<(), ShelfError> {
    match fs::remove_dir_all(folder) {
        Err(source) if source.kind() != io::ErrorKind::NotFound => {
            Err(ShelfError::Write { path: folder.to_owned(), source })
        }
        _ => Ok(()),
    }
}

/// Takes an import back, the last one where no number is given; its number. It is kept aside, so that it can be looked
/// at.
///
/// # Errors
/// There is no such import, or the folder cannot be written; nothing is changed then.
pub fn undo(library: &Path, number: Option<u32>) -> Result<u32, ShelfError> {
    let imports = library.join(FOLDER);
    if !imports.is_dir() {
        return Err(number
            .map_or(ShelfError::NothingToUndo, |number| ShelfError::NoSuchImport { number, undone: false }));
    }
    let _held = hold(&imports)?;
    let (there, undone) = all_numbers(&imports)?;
    let number = match number {
        Some(number) => number,
        None => there.iter().copied().max().ok_or(ShelfError::NothingToUndo)?,
    };
    if !there.contains(&number) {
        return Err(ShelfError::NoSuchImport { number, undone: undone.contains(&number) });
    }
    let aside = imports.join(UNDONE);
    fs::create_dir_all(&aside).map_err(failed(&aside))?;
    let name = numbered(&imports)?.into_iter().find(|(found, _)| *found == number).map(|(_, path)| path);
    let from = name.ok_or(ShelfError::NoSuchImport { number, undone: false })?;
    let to = aside.join(format!("{number:04}"));
    fs::rename(&from, &to).map_err(failed(&to))?;
    settle(&aside)?;
    settle(&imports)?;
    Ok(number)
}

/// Every import of a library in order, those taken back among them.
///
/// # Errors
/// The folder cannot be read.
pub fn history(library: &Path) -> Result<Vec<Shelved>, ShelfError> {
    let imports = library.join(FOLDER);
    let mut out = Vec::new();
    for (folder, undone) in [(imports.clone(), false), (imports.join(UNDONE), true)] {
        if !folder.is_dir() {
            continue;
        }
        for (number, path) in numbered(&folder)? {
            let path = path.join(NOTE);
            let note = fs::read(&path)
                .ok()
                .and_then(|bytes| note::read(&SourceFile { name: path.display().to_string(), bytes }).0);
            out.push(Shelved { number, undone, note });
        }
    }
    out.sort_by_key(|shelved| shelved.number);
    Ok(out)
}
