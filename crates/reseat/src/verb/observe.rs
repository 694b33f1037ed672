//! `observe`: watches what this machine does, and makes of it the workload that a plan takes.

use std::fs::{File, OpenOptions};
use std::io::Write as _;
use std::path::Path;
use std::time::Instant;

use draw::{document_text, observed_document};
use intake::machine::edit::with_tasks;
use intake::problem::{Problem, Severity, SourceFile};
use intake::{observation, report};
use quantity::dimension::{Dimension, Duration};
use quantity::reading::Figure;
use serde_json::{Value, json};
use soak::processor::thread_time;
use soak::watcher::{SPAN_S, Watcher, own_share};
use survey::root::Root;
use upgrade::gain::observed::compact::{MOST_SPANS, compact};
use upgrade::gain::observed::memory::Basis;
use upgrade::gain::observed::span::Span;
use upgrade::gain::observed::tasks::{Observed, Verdict, observed};

use crate::args::soak::Observe;
use crate::exit::{Exit, Failure};
use crate::progress::Progress;
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read, write};
use crate::verb::load::source;

/// Longest watch, so that every run ends.
const LONGEST_S: f64 = 31.0 * 86_400.0;

/// Rows between two orders to put what is written on the disk: a minute.
const ROWS_A_SYNC: usize = 6;

/// What was counted, of how many threads, what watching cost, and what could not be counted.
struct Seen {
    spans: Vec<Span>,
    threads: Option<u32>,
    share: Option<f64>,
    not_counted: Vec<String>,
}

fn refuse(problems: &[Problem], source: SourceFile) -> Result<(), Failure> {
    if problems.iter().any(|one| one.severity == Severity::Error) {
        return Err(Failure::Report(report::text(problems, &[source])));
    }
    if !problems.is_empty() {
        eprint!("{}", report::text(problems, &[source]));
    }
    Ok(())
}

fn kept(path: &Path) -> Result<Seen, Failure> {
    let source = SourceFile { name: path.display().to_string(), bytes: read(path)? };
    let (mut spans, threads, problems) = observation::read(&source);
    refuse(&problems, source)?;
    compact(&mut spans, MOST_SPANS);
    Ok(Seen { spans, threads, share: None, not_counted: Vec::new() })
}

/// The file that grows, begun if it is not there; a row that a crash cut off is ended first.
fn growing(path: &Path, threads: u32) -> Result<File, Failure> {
    let held = if path.exists() { read(path)? } else { Vec::new() };
    let mut file = OpenOptions::new().create(true).append(true).open(path).map_err(|error| {
        Failure::Report(format!(
            "error: {} cannot be written to\n  because {error}\n  do: name a file in a folder that can be written to\n",
            path.display()
        ))
    })?;
    if held.is_empty() {
        writeln!(file, "# threads: {threads}")?;
    } else if !held.ends_with(b"\n") {
        writeln!(file)?;
    }
    if !observation::is_headed(&held) {
        writeln!(file, "{}", observation::HEADING)?;
    }
    Ok(file)
}

fn watch(wanted: &Observe) -> Result<Seen, Failure> {
    let mut watcher = Watcher::new(&Root::folder(Path::new("/"))?)?;
    let threads = watcher.threads();
    let mut spans = Vec::new();
    let mut file = None;
    if let Some(path) = &wanted.keep {
        if path.exists() {
            let before = kept(path)?;
            if let Some(other) = before.threads.filter(|other| *other != threads) {
                return Err(Failure::Report(format!(
                    "error: {} was counted on a machine of {other} threads, and this one has {threads}\n  do: name another file for this machine\n",
                    path.display()
                )));
            }
            spans = before.spans;
        }
        file = Some(growing(path, threads)?);
    }
    soak::signal::listen()?;
    let length_s = wanted.time.map_or(LONGEST_S, |time| time.si().min(LONGEST_S));
    let (begun, time_then) = (Instant::now(), thread_time());
    let mut progress = Progress::new();
    progress.say("watching; Ctrl-C ends it and says what was seen".to_owned());
    let mut rows = 0;
    loop {
        let left = length_s - begun.elapsed().as_secs_f64();
        if left <= 0.0 || soak::signal::asked() {
            break;
        }
        let span = watcher.span(begun, left.min(SPAN_S), &soak::signal::asked);
        if let Some(file) = &mut file {
            // A row goes out whole: a crash of this program loses ten seconds at most, a power cut a minute. To wait for the
            // disk more often would be a load of its own.
            file.write_all(observation::row(&span).as_bytes())?;
            rows += 1;
            if rows % ROWS_A_SYNC == 0 {
                file.sync_data()?;
            }
        }
        spans.push(span);
        compact(&mut spans, MOST_SPANS);
        let watched = Duration::from_si(begun.elapsed().as_secs_f64());
        progress.say(format!("watching for {}; Ctrl-C ends it and says what was seen", watched.rounded(2)));
    }
    drop(progress);
    if let Some(file) = &file {
        file.sync_data()?;
    }
    let share = Some(own_share(begun, time_then));
    Ok(Seen { spans, threads: Some(threads), share, not_counted: watcher.not_counted() })
}

