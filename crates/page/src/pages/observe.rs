//! What this computer does: watched while it is used, and made into the tasks of a record.

use draw::document_html::blocks;
use draw::observed_document;
use intake::machine::edit::with_tasks;
use intake::observation;
use intake::problem::SourceFile;
use maud::{Markup, html};
use quantity::dimension::Duration;
use quantity::measure::Quantity;
use upgrade::gain::observed::tasks::{Observed, observed};

use crate::answer::{Answer, Wrong};
use crate::app::{App, has_error};
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, button, framed, token};
use crate::observing::Seen;
use crate::pages::machine;

/// Largest file of counts that is taken: some weeks of them.
pub const LARGEST_BYTES: usize = 32 << 20;
/// Minutes for which it can be watched.
const MINUTES: [(u32, &str); 5] = [
    (10, "10 minutes"),
    (60, "an hour"),
    (240, "four hours"),
    (480, "a working day of 8 hours"),
    (1440, "a day"),
];
/// Hours a day that are taken where nobody says otherwise.
const HOURS: &str = "8 h";

/// Hours a day in which the machine works as it did while it was watched.
fn hours(text: &str) -> Result<Duration, Wrong> {
    let day: Duration = Quantity::from_si(86_400.0);
    let typed = text.trim();
    let hours: Duration = typed
        .parse()
        .map_err(|error| Wrong::Input { what: format!("hours a day: {error}"), typed: typed.to_owned() })?;
    if hours.si() > 0.0 && hours <= day {
        Ok(hours)
    } else {
        Err(Wrong::Input {
            what: format!("{hours} a day cannot be: give up to 24 h"),
            typed: typed.to_owned(),
        })
    }
}

fn found(seen: &Seen, hours: Duration) -> Option<Observed> {
    (!seen.spans.is_empty()).then(|| observed(&seen.spans, seen.threads, hours))
}

fn begin_form(app: &App) -> Markup {
    html! {
        section aria-labelledby="begin" {
            h2 id="begin" { "Watch this computer" }
            p { "Use it as on any day meanwhile. It is looked at ten times a second and asked for nothing else; what is seen is how many \
    tasks want the processor, and what they wait for, not which they are." }
            form method="post" action="/observe/begin" {
                (token(app))
                p {
                    label for="minutes" { "For " }
                    select id="minutes" name="minutes" {
                        @for (minutes, text) in MINUTES { option value=(minutes) selected[minutes == 480] { (text) } }
                    }
                }
                button type="submit" { "Begin to watch" }
            }
            form method="post" action="/observe/seen" enctype="multipart/form-data" {
                (token(app))
                p {
                    label for="seen" { "Or take what was counted on another computer by reseat observe --keep (CSV) " }
                    input id="seen" name="seen" type="file" accept=".csv,text/csv" required;
                }
                button type="submit" { "Read it" }
            }
        }
    }
}

fn into_form(app: &App, hours_a_day: &str) -> Result<Markup, Wrong> {
    let machines = app.store().machines()?;
    Ok(html! {
        section aria-labelledby="into" {
            h2 id="into" { "Plan with it" }
            @if machines.is_empty() {
                p { "No machine is on the bench yet: " a href="/" { "read this one" } " first." }
            } @else {
                form method="post" action="/observe/into" {
                    (token(app))
                    p {
                        label for="machine" { "The tasks in the record of " }
                        select id="machine" name="machine" required {
                            @for machine in &machines { option value=(machine.id) { (machine.name) } }
                        }
                        " are replaced by what was seen; the record's earlier text is kept."
                    }
                    p {
                        label for="hours" { "Hours a day in which it works so " }
                        input id="hours" name="hours" value=(hours_a_day) required autocomplete="off";
                    }
                    button type="submit" { "Put the tasks into the record" }
                }
            }
        }
    })
}

fn so_far(seen: &Seen) -> String {
    let watched: f64 = seen.spans.iter().map(|span| span.length_s).sum();
    let since = seen.begun.map_or_else(String::new, |at| format!(" since {}", words(at)));
    format!(
        "Watching{since}: {} of {} so far.",
        Duration::from_si(watched).rounded(3),
        Duration::from_si(seen.length_s).rounded(3)
    )
}

