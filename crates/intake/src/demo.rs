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

const LOGS: &[(&str, &str)] =
    embedded!["logs/demo-before.csv", "logs/demo-after.csv", "logs/demo-little-paste.csv"];

/// Names of the demo's soak logs: the first machine before its upgrade, after it, and after one with too little paste.
/// `cargo run -p desk --example soak_bench -- logs FOLDER` makes them from the project's own forward models.
pub const LOG_NAMES: [&str; 3] = ["demo-before", "demo-after", "demo-little-paste"];

/// A soak log of the demo, or `None` where there is none of that name.
pub fn log_file(name: &str) -> Option<SourceFile> {
    let wanted = format!("demo/logs/{name}.csv");
    LOGS.iter().find(|(file, _)| *file == wanted).map(source)
}

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
