//! `proof`: what a soak shows, what is wrong, and whether the work holds.

use desk::check::changes;
use desk::proof::{Logs, curves, proof, structures};
use draw::document_text::text;
use draw::proof_document::document;
use intake::soak_log::heading::Mapping;
use intake::{demo, folder, report, soak_log};
use upgrade::proof::criterion::Verdict;
use upgrade::proof::log::SoakLog;

use crate::args::proof::Proof;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::{write_picture, write_pictures};

/// A structure function that no log tells.
#[derive(Debug, thiserror::Error)]
#[error(
    "no structure function can be drawn: no log begins at rest and holds both temperature and power; leave --structure out"
)]
struct NoStructure;

/// Reads a log; what is doubtful in it is told, what cannot be read stops.
pub(crate) fn log(name: &str, columns: &[Mapping]) -> Result<SoakLog, Failure> {
    let source = match demo::log_file(name) {
        Some(source) => source,
        None => folder::file(std::path::Path::new(name))?,
    };
    let (log, problems) = soak_log::read(&source, columns);
    let text = report::text(&problems, &[source]);
    let log = log.ok_or_else(|| Failure::Report(text.clone()))?;
    if !problems.is_empty() {
        eprintln!("{text}");
    }
    Ok(log)
}

pub(crate) fn run(wanted: &Proof, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let mut after = log(&wanted.after, &wanted.columns)?;
    after.about.case_air = wanted.case_air.or(after.about.case_air);
    let before = wanted.before.as_ref().map(|name| log(name, &wanted.columns)).transpose()?;
    let open = wanted.open.as_ref().map(|name| log(name, &wanted.columns)).transpose()?;
    let logs = Logs { after: &after, before: before.as_ref(), open: open.as_ref() };
    let answer = proof(&machine, &library, changes, logs)?;
    write_pictures(&wanted.picture, || curves(&answer, logs).0)?;
    if let Some(file) = &wanted.structure {
        let (picture, _) = structures(&answer).ok_or(NoStructure)?;
        write_picture(file, &picture)?;
    }
    if wanted.json {
        print_json(&desk::json::proof::proof(&answer));
    } else {
        print(&text(&document(&answer.proof, Vec::new()), screen.width, screen.paint));
    }
    Ok(match answer.proof.verdict {
        Verdict::Pass => Exit::Done,
        Verdict::Fail => Exit::No,
        Verdict::CannotTell => Exit::CannotTell,
    })
}