/// The page.
///
/// # Errors
/// Hours that cannot be, or a store that cannot be read.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let seen = app.observing.seen();
    let hours_a_day = ask.query.get("hours").unwrap_or(HOURS);
    let found = found(&seen, hours(hours_a_day)?);
    let has_tasks = found.as_ref().is_some_and(|found| !found.tasks.is_empty());
    let result = html! { @if let Some(found) = &found { (blocks(&observed_document::blocks(found, &seen.not_counted))) } };
    let head = html! { @if seen.runs { noscript { meta http-equiv="refresh" content="10"; } } };
    let body = html! {
        h1 { "What this computer does" }
        @if seen.runs {
            (button(app, "/observe/stop", "End the watch", &[]))
            section data-waits="yes" {
                p { (so_far(&seen)) }
                (result)
                p { a.button href="/observe" { "Look again" } }
            }
        } @else {
            (result)
            @if found.is_some() { p { a.button href="/observe/seen.csv" { "Take what was counted (CSV)" } } }
            @if has_tasks { (into_form(app, hours_a_day)?) }
            (begin_form(app))
        }
    };
    Ok(Answer::Page(framed("What this computer does", Place::Observe, &head, &body)))
}

/// Begins a watch.
///
/// # Errors
/// A time that is not offered, a watch that goes on, or counts that cannot be read.
pub fn begin(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let text = ask.form.text("minutes");
    let minutes =
        text.parse::<u32>().ok().filter(|wanted| MINUTES.iter().any(|(minutes, _)| minutes == wanted));
    let minutes =
        minutes.ok_or_else(|| Wrong::input(format!("\"{text}\" is none of the minutes that are offered")))?;
    app.observing.begin(60.0 * f64::from(minutes), (app.now)()).map_err(Wrong::input)?;
    Ok(Answer::See("/observe".to_owned()))
}

/// Ends the watch.
///
/// # Errors
/// None.
pub fn stop(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    app.observing.stop();
    Ok(Answer::See("/observe".to_owned()))
}

/// What was counted, as `reseat observe --from` reads it.
///
/// # Errors
/// Nothing was.
pub fn seen(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let seen = app.observing.seen();
    if seen.spans.is_empty() {
        return Err(Wrong::Missing("Nothing was watched here yet.".to_owned()));
    }
    let mut text = format!("# threads: {}\n{}\n", seen.threads, observation::HEADING);
    text.extend(seen.spans.iter().map(observation::row));
    Ok(Answer::File("text/csv; charset=utf-8", Some("seen.csv".to_owned()), text.into_bytes()))
}

/// Takes what was counted elsewhere.
///
/// # Errors
/// The file holds no such counts, or a watch goes on.
pub fn take(app: &App, name: &str, bytes: Vec<u8>) -> Result<Answer, Wrong> {
    let source = SourceFile { name: name.to_owned(), bytes };
    let (spans, threads, problems) = observation::read(&source);
    if spans.is_empty() || has_error(&problems) {
        return Err(Wrong::problems(&problems, source, ""));
    }
    // An old file without a count of threads: what was watched then is not known to be narrow.
    app.observing.take(spans, threads.unwrap_or(1)).map_err(Wrong::input)?;
    Ok(Answer::See("/observe".to_owned()))
}

/// Puts the tasks into a record.
///
/// # Errors
/// Nothing was seen that could be a task, hours that cannot be, or no such machine.
pub fn into(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let hours = hours(ask.form.text("hours"))?;
    let found = found(&app.observing.seen(), hours)
        .filter(|found| !found.tasks.is_empty())
        .ok_or_else(|| Wrong::input("nothing was seen that could be a task, so no record was changed"))?;
    let kept = app.store().machine(ask.form.text("machine"))?;
    let text = with_tasks(&kept.text, &found.tasks).map_err(Wrong::input)?;
    machine::keep(app, &kept.id, (kept.revision, &text), "tasks seen while it was watched", &text)
}
