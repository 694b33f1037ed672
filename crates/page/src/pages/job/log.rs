//! Soak logs that are sent: CSV or Parquet; their columns looked at and named, then kept with the job.

use std::collections::BTreeMap;
use std::sync::Arc;

use intake::problem::{Problem, Severity, SourceFile};
use intake::soak_log::heading::{Mapping, OURS};
use intake::soak_log::look::{Seen, look};
use intake::soak_log::packed::{is_packed, unpack_at_most};
use intake::{report, soak_log};
use maud::{Markup, html};
use store::soak_log::Side;
use upgrade::proof::log::SoakLog;
use upgrade::proof::stretch::{main_stretch, stretches};

use crate::answer::{Answer, Wrong, with_causes};
use crate::app::{App, secret};
use crate::ask::Ask;
use crate::frame::{Place, frame, token};
use crate::keeping::{LARGEST_LOG_BYTES, NO_LOAD};
use crate::kept::Sent;
use crate::pages::lists::look::name_of;

/// How a log that was sent is read.
#[derive(Debug, Clone, PartialEq)]
pub struct HowRead {
    /// The job it is for.
    job: String,
    /// Before or after its work.
    side: Side,
    /// The log's headings, and what a person has entered for each.
    entered: Vec<(String, String)>,
}

/// A log as it is read.
struct Reading {
    log: Option<SoakLog>,
    problems: Vec<Problem>,
    source: SourceFile,
    mapping: Vec<Mapping>,
    /// What was entered for a column and means nothing.
    wrong: Vec<String>,
}

impl Reading {
    fn has_load(&self) -> bool {
        self.log.as_ref().is_some_and(|log| main_stretch(log, &stretches(log)).is_some())
    }

    /// Whether it can be kept; what cannot be read of it is left out then.
    fn can_be_kept(&self) -> bool {
        self.has_load() && self.wrong.is_empty()
    }

    fn is_whole(&self) -> bool {
        self.can_be_kept() && self.problems.iter().all(|problem| problem.severity != Severity::Error)
    }

    fn words(&self) -> String {
        let mut problems = self.problems.clone();
        for help in problems.iter_mut().filter_map(|problem| problem.help.as_mut()) {
            // On a page columns are named in the form, not by an option.
            if let Some((before, (_, after))) = help
                .split_once("by --column ")
                .and_then(|(before, rest)| Some((before, rest.split_once("THEIRS")?)))
            {
                *help = format!("{before}in the table of its columns{}", after.trim_start_matches('"'));
            }
        }
        report::text(&problems, std::slice::from_ref(&self.source))
    }
}

fn read(name: &str, text: &[u8], entered: &[(String, String)]) -> Reading {
    let (mut mapping, mut wrong) = (Vec::new(), Vec::new());
    for (theirs, ours) in entered.iter().filter(|(_, ours)| !ours.trim().is_empty()) {
        match format!("{}={theirs}", ours.trim()).parse::<Mapping>() {
            Ok(one) => mapping.push(one),
            Err(why) => wrong.push(why),
        }
    }
    let source = SourceFile { name: name.to_owned(), bytes: text.to_vec() };
    let (log, problems) = soak_log::read(&source, &mapping);
    Reading { log, problems, source, mapping, wrong }
}

/// The text of a log that was sent, unpacked where it is packed.
fn text_of(bytes: Vec<u8>) -> Result<String, Wrong> {
    let bytes = if is_packed(&bytes) {
        unpack_at_most(bytes, LARGEST_LOG_BYTES).map_err(|error| Wrong::input(with_causes(&error)))?
    } else {
        bytes
    };
    String::from_utf8(bytes).map_err(|error| {
        let place = error.utf8_error().valid_up_to();
        Wrong::input(format!(
            "byte {place} of the log is not UTF-8, so it is neither CSV nor Parquet; save it again as UTF-8"
        ))
    })
}

fn keep(app: &App, how: &HowRead, name: &str, reading: Reading) -> Result<Answer, Wrong> {
    let text = String::from_utf8(reading.source.bytes).map_err(Wrong::input)?;
    // What was said of its columns stays with the log, so that whoever reads it again reads the same.
    let said: String =
        reading.mapping.iter().map(|one| format!("# column: {}={}\n", one.ours, one.theirs)).collect();
    let text = if said.is_empty() { text } else { said + text.trim_start_matches('\u{feff}') };
    app.store().add_soak_log(&how.job, how.side, (name, &text), (app.now)())?;
    Ok(Answer::See(format!("/jobs/{}/proof", how.job)))
}

