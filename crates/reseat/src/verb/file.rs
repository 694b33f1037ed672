//! Reading and writing files for the verbs.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// What went wrong with a file.
#[derive(Debug, thiserror::Error)]
pub(crate) enum FileError {
    /// It could not be read.
    #[error("cannot read {}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// It could not be written.
    #[error("cannot write {}; nothing there was changed", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

/// Makes a folder where there is none yet.
pub(crate) fn make_folder(path: &Path) -> Result<(), FileError> {
    fs::create_dir_all(path).map_err(|source| FileError::Write { path: path.to_owned(), source })
}

/// The bytes of a file.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    fs::read(path).map_err(|source| FileError::Read { path: path.to_owned(), source })
}

/// Writes a file whole or not at all: beside it first, then moved into its place.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let attempt = || {
        let mut beside = path.as_os_str().to_owned();
        beside.push(".part");
        let beside = PathBuf::from(beside);
        let mut file = fs::File::create(&beside)?;
        file.write_all(bytes).and_then(|()| file.sync_all()).inspect_err(|_| {
            // The half-written file is of no use; that it cannot be removed adds nothing.
            let _ = fs::remove_file(&beside);
        })?;
        fs::rename(&beside, path)
    };
    attempt().map_err(|source| FileError::Write { path: path.to_owned(), source })
}

/// Prints to standard output; a reader that went away ends the run quietly.
pub(crate) fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    if out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_err() {
        std::process::exit(0);
    }
}

/// Prints JSON to standard output.
pub(crate) fn print_json(value: &serde_json::Value) {
    print(&format!("{value:#}\n"));
}
