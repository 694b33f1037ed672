//! The embedded demo: an invented library and three machines.

use upgrade::machine::present::Machine;

use crate::library::{ReadLibrary, read};
use crate::machine::file;
use crate::problem::{Problem, SourceFile};

macro_rules! embedded {
    ($($name:literal),+ $(,)?) => {
        &[$((concat!("demo/", $name), include_str!(concat!("../demo/", $name)))),+]
    };
}

const LIBRARY: &[(&str, &str)] = embedded![
    "library/boards.toml",
    "library/cases.csv",
    "library/chipsets.toml",
    "library/coolers.csv",
    "library/memory.csv",
    "library/pastes.csv",
    "library/processors.toml",
    "library/sockets.toml",
    "library/supplies.csv",
];

const MACHINES: &[(&str, &str)] =
    embedded!["machines/demo.toml", "machines/school.toml", "machines/family.toml"];

/// Names of the demo machines.
pub const NAMES: [&str; 3] = ["demo", "school", "family"];

fn source((name, text): &(&str, &str)) -> SourceFile {
    SourceFile { name: (*name).to_owned(), bytes: text.as_bytes().to_vec() }
}

/// The files of the demo library.
pub fn files() -> Vec<SourceFile> {
    LIBRARY.iter().map(source).collect()
}

/// The file of a demo machine, or `None` where there is no such machine.
pub fn machine_file(name: &str) -> Option<SourceFile> {
    let wanted = format!("demo/machines/{name}.toml");
    MACHINES.iter().find(|(file, _)| *file == wanted).map(source)
}

/// The demo library.
pub fn library() -> (ReadLibrary, Vec<Problem>) {
    read(&files())
}

/// A demo machine out of a library.
pub fn machine(name: &str, library: &ReadLibrary) -> Option<(Option<Machine>, Vec<Problem>)> {
    machine_file(name).map(|file| file::read(&file, library))
}
