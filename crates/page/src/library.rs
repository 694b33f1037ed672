//! The parts library with own parts after it.

use std::path::{Path, PathBuf};

use imports::shelf::{self, Mark, ShelfError};
use intake::folder::{self, FolderError};
use intake::library::{self, ReadLibrary};
use intake::problem::{Problem, SourceFile};

/// Where the library's files are.
#[derive(Debug, Clone)]
pub enum Base {
    /// In the program: they cannot be changed.
    Demo(Vec<SourceFile>),
    /// In a folder, which takes lists in.
    Folder(PathBuf),
}

impl Base {
    /// The folder, where it is one.
    pub fn folder(&self) -> Option<&Path> {
        match self {
            Self::Demo(_) => None,
            Self::Folder(folder) => Some(folder),
        }
    }

    /// Its files as they are now.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn files(&self) -> Result<Vec<SourceFile>, FolderError> {
        match self {
            Self::Demo(files) => Ok(files.clone()),
            Self::Folder(folder) => folder::files(folder),
        }
    }

    /// Which lists are in it now; none where it takes none.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn mark(&self) -> Result<Option<Mark>, ShelfError> {
        self.folder().map(shelf::mark).transpose()
    }
}

/// A library as it is now.
#[derive(Debug)]
pub struct LibraryNow {
    /// Which reading of this run it is: another number may be another library.
    pub reading: u64,
    /// What was read.
    pub read: ReadLibrary,
    /// Its files, for messages.
    pub files: Vec<SourceFile>,
    /// What is wrong in them.
    pub problems: Vec<Problem>,
}

/// Reads a library's files and own parts.
pub fn read(mut files: Vec<SourceFile>, own: &[(String, String)]) -> LibraryNow {
    files.extend(
        own.iter().map(|(name, text)| SourceFile { name: name.clone(), bytes: text.clone().into_bytes() }),
    );
    let (read, problems) = library::read(&files);
    LibraryNow { reading: 0, read, files, problems }
}