/// Takes a log: kept if all of it can be read, else its columns are shown first.
///
/// # Errors
/// It is no table, or too large; no such job.
pub fn take(
    app: &App,
    ask: &Ask,
    fields: &BTreeMap<String, String>,
    (file, bytes): (&str, Vec<u8>),
) -> Result<Answer, Wrong> {
    let job = app.store().job(ask.name("job"))?.id;
    let field = |name: &str| fields.get(name).map_or("", String::as_str);
    let side = Side::from_word(field("side"))
        .ok_or_else(|| Wrong::input("A soak is before or after the work: choose one of them."))?;
    let name = name_of(file, "soak.csv");
    let text = text_of(bytes)?;
    let reading = read(&name, text.as_bytes(), &[]);
    let how = HowRead { job, side, entered: Vec::new() };
    if reading.is_whole() && field("do") != "look" {
        return keep(app, &how, &name, reading);
    }
    if look(&text, &[]).iter().all(|column| column.cells.is_empty()) {
        return Err(Wrong::input(reading.words()));
    }
    let key = secret().map_err(Wrong::input)?;
    let to = format!("/jobs/{}/logs/look/{key}", how.job);
    app.logs.keep(&key, Sent { name, bytes: Arc::new(text.into_bytes()), how });
    Ok(Answer::See(to))
}

fn of_key(app: &App, ask: &Ask) -> Result<Sent<HowRead>, Wrong> {
    app.logs.get(ask.name("log")).filter(|sent| sent.how.job == ask.name("job")).ok_or_else(|| {
        Wrong::Missing(
            "This log is no longer held: it was kept, or others came after it. Send it again.".to_owned(),
        )
    })
}

fn column(seen: &Seen, entered: &[(String, String)]) -> Markup {
    let ours =
        entered.iter().find(|(theirs, _)| *theirs == seen.heading).map_or("", |(_, ours)| ours.as_str());
    html! {
        tr {
            th scope="row" { @if seen.heading.is_empty() { "(no heading)" } @else { bdi { (seen.heading) } } }
            td data-label="begins with" { bdi { (seen.cells.join(" · ")) } }
            td data-label="as it stands" { @if seen.is_read { "read" } @else { "left out" } }
            td data-label="is our" {
                // A name that has a line break can stand in no line above the table.
                @if seen.heading.chars().any(char::is_control) { "cannot be named: its heading is more than one line" } @else {
                    input type="hidden" name="theirs" value=(seen.heading);
                    input name="ours" value=(ours) list="ours" size="18" autocomplete="off" aria-label={ "What " (seen.heading) " is" };
                }
            }
        }
    }
}

/// The columns of a log that was sent.
///
/// # Errors
/// It is not held.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let sent = of_key(app, ask)?;
    let reading = read(&sent.name, &sent.bytes, &sent.how.entered);
    let text = String::from_utf8_lossy(&sent.bytes);
    let seen = look(&text, &reading.mapping);
    let at = format!("/jobs/{}/logs/look/{}", sent.how.job, ask.name("log"));
    let body = html! {
        h1 { "Columns of " bdi { (sent.name) } }
        p { "Soak " (sent.how.side.word()) " the work. Nothing is kept yet." }
        @for why in &reading.wrong { p.problem role="alert" { (why) } }
        @if !reading.problems.is_empty() { pre.problem { (reading.words()) } }
        @if let Some(log) = &reading.log {
            @if reading.has_load() {
                p { (draw::soak_picture::words(log)) "." }
            } @else { p.problem { (NO_LOAD) } }
        }
        form method="post" action=(at) {
            (token(app))
            p { "Say what a column is where its heading does not: one of ours, with its unit where its heading has none." }
            div.table tabindex="0" role="region" aria-label="Columns" {
                table.stack {
                    thead { tr { th scope="col" { "heading" } th scope="col" { "begins with" } th scope="col" { "as it stands" } th scope="col" { "is our" } } }
                    tbody { @for one in &seen { (column(one, &sent.how.entered)) } }
                }
            }
            datalist id="ours" { @for ours in OURS { option value=(ours) {} } }
            p.ways {
                button type="submit" name="do" value="look" { "Look again" } " "
                @if reading.can_be_kept() {
                    button type="submit" name="do" value="keep" {
                        @if reading.is_whole() { "Keep the log" } @else { "Keep the log without what cannot be read" }
                    }
                }
            }
        }
        p { a href={ "/jobs/" (sent.how.job) "/proof" } { "Back to the proof; the log is not kept" } }
    };
    Ok(Answer::Page(frame("Columns of a log", Place::Records, &body)))
}

/// Takes what was entered for the columns; keeps the log where that was asked for and can be.
///
/// # Errors
/// The log is not held.
pub fn name(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let mut sent = of_key(app, ask)?;
    let all = |name: &str| ask.form.every(name).into_iter().map(str::to_owned).collect::<Vec<_>>();
    sent.how.entered = all("theirs").into_iter().zip(all("ours")).collect();
    let key = ask.name("log");
    let reading = read(&sent.name, &sent.bytes, &sent.how.entered);
    if ask.form.text("do") == "keep" && reading.can_be_kept() {
        let done = keep(app, &sent.how, &sent.name, reading)?;
        app.logs.forget(key);
        return Ok(done);
    }
    let to = format!("/jobs/{}/logs/look/{key}", sent.how.job);
    app.logs.keep(key, sent);
    Ok(Answer::See(to))
}

/// One kept log.
///
/// # Errors
/// There is none of this number.
pub fn file(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let number = ask.name("log").parse().unwrap_or(0);
    let text = app.store().soak_log_text(ask.name("job"), number)?;
    Ok(Answer::File("text/csv; charset=utf-8", Some(format!("soak-{number}.csv")), text.into_bytes()))
}
