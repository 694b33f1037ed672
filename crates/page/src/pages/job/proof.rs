//! The proof of a job: soak logs taken in, kept, and read against the plan.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use desk::proof::{Logs, ProofAnswer, pictures, proof};
use draw::document::Block;
use draw::proof_document::document;
use intake::problem::SourceFile;
use maud::{Markup, html};
use store::soak_log::{KeptLog, Side};
use upgrade::proof::criterion::Verdict;
use upgrade::proof::log::SoakLog;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, frame, token};
use crate::keeping::LARGEST_LOG_BYTES;
use crate::library::LibraryNow;
use crate::pages::job::{Job, case_air, load};
use crate::work::Stands;

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

/// What the logs of a job prove.
#[derive(Debug, Clone)]
pub enum Proven {
    /// There is no log of a soak after the work.
    NoLog,
    /// This.
    Found(Arc<Proved>),
    /// Nothing, and why.
    Not(String),
}

fn about(job: &Job, logs: &[KeptLog]) -> About {
    let last = |side| logs.iter().rev().find(|log| log.side == side).map(|log| log.number);
    About {
        job: job.kept.id.clone(),
        logs: (last(Side::After), last(Side::Before)),
        record: job.bench.kept.text.clone(),
        parts: job.kept.parts.clone(),
        library: Arc::clone(&job.bench.library),
    }
}

/// What the logs of a job prove.
///
/// # Errors
/// The store cannot be read.
pub fn of_job(app: &App, job: &Job) -> Result<Proven, Wrong> {
    let logs = app.store().soak_logs(&job.kept.id)?;
    let about = about(job, &logs);
    if let Some(known) = app.proofs.known(&about) {
        return Ok(Proven::Found(known));
    }
    match prove(app, job, &logs) {
        Ok(Some(proved)) => Ok(Proven::Found(app.proofs.keep(about, proved))),
        Ok(None) => Ok(Proven::NoLog),
        // The rest of the job is there all the same.
        Err(Wrong::Input { what, .. }) => Ok(Proven::Not(what)),
        Err(other) => Err(other),
    }
}

fn prove(app: &App, job: &Job, logs: &[KeptLog]) -> Result<Option<Proved>, Wrong> {
    let Some(after) = newest(app, &job.kept.id, logs, Side::After)? else { return Ok(None) };
    let before = newest(app, &job.kept.id, logs, Side::Before)?;
    let changes = job.bench.changes(&job.kept.parts)?;
    let logs = Logs { after: &after, before: before.as_ref(), open: None };
    let answer = proof(&job.bench.machine, job.bench.parts(), changes, logs).map_err(Wrong::input)?;
    let pictures = pictures(&answer, logs);
    Ok(Some(Proved { answer, pictures }))
}

/// Verdict of a proof that was found already; nothing is computed for it.
pub fn known_verdict(app: &App, job: &Job) -> Option<Verdict> {
    let logs = app.store().soak_logs(&job.kept.id).ok()?;
    app.proofs.known(&about(job, &logs)).map(|proved| proved.answer.proof.verdict)
}

/// Which soaks a job has, on its own page.
pub(super) fn piece(app: &App, job: &Job) -> Result<Markup, Wrong> {
    let id = &job.kept.id;
    let logs = app.store().soak_logs(id)?;
    let last = |side: Side| logs.iter().rev().find(|log| log.side == side);
    let stands = |side: Side| {
        html! {
            @match last(side) {
                Some(log) => { "kept " (words(log.at)) },
                None => { "none; " a href={ "/soak?job=" (id) "&side=" (side.word()) } { "run one on this computer" } },
            }
        }
    };
    Ok(html! {
        dl.facts {
            dt { "soak before the work" } dd { (stands(Side::Before)) }
            dt { "soak after it" } dd { (stands(Side::After)) }
            @if last(Side::After).is_some() {
                dt { "proof" } dd { a href={ "/jobs/" (id) "/proof" } { (known_verdict(app, job).map_or("look at it", Verdict::word)) } }
            }
        }
    })
}

fn run_here(app: &App, id: &str) -> Markup {
    let seen = app.soaking.seen();
    let is_ours = seen.job.as_ref().is_some_and(|of| of.job == id);
    let runs = matches!(app.soaking.stands(), Some(Stands::At(_) | Stands::Busy));
    html! {
        h2 { "Run a soak on this computer" }
        @if runs && is_ours {
            p { a.button href="/soak" { "A soak of this job is at work: watch it" } }
        } @else {
            p { "It loads and reads the computer that this page runs on, and no other: right for this job only if that is the job's machine. \
                Its log is kept here when it ends." }
            p.ways {
                a.button href={ "/soak?job=" (id) "&side=before" } { "Soak before the work" }
                a.button href={ "/soak?job=" (id) "&side=after" } { "Soak after the work" }
            }
        }
    }
}

fn form(app: &App, id: &str) -> Markup {
    html! {
        h2 { "Send a log from another machine" }
        p { "Run " code { "reseat soak --log soak.csv" } " on the job's machine, or take a log of another program." }
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
                label for="log" { "Log: CSV or Parquet, at most " (LARGEST_LOG_BYTES >> 20) " MiB, unpacked too" }
                input id="log" type="file" name="log" accept=".csv,.parquet,.txt,text/csv" required;
            }
            p.ways {
                button type="submit" name="do" value="keep" { "Keep the log" } " "
                button type="submit" name="do" value="look" { "Look at its columns first" }
            }
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
            Proven::Found(proved) => (draw::document_html::inside(&document(&proved.answer.proof, proved.pictures.clone()))),
            Proven::NoLog => {
                h1 { "Proof: " (job.kept.title) }
                p { "No soak after the work is kept yet. Let the machine rest for two minutes, load all its cores for a quarter of an hour, let it rest \
                    again, and log it; a soak of the same kind from before the work shows what was gained." }
            },
            Proven::Not(why) => {
                h1 { "Proof: " (job.kept.title) }
                pre.problem { (why) }
            },
        }
        h2 { "Logs" }
        @if logs.is_empty() { p { "None yet." } } @else {
            ul { @for log in &logs {
                li { (log.side.word()) " the work: " a href={ "/jobs/" (id) "/logs/" (log.number) } { bdi { (log.name) } } ", kept " (words(log.at)) }
            } }
            @if logs.len() > 1 { p.faint { "The newest of each side counts; none is ever taken away." } }
        }
        div.no-print {
            (case_air::form(app, id, &logs))
            (run_here(app, id))
            (form(app, id))
            p { a href={ "/jobs/" (id) } { "Back to the job" } " " a href={ "/jobs/" (id) "/handover" } { "Hand-over" } }
        }
    };
    Ok(Answer::Page(frame("Proof", Place::Records, &body)))
}
