//! `survey`: what is in the machine.

mod json;
mod text;

use std::path::Path;

use survey::capture::{Identity, capture, open};
use survey::identify::identify;
use survey::record::record;
use survey::root::Root;
use survey::survey::{survey, survey_dump};

use crate::args::Survey;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read, write};
use crate::verb::load::library;

/// The wanted root: this machine, a folder, or a capture.
fn root(path: Option<&Path>) -> Result<Root, Failure> {
    let folder = |path: &Path| {
        Root::folder(path).map_err(|error| Failure::Report(format!(
            "error: cannot look into {}\n  because {error}\n  do: name a folder that stands for a machine's root, or a capture made by --capture\n",
            path.display()
        )))
    };
    match path {
        None => folder(Path::new("/")),
        Some(path) if path.is_file() => Ok(open(&read(path)?)?),
        Some(path) => folder(path),
    }
}

pub(crate) fn run(wanted: &Survey, screen: &Screen) -> Result<Exit, Failure> {
    if let Some(file) = &wanted.capture {
        let identity = if wanted.with_serials { Identity::Kept } else { Identity::Hidden };
        let packed = capture(root(wanted.root.as_deref())?, identity)?;
        write(file, &packed)?;
        print(&format!(
            "Packed {} bytes into {}. Look at it with  reseat survey --root {}\n",
            packed.len(),
            file.display(),
            file.display()
        ));
        return Ok(Exit::Done);
    }
    let found = match &wanted.dump {
        Some(file) => survey_dump(&read(file)?)?,
        None => survey(&root(wanted.root.as_deref())?),
    };
    let library = library(&wanted.library)?.read.library;
    let identified = identify(&found, &library);
    if let Some(file) = &wanted.out {
        write(file, record(&found, &identified, &library).as_bytes())?;
    }
    if wanted.json {
        print_json(&json::json(&found, &identified));
    } else {
        print(&text::text(&found, &identified, screen));
        if let Some(file) = &wanted.out {
            print(&format!(
                "The record is in {}. Go on with  reseat machine unknown {}\n",
                file.display(),
                file.display()
            ));
        }
    }
    Ok(Exit::Done)
}
