//! `machine set`: one field of a record, by hand, the rest of the file as it stands.

use std::path::Path;

use intake::machine::edit::{CannotSet, set_field};
use intake::{demo, folder, report};

use crate::args::MachineArg;
use crate::exit::{Exit, Failure};
use crate::verb::file::{print, write};
use crate::verb::load::library;

/// A demo machine is no file.
#[derive(Debug, thiserror::Error)]
#[error("the demo machines are built in and cannot be changed; write one to a file first")]
struct BuiltIn;

/// Sets a field in a machine's file, if the file can still be read with it.
pub(super) fn set(wanted: &MachineArg, field: &str, value: &str) -> Result<Exit, Failure> {
    if demo::machine_file(&wanted.machine).is_some() {
        return Err(BuiltIn.into());
    }
    let path = Path::new(&wanted.machine);
    let file = folder::file(path)?;
    let loaded = library(&wanted.library)?;
    match set_field(&file, field, value, &loaded.read) {
        Ok(text) => {
            write(path, text.as_bytes())?;
            print(&format!("{field} is {value} now, set by hand.\n"));
            Ok(Exit::Done)
        }
        Err(CannotSet::Unreadable { changed, problems }) => Err(Failure::Report(format!(
            "{}The file was not changed.\n",
            report::text(&problems, &[changed])
        ))),
        Err(other) => Err(other.into()),
    }
}