fn told<D: Dimension>(figure: &Figure<D>) -> String {
    figure.known().map_or("unknown".to_owned(), |known| known.rounded(3))
}

fn text(found: &Observed, seen: &Seen, screen: &Screen) -> String {
    let blocks = observed_document::blocks(found, &seen.not_counted);
    let mut out = document_text::blocks(&blocks, screen.width, screen.paint);
    if let Some(share) = seen.share {
        out.push_str(&format!("Watching took {:.2} % of one core.\n", 100.0 * share));
    }
    out
}

fn json(found: &Observed, seen: &Seen) -> Value {
    let tasks: Vec<Value> = found
        .tasks
        .iter()
        .map(|task| {
            json!({
                "name": task.name,
                "time_a_day": told(&task.time_a_day),
                "serial": told(&task.serial),
                "parallel": told(&task.parallel),
                "memory": told(&task.memory),
                "elsewhere": told(&task.elsewhere),
                "widest": task.widest,
            })
        })
        .collect();
    let verdict = match found.verdict {
        Verdict::Processor => "processor",
        Verdict::NotTheProcessor => "not the processor",
        Verdict::Both => "both",
        Verdict::Rests => "rests",
        Verdict::TooShort => "too short",
    };
    json!({
        "watched_s": found.watched.si(),
        "active": told(&found.active),
        "tasks": tasks,
        "verdict": verdict,
        "why": found.verdict.words(),
        "evidence": found.evidence,
        "memory_share_of_running_time": {
            "low": found.memory.low,
            "high": found.memory.high,
            "counted": found.memory.basis != Basis::RuleOfThumb,
        },
        "not_counted": seen.not_counted,
        "watching_share_of_a_core": seen.share,
    })
}

pub(crate) fn run(wanted: &Observe, screen: &Screen) -> Result<Exit, Failure> {
    let day = Duration::from_si(86_400.0);
    if !(wanted.hours.si() > 0.0 && wanted.hours <= day) {
        return Err(Failure::Report(format!(
            "error: {} a day cannot be\n  do: give up to 24 h by --hours\n",
            wanted.hours
        )));
    }
    let seen = match &wanted.from {
        Some(path) => kept(path)?,
        None => watch(wanted)?,
    };
    // An old file without a count of threads: what was watched then is not known to be narrow.
    let found = observed(&seen.spans, seen.threads.unwrap_or(1), wanted.hours);
    if let Some(into) = &wanted.into {
        if found.tasks.is_empty() {
            return Err(Failure::Report(format!(
                "error: nothing was seen that could be a task, so {} was left as it is\n  because {}\n  do: watch it while it is used\n",
                into.display(),
                found.verdict.words()
            )));
        }
        let record = match &wanted.machine {
            Some(name) => String::from_utf8_lossy(&source(name)?.bytes).into_owned(),
            None => String::new(),
        };
        write(into, with_tasks(&record, &found.tasks)?.as_bytes())?;
    }
    if wanted.json {
        print_json(&json(&found, &seen));
    } else {
        print(&text(&found, &seen, screen));
        if let (Some(into), Some(_)) = (&wanted.into, &wanted.machine) {
            print(&format!(
                "The tasks are in {}. Go on with  reseat plan {}\n",
                into.display(),
                into.display()
            ));
        }
    }
    Ok(match found.verdict {
        Verdict::TooShort | Verdict::Rests => Exit::CannotTell,
        _ => Exit::Done,
    })
}
