//! A job: begun with a route, worked through by its sheet, closed when its parts are in.

pub mod case_air;
pub mod entry;
pub mod log;
pub mod phone;
pub mod photo;
pub mod proof;
pub mod sheet;

use intake::machine::edit::with_part;
use store::entry::Entry;
use store::job::KeptJob;
use upgrade::carry::paste_amount::words as amount_words;
use upgrade::machine::proposal::Proposal;
use upgrade::part::id::PartId;
use upgrade::sheet::sheet_of::{JobSheet, job_sheet};

use crate::answer::{Answer, Wrong};
use crate::app::{App, OnBench, read_record, record_file};
use crate::ask::Ask;

/// A job with everything about it.
pub struct Job {
    /// As it is kept.
    pub kept: KeptJob,
    /// The machine as it was found.
    pub bench: OnBench,
    /// Its sheet.
    pub sheet: JobSheet,
    /// What happened.
    pub entries: Vec<Entry>,
}

/// A job out of the store.
///
/// # Errors
/// There is none, or a part of it is no longer in the library.
pub fn load(app: &App, id: &str) -> Result<Job, Wrong> {
    let kept = app.store().job(id)?;
    let bench = app.machine_at(&kept.machine, kept.revision)?;
    let changes = bench.changes(&kept.parts)?;
    let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
    let sheet = job_sheet(&proposal, &kept.title, &amount_words(&proposal)).map_err(Wrong::input)?;
    let entries = app.store().entries(id, 0)?;
    Ok(Job { kept, bench, sheet, entries })
}

/// Begins a job with the parts of a route.
///
/// # Errors
/// A part that is none, or nothing to do.
pub fn begin(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let parts: Vec<String> = ask.form.text("parts").split_whitespace().map(str::to_owned).collect();
    let changes = bench.changes(&parts)?;
    if !changes.any() {
        return Err(Wrong::input("A job needs at least one part that is changed."));
    }
    let id = app.store().begin_job(&bench.kept.id, &parts, &changes.title(), (app.now)())?;
    Ok(Answer::See(format!("/jobs/{id}")))
}

/// Closes a job, or opens it again.
///
/// # Errors
/// No such job, or a record that was changed in the meantime.
pub fn close(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("job");
    let now = (app.now)();
    if ask.form.text("again") == "yes" {
        app.store().close_job(id, None)?;
        return Ok(Answer::See(format!("/jobs/{id}")));
    }
    if ask.form.text("record") == "yes" {
        write_parts(app, id)?;
    }
    app.store().close_job(id, Some(now))?;
    Ok(Answer::See(format!("/jobs/{id}")))
}

/// Writes a job's parts into the machine's record as it is today.
fn write_parts(app: &App, id: &str) -> Result<(), Wrong> {
    let job = app.store().job(id)?;
    let kept = app.store().machine(&job.machine)?;
    let library = app.library()?;
    let mut text = kept.text.clone();
    for part in &job.parts {
        let part = PartId::new(part);
        let kind = desk::check::kind_of(&library.read.library, &part)
            .ok_or_else(|| Wrong::Missing(format!("The library has no part \"{part}\" any more.")))?;
        text = with_part(&text, kind.word(), part.text()).map_err(Wrong::input)?;
    }
    let source = record_file(&kept.id, &text);
    let (machine, problems) = read_record(&source, &library.read);
    let machine = machine.ok_or_else(|| Wrong::problems(&problems, source, ""))?;
    let why = format!("parts of job {id}");
    app.store().change_machine(&kept.id, kept.revision, (&machine.name, &text), &why, (app.now)())?;
    Ok(())
}
