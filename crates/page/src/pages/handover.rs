//! The hand-over of a job: on the page, as a file, as PDF.

use draw::document::{Block, Document};
use draw::handover_document::{Dates, Proven, document};
use maud::html;
use paper::print::Paper;
use store::entry::{EntryKind, done_steps};
use upgrade::record::handover::{Work, handover};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, frame};
use crate::pages::job::load;
use crate::pages::job::proof::{self, of_job as proof_of};

/// The hand-over of a job as a document.
fn of_job(app: &App, id: &str) -> Result<Document, Wrong> {
    let job = load(app, id)?;
    let done = done_steps(&job.entries);
    let work = job
        .sheet
        .steps
        .iter()
        .map(|step| Work {
            title: step.title.clone(),
            done: done.get(step.id).copied().map(words),
            notes: job
                .entries
                .iter()
                .filter(|entry| entry.made.kind == EntryKind::Note && entry.made.step == step.id)
                .map(|entry| entry.made.text.clone())
                .collect(),
        })
        .collect();
    let changes = job.bench.changes(&job.kept.parts)?;
    let dates = Dates { begun: Some(words(job.kept.begun_at)), closed: job.kept.closed_at.map(words) };
    let proved = proof_of(app, &job)?;
    let proven = match &proved {
        proof::Proven::Found(found) => Some(Proven { proof: &found.answer.proof, pictures: &found.pictures }),
        proof::Proven::NoLog | proof::Proven::Not(_) => None,
    };
    let handover = handover(&job.bench.machine, job.bench.parts(), changes, work);
    let mut document = document(&handover, &dates, proven);
    if let proof::Proven::Not(why) = &proved {
        document
            .blocks
            .push(Block::Text(format!("A soak's log is kept with this job, but proves nothing: {why}")));
    }
    Ok(document)
}

/// The page.
///
/// # Errors
/// No such job.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("job");
    let document = of_job(app, id)?;
    let body = html! {
        p.ways.no-print {
            a.button href={ "/jobs/" (id) "/handover.pdf?paper=a4" } { "PDF, A4" }
            a.button href={ "/jobs/" (id) "/handover.pdf?paper=letter" } { "PDF, Letter" }
            a.button href={ "/jobs/" (id) "/handover.html" } { "One HTML file" }
            a href={ "/jobs/" (id) } { "Back to the job" }
        }
        (draw::document_html::inside(&document))
    };
    Ok(Answer::Page(frame(&document.title, Place::Records, &body)))
}

/// The hand-over as one file.
///
/// # Errors
/// No such job.
pub fn file(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("job");
    let page = draw::document_html::file(&of_job(app, id)?);
    Ok(Answer::File("text/html; charset=utf-8", Some(format!("{id}-hand-over.html")), page.into_bytes()))
}

/// The hand-over as PDF.
///
/// # Errors
/// No such job.
pub fn pdf(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("job");
    let paper = if ask.query.text("paper") == "letter" { Paper::Letter } else { Paper::A4 };
    let bytes = paper::print::pdf(&of_job(app, id)?, paper).map_err(Wrong::input)?;
    Ok(Answer::File("application/pdf", Some(format!("{id}-hand-over.pdf")), bytes))
}
