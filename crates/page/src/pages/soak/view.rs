//! A soak while it runs and when it has ended.

use draw::soak_picture;
use maud::{Markup, html};
use quantity::measure::Quantity;
use quantity::text::significant;
use soak::guard::Ended;
use soak::run::conductor::Report;
use soak::run::words;
use store::soak_log::Side;

use crate::answer::Wrong;
use crate::app::App;
use crate::frame::{button, token, two_pictures};
use crate::keeping::{ForJob, Kept};
use crate::soaking::Seen;

fn curve(seen: &Seen) -> Markup {
    let log = seen.log();
    let limit = seen.limit.map(|limit| Quantity::from_si(limit + 273.15));
    html! {
        @if !seen.names.is_empty() {
            (two_pictures(&soak_picture::soak(&log, limit, "Temperatures"), &soak_picture::narrow(&log, limit, "Temperatures"), "Temperatures of the soak"))
            p { (soak_picture::words(&log)) "." }
        }
    }
}

fn what_for(of: &ForJob) -> Markup {
    html! { "the job " a href={ "/jobs/" (of.job) } { (of.title) } ", as its soak " (of.side.word()) " the work" }
}

/// What is shown while it runs.
pub fn running(seen: &Seen) -> Markup {
    html! {
        p { (if seen.now.is_empty() { "The load's data is being made ready." } else { &seen.now }) }
        (curve(seen))
        @if let Some(of) = &seen.job { p { "Its log will be kept with " (what_for(of)) "." } }
        @if let Some(log) = &seen.log { p.faint { "Should this computer go down, the log up to then is in " code { (log.display()) } "." } }
        p { a.button href="/soak" { "Look again" } }
    }
}

/// A form that keeps the log with a job that is still open.
fn keep_with(app: &App) -> Result<Markup, Wrong> {
    let jobs = app.store().jobs(None)?;
    Ok(html! {
        @if !jobs.is_empty() {
            form method="post" action="/soak/keep" {
                (token(app))
                div.fields {
                    p { label for="keep-job" { "Keep the log with the job of this computer" }
                        select id="keep-job" name="job" { @for job in &jobs { option value=(job.id) { (job.title) } } } }
                    p { label for="keep-side" { "as its soak" }
                        select id="keep-side" name="side" { @for side in [Side::Before, Side::After] { option value=(side.word()) { (side.word()) " the work" } } } }
                    p { button type="submit" { "Keep it" } }
                }
            }
        }
    })
}

fn where_the_log_is(app: &App, seen: &Seen) -> Result<Markup, Wrong> {
    let again = |of: &ForJob, words: &str| {
        button(app, "/soak/keep", words, &[("job", &of.job), ("side", of.side.word())])
    };
    Ok(html! {
        @match (&seen.kept, &seen.job) {
            (Kept::As(number), Some(of)) => {
                p { "Its log is kept with " (what_for(of)) "." }
                p.ways {
                    a.button href={ "/jobs/" (of.job) "/proof" } { "See the proof" }
                    a href={ "/jobs/" (of.job) "/handover" } { "Hand-over" }
                    a href={ "/jobs/" (of.job) "/logs/" (number) } { "Take the log (CSV)" }
                }
            },
            (Kept::Not(why), Some(of)) => {
                pre.problem { "Its log could not be kept with the job: " (why) }
                (again(of, "Try to keep it again"))
                p { a.button href="/soak/log.csv" { "Take the log (CSV)" } }
            },
            (_, Some(of)) => {
                p { "It was broken off, so its log is not kept with " (what_for(of)) " by itself." }
                (again(of, "Keep it all the same"))
                p { a.button href="/soak/log.csv" { "Take the log (CSV)" } }
            },
            (_, None) => {
                p { a.button href="/soak/log.csv" { "Take the log (CSV)" } }
                (keep_with(app)?)
            },
        }
    })
}

/// How it went.
///
/// # Errors
/// The store cannot be read.
pub fn ended(app: &App, seen: &Seen, report: &Report) -> Result<Markup, Wrong> {
    let (why, help) = words::ended(report);
    let good = matches!(report.ended, Ended::Done | Ended::Asked);
    // The command line's options are fields of the form below.
    let help = help.map(|help| {
        help.replace("by --sensor", "among the sensors below")
            .replace("write it elsewhere by --log", "try again")
    });
    Ok(html! {
        section aria-labelledby="went" {
            h2 id="went" { "How the last soak went" }
            p.problem[!good] { (why) }
            @for failure in &report.failures { p.problem { (failure.core) " under " (failure.load.word()) ": " (failure.what) "." } }
            @for (core, why) in &report.astray { p.warn { (core) " could not be kept to itself (" (why) "): its load may have run elsewhere." } }
            @if let Some(help) = help { p { (help) "." } }
            @if report.dips > 0 {
                p { "The load rested for seconds, " (report.dips) " times, to see whether a sensor that stood still lives; the log calls these rows \"dip\", and the proof knows them." }
            }
            (where_the_log_is(app, seen)?)
            (curve(seen))
            @for (load, units, seconds) in report.work.iter().filter(|(.., seconds)| *seconds > 0.0) {
                p { (load.word()) ": " (significant(units / seconds / 1e9, 4)) " G " (load.unit()) " in each second of a core." }
            }
        }
    })
}
