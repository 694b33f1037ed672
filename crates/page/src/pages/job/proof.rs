//! The proof of a job: soak logs taken in, kept, and read against the plan.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use desk::proof::{Logs, ProofAnswer, pictures, proof};
use draw::document::Block;
use draw::proof_document::document;
use intake::problem::{Severity, SourceFile};
use intake::report;
use maud::{Markup, html};
use store::soak_log::{KeptLog, Side};
use upgrade::proof::log::SoakLog;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, frame, token};
use crate::library::LibraryNow;
use crate::pages::job::{Job, load};

/// No log is larger than this, in bytes: a day at two rows a second.
pub const LARGEST_LOG_BYTES: usize = 24 << 20;

/// A proof with its pictures.
#[derive(Debug)]
pub struct Proved {
    /// What was proven.
    pub answer: ProofAnswer,
    /// Curves and structure function.
    pub pictures: Vec<Block>,
}

fn read(name: &str, text: String) -> Result<SoakLog, Wrong> {
    let source = SourceFile { name: name.to_owned(), bytes: text.into_bytes() };
    let (log, problems) = intake::soak_log::read(&source, &[]);
    log.ok_or_else(|| Wrong::problems(&problems, source, ""))
}

/// What a proof rests on.
#[derive(Debug, Clone)]
struct About {
    job: String,
    logs: (Option<i64>, Option<i64>),
    record: String,
    parts: Vec<String>,
    library: Arc<LibraryNow>,
}

impl About {
    /// Whether nothing that the proof rests on is another. A library that was read anew is another one.
    fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.library, &other.library)
            && (&self.job, self.logs, &self.record, &self.parts)
                == (&other.job, other.logs, &other.record, &other.parts)
    }
}

/// Proofs that were found, the newest last; the oldest are forgotten.
#[derive(Debug, Default)]
pub struct Proofs(Mutex<VecDeque<(About, Arc<Proved>)>>);

/// How many are remembered.
const REMEMBERED: usize = 8;

impl Proofs {
    fn known(&self, about: &About) -> Option<Arc<Proved>> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter().find(|(known, _)| known.is(about)).map(|(_, proved)| Arc::clone(proved))
    }

    fn keep(&self, about: About, proved: Proved) -> Arc<Proved> {
        let proved = Arc::new(proved);
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= REMEMBERED {
            all.pop_front();
        }
        all.push_back((about, Arc::clone(&proved)));
        proved
    }
}

/// The newest log of a side.
fn newest(app: &App, job: &str, logs: &[KeptLog], side: Side) -> Result<Option<SoakLog>, Wrong> {
    let Some(kept) = logs.iter().rev().find(|log| log.side == side) else { return Ok(None) };
    let text = app.store().soak_log_text(job, kept.number)?;
    read(&kept.name, text).map(Some)
}

/// What the logs of a job prove; none where there is no log of a soak after the work.
///
/// # Errors
/// The store cannot be read, or a kept log no longer can.
pub fn of_job(app: &App, job: &Job) -> Result<Option<Arc<Proved>>, Wrong> {
    let logs = app.store().soak_logs(&job.kept.id)?;
    let last = |side| logs.iter().rev().find(|log| log.side == side).map(|log| log.number);
    let about = About {
        job: job.kept.id.clone(),
        logs: (last(Side::After), last(Side::Before)),
        record: job.bench.kept.text.clone(),
        parts: job.kept.parts.clone(),
        library: Arc::clone(&job.bench.library),
    };
    if let Some(known) = app.proofs.known(&about) {
        return Ok(Some(known));
    }
    let Some(after) = newest(app, &job.kept.id, &logs, Side::After)? else { return Ok(None) };
    let before = newest(app, &job.kept.id, &logs, Side::Before)?;
    let changes = job.bench.changes(&job.kept.parts)?;
    let logs = Logs { after: &after, before: before.as_ref() };
    let answer = proof(&job.bench.machine, job.bench.parts(), changes, logs).map_err(Wrong::input)?;
    let pictures = pictures(&answer, logs);
    Ok(Some(app.proofs.keep(about, Proved { answer, pictures })))
}

fn form(app: &App, id: &str) -> Markup {
    html! {
        form method="post" action={ "/jobs/" (id) "/logs" } enctype="multipart/form-data" {
            (token(app))
            p {
                label for="side" { "Soak " }
                select id="side" name="side" {
                    option value="after" { "after the work" }
                    option value="before" { "before the work" }
                }
            }
            p {
                label for="log" { "Log, a CSV file as " code { "reseat soak" } " writes it, or one with the same headings" }
                input id="log" type="file" name="log" accept=".csv,text/csv" required;
            }
            button type="submit" { "Keep the log" }
        }
    }
}

/// The page.
///
/// # Errors
/// No such job, or a log that cannot be read.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    let id = &job.kept.id;
    let logs = app.store().soak_logs(id)?;
    let proved = of_job(app, &job)?;
    let body = html! {
        @match &proved {
            Some(proved) => (draw::document_html::inside(&document(&proved.answer.proof, proved.pictures.clone()))),
            None => {
                h1 { "Proof: " (job.kept.title) }
                p { "No soak after the work is kept yet. Let the machine rest for two minutes, load all its cores for a quarter of an hour, let it rest \
                    again, and log it; a soak of the same kind from before the work shows what was gained." }
            },
        }
        h2 { "Logs" }
        @if logs.is_empty() { p { "None yet." } } @else {
            ul { @for log in &logs {
                li { (log.side.word()) " the work: " a href={ "/jobs/" (id) "/logs/" (log.number) } { bdi { (log.name) } } ", kept " (words(log.at)) }
            } }
        }
        (form(app, id))
        p.no-print { a href={ "/jobs/" (id) } { "Back to the job" } " " a href={ "/jobs/" (id) "/handover" } { "Hand-over" } }
    };
    Ok(Answer::Page(frame("Proof", Place::Records, &body)))
}

/// Keeps a log: it is read first, and what cannot be read is not kept.
///
/// # Errors
/// It is no soak log; no such job.
pub fn keep(app: &App, ask: &Ask, side: &str, (name, bytes): (&str, &[u8])) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    let side = Side::from_word(side).ok_or_else(|| Wrong::input("A soak is before or after the work."))?;
    let name = if name.is_empty() { "soak.csv" } else { name };
    let source = SourceFile { name: name.to_owned(), bytes: bytes.to_vec() };
    let (log, problems) = intake::soak_log::read(&source, &[]);
    if log.is_none() || problems.iter().any(|problem| problem.severity == Severity::Error) {
        return Err(Wrong::input(report::text(&problems, &[source])));
    }
    let text = core::str::from_utf8(bytes).map_err(Wrong::input)?;
    app.store().add_soak_log(&job.kept.id, side, (name, text), (app.now)())?;
    Ok(Answer::See(format!("/jobs/{}/proof", job.kept.id)))
}

/// One log, as it came.
///
/// # Errors
/// There is none of this number.
pub fn log(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let number = ask.name("log").parse().unwrap_or(0);
    let text = app.store().soak_log_text(ask.name("job"), number)?;
    Ok(Answer::File("text/csv; charset=utf-8", Some(format!("soak-{number}.csv")), text.into_bytes()))
}
