//! The parts library with own parts after it.

use intake::library::{self, ReadLibrary};
use intake::problem::{Problem, SourceFile};

/// A library as it is now.
#[derive(Debug)]
pub struct LibraryNow {
    /// What was read.
    pub read: ReadLibrary,
    /// Its files, for messages.
    pub files: Vec<SourceFile>,
    /// What is wrong in them.
    pub problems: Vec<Problem>,
}

/// Reads a library's files and own parts.
pub fn read(base: &[SourceFile], own: &[(String, String)]) -> LibraryNow {
    let mut files = base.to_vec();
    files.extend(
        own.iter().map(|(name, text)| SourceFile { name: name.clone(), bytes: text.clone().into_bytes() }),
    );
    let (read, problems) = library::read(&files);
    LibraryNow { read, files, problems }
}
