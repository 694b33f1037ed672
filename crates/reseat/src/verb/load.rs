//! Loading a library and a machine, problems told with their lines.

use intake::library::ReadLibrary;
use intake::problem::{Problem, Severity, SourceFile};
use intake::{demo, folder, library, machine, report};
use upgrade::machine::present::Machine;
use upgrade::part::library::Library;

use crate::args::{LibraryArg, MachineArg};
use crate::exit::Failure;
use crate::terminal::Screen;

/// A library with its files and what is wrong in them.
pub(crate) struct Loaded {
    pub(crate) read: ReadLibrary,
    pub(crate) files: Vec<SourceFile>,
    pub(crate) problems: Vec<Problem>,
}

/// Reads the library that the command line names.
pub(crate) fn library(wanted: &LibraryArg) -> Result<Loaded, Failure> {
    let files = match &wanted.library {
        Some(dir) => folder::files(dir)?,
        None => demo::files(),
    };
    let (read, problems) = library::read(&files);
    Ok(Loaded { read, files, problems })
}

fn has_error(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| problem.severity == Severity::Error)
}

/// The file of a machine, or the demo's.
pub(crate) fn source(name: &str) -> Result<SourceFile, Failure> {
    match demo::machine_file(name) {
        Some(source) => Ok(source),
        None => folder::file(std::path::Path::new(name)).map_err(|error| {
            let names = demo::NAMES.join(", ");
            Failure::Report(format!(
                "error: there is no machine \"{name}\"\n  because {}\n  do: name a machine file, or one of the demo machines: {names}\n",
                std::error::Error::source(&error).map_or_else(|| error.to_string(), ToString::to_string)
            ))
        }),
    }
}

/// Reads a machine and the library its parts come from. Errors in the library are told but do not
/// stop: the parts that could be read are used. An error in the machine's own file stops.
pub(crate) fn machine(wanted: &MachineArg, screen: &Screen) -> Result<(Machine, Library), Failure> {
    let loaded = library(&wanted.library)?;
    if has_error(&loaded.problems) {
        let text = report::text(&loaded.problems, &loaded.files);
        let note = "The library has errors; the parts named above are left out.";
        eprintln!("{text}{}", screen.paint_err.text(draw::paint::Role::Careful, note));
    }
    let source = source(&wanted.machine)?;
    let (machine, problems) = machine::file::read(&source, &loaded.read);
    if has_error(&problems) || machine.is_none() {
        return Err(Failure::Report(report::text(&problems, &[source])));
    }
    match machine {
        Some(machine) => Ok((machine, loaded.read.library)),
        None => Err(Failure::Report(report::text(&problems, &[source]))),
    }
}
