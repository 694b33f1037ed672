//! Reading files from disk: the only place in this crate that does.

use std::fs;
use std::path::{Path, PathBuf};

use crate::imported::place::{FOLDER, number_of};
use crate::problem::SourceFile;

/// A file or folder that could not be read.
#[derive(Debug, thiserror::Error)]
#[error("cannot read {}", path.display())]
pub struct FolderError {
    /// Which.
    pub path: PathBuf,
    /// What the system said.
    pub source: std::io::Error,
}

/// One file.
///
/// # Errors
/// It cannot be read.
pub fn file(path: &Path) -> Result<SourceFile, FolderError> {
    let bytes = fs::read(path).map_err(|source| FolderError { path: path.to_owned(), source })?;
    Ok(SourceFile { name: path.display().to_string(), bytes })
}

/// Every TOML and CSV file directly in a folder, by name, then those of its imports by number.
///
/// # Errors
/// The folder or one of its files cannot be read.
pub fn files(folder: &Path) -> Result<Vec<SourceFile>, FolderError> {
    let mut files = directly(folder)?;
    let imports = folder.join(FOLDER);
    if imports.is_dir() {
        for (_, import) in numbered(&imports)? {
            files.extend(directly(&import)?);
        }
    }
    Ok(files)
}

/// The numbered folders in a folder of imports, in order.
///
/// # Errors
/// The folder cannot be read.
pub fn numbered(imports: &Path) -> Result<Vec<(u32, PathBuf)>, FolderError> {
    let failed = |source| FolderError { path: imports.to_owned(), source };
    let mut found = Vec::new();
    for entry in fs::read_dir(imports).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let number = path.file_name().and_then(|name| number_of(name.to_str()?));
        if let Some(number) = number.filter(|_| path.is_dir()) {
            found.push((number, path));
        }
    }
    found.sort();
    Ok(found)
}

fn directly(folder: &Path) -> Result<Vec<SourceFile>, FolderError> {
    let failed = |source| FolderError { path: folder.to_owned(), source };
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let wanted = path
            .extension()
            .and_then(|ending| ending.to_str())
            .is_some_and(|ending| ending.eq_ignore_ascii_case("toml") || ending.eq_ignore_ascii_case("csv"));
        if wanted && path.is_file() {
            paths.push(path);
        }
    }
    paths.sort();
    paths.iter().map(|path| file(path)).collect()
}
