//! The soak of this computer: begun with care, watched while it runs, stopped by a button.

use std::path::Path;

use draw::soak_picture;
use maud::{Markup, html};
use quantity::measure::Quantity;
use quantity::text::significant;
use soak::guard::Ended;
use soak::kernel::Load;
use soak::run::conductor::Report;
use soak::run::own;
use soak::run::plan::{Plan, Refused, Watch, watched};
use soak::run::words::{CAUTIONS, ended, named};
use soak::schedule::{Layout, Schedule};
use soak::sensors::find::find;
use soak::sensors::sampler::Sampler;
use soak::width::Width;
use survey::root::Root;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::for_files;
use crate::frame::{Place, button, framed, picture, token};
use crate::soaking::{Ready, Seen};
use crate::work::Stands;

/// Minutes of load that are offered, and of rest.
const MINUTES: [u32; 5] = [1, 3, 10, 30, 60];
const REST_S: f64 = 60.0;

fn sampler() -> Result<Sampler, Wrong> {
    let root = Root::folder(Path::new("/")).map_err(Wrong::input)?;
    Ok(Sampler::new(find(&root, &[])))
}

fn choice(id: &str, words: &str, options: &[(String, &str)], chosen: &str) -> Markup {
    html! {
        p {
            label for=(id) { (words) } " "
            select id=(id) name=(id) {
                @for (value, text) in options { option value=(value) selected[value == chosen] { (text) } }
            }
        }
    }
}

fn form(app: &App) -> Result<Markup, Wrong> {
    let sampler = sampler()?;
    let limits = watched(&sampler, None, Watch::Blind).map_err(Wrong::input)?;
    let loads: Vec<(String, &str)> =
        Load::ALL.iter().map(|load| (load.word().to_owned(), load.word())).collect();
    let layouts: Vec<(String, &str)> = Layout::ALL
        .iter()
        .map(|layout| {
            let words = match layout {
                Layout::All => "all cores at once",
                Layout::Each => "one core after another",
                Layout::Steps => "full load and rest in turn",
                Layout::Sweep => "from nothing to full load and back",
            };
            (layout.word().to_owned(), words)
        })
        .collect();
    let times: Vec<(String, String)> =
        MINUTES.iter().map(|time| (time.to_string(), format!("{time} min"))).collect();
    let times: Vec<(String, &str)> =
        times.iter().map(|(value, text)| (value.clone(), text.as_str())).collect();
    Ok(html! {
        section aria-labelledby="begin" {
            h2 id="begin" { "Load this computer" }
            @for caution in CAUTIONS { p { (caution.replace("Ctrl-C", "The button on the next page")) } }
            @if limits.is_empty() {
                p.problem { "No temperature of the processor can be read here, so nothing would stop a run that gets too hot." }
            } @else {
                p { "It stops by itself when a sensor is lost, stands still or reaches its limit:" }
                ul { @for (one, limit) in &limits {
                    li { (named(&one.heading)) " at " (significant(limit.celsius, 3)) " °C, " (limit.basis.words()) }
                } }
            }
            form method="post" action="/soak/begin" {
                (token(app))
                (choice("load", "Load", &loads, "vector"))
                (choice("layout", "Layout", &layouts, "all"))
                (choice("minutes", "For", &times, "10"))
                p { label { input type="checkbox" name="looked" value="yes" required; " The cooler sits, its fan turns, and I stay here." } }
                @if limits.is_empty() {
                    p { label { input type="checkbox" name="blind" value="yes" required; " Run although no temperature is watched, for five minutes at most." } }
                }
                button type="submit" { "Begin the soak" }
            }
        }
    })
}

fn curve(seen: &Seen) -> Markup {
    let log = seen.log();
    let limit = seen.limit.map(|limit| Quantity::from_si(limit + 273.15));
    html! {
        @if !seen.names.is_empty() {
            (picture(&soak_picture::soak(&log, limit, "Temperatures"), "Temperatures of the soak"))
            p { (soak_picture::words(&log)) "." }
        }
    }
}

fn result(seen: &Seen, report: &Report) -> Markup {
    let (why, help) = ended(report);
    let good = matches!(report.ended, Ended::Done | Ended::Asked);
    html! {
        section aria-labelledby="went" {
            h2 id="went" { "How the last soak went" }
            p.problem[!good] { (why) }
            @for failure in &report.failures { p.problem { (failure.core) " under " (failure.load.word()) ": " (failure.what) "." } }
            @if let Some(help) = help { p { (help) "." } }
            (curve(seen))
            @for (load, units, seconds) in report.work.iter().filter(|(.., seconds)| *seconds > 0.0) {
                p { (load.word()) ": " (significant(units / seconds / 1e9, 4)) " G " (load.unit()) " in each second of a core." }
            }
            @if seen.log.is_some() { p { a.button href="/soak/log.csv" { "Take the log (CSV)" } } }
        }
    }
}

/// The page.
///
/// # Errors
/// This computer's files cannot be looked into.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let seen = app.soaking.seen();
    let stands = app.soaking.stands();
    let runs = matches!(stands, Some(Stands::At(_) | Stands::Busy));
    // Also without scripts the page looks again by itself.
    let head = html! { @if runs { noscript { meta http-equiv="refresh" content="2"; } } };
    let body = html! {
        h1 { "Soak" }
        @match &stands {
            Some(Stands::At(_) | Stands::Busy) => {
                h2 { "This computer is under load" }
                // Outside of what is replaced while somebody may be about to press it.
                (button(app, "/soak/stop", "Stop the load", &[]))
                section data-waits="yes" {
                    p { (if seen.now.is_empty() { "The load's data is being made ready." } else { &seen.now }) }
                    (curve(&seen))
                    p { a.button href="/soak" { "Look again" } }
                }
            },
            Some(Stands::Done(report)) => { (result(&seen, report)) (form(app)?) },
            Some(Stands::Not(why)) => { p.problem { "It was not begun: " (why) } (form(app)?) },
            None => (form(app)?),
        }
    };
    Ok(Answer::Page(framed("Soak", Place::Soak, &head, &body)))
}

fn plan(ask: &Ask) -> Result<Plan, Wrong> {
    let wrong = |what: &str| {
        Wrong::input(format!("\"{}\" is none of the {what} that are offered", ask.form.text(what)))
    };
    let load = Load::ALL
        .into_iter()
        .find(|load| load.word() == ask.form.text("load"))
        .ok_or_else(|| wrong("load"))?;
    let layout = Layout::ALL
        .into_iter()
        .find(|layout| layout.word() == ask.form.text("layout"))
        .ok_or_else(|| wrong("layout"))?;
    let minutes = ask.form.text("minutes").parse::<u32>().ok().filter(|time| MINUTES.contains(time));
    let mut minutes = f64::from(minutes.ok_or_else(|| wrong("minutes"))?);
    let mut rest_s = REST_S;
    if ask.form.text("blind") == "yes" {
        // Nothing is measured that rest would be good for.
        (minutes, rest_s) = (minutes.min(5.0), 0.0);
    }
    let cores = own::cores().map_err(Wrong::input)?;
    Ok(Plan {
        schedule: Schedule::of(layout, load, 60.0 * minutes, rest_s, cores.len()),
        rows_hz: 10.0,
        width: Width::widest(),
        memory: own::memory(cores.len()),
        cache: own::cache(),
        still_s: soak::dip::STILL_S,
        trial: None,
        cores,
    })
}

/// Begins a soak.
///
/// # Errors
/// Nobody said that the cooler was looked at, one runs already, or there is no sensor and nobody said that it may go without.
pub fn begin(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    if ask.form.text("looked") != "yes" {
        return Err(Wrong::input(
            "say that you have looked at the cooler and stay here: without that no load begins",
        ));
    }
    let plan = plan(ask)?;
    let sampler = sampler()?;
    let watch = if ask.form.text("blind") == "yes" { Watch::Blind } else { Watch::Sensors };
    let limits =
        watched(&sampler, None, watch).and_then(|limits| plan.checked(limits.len()).map(|()| limits));
    let limits = limits.map_err(|refused| match refused {
        Refused::NoSensor => Wrong::input(format!("{refused}; say that it may go without, if you want that")),
        other => Wrong::input(other),
    })?;
    let now = (app.now)();
    let about = vec![
        ("load".to_owned(), ask.form.text("load").to_owned()),
        ("layout".to_owned(), ask.form.text("layout").to_owned()),
        ("start".to_owned(), for_files(now)),
        ("written by".to_owned(), format!("reseat {}", env!("CARGO_PKG_VERSION"))),
    ];
    let secret = crate::app::secret().map_err(Wrong::input)?;
    let name = format!("reseat-soak-{}-{}.csv", now.0, secret.get(..8).unwrap_or("log"));
    let ready = Ready {
        plan,
        sampler,
        watched: limits.into_iter().map(|(one, _)| one).collect(),
        log: std::env::temp_dir().join(name),
        about,
    };
    if app.soaking.begin(ready) {
        Ok(Answer::See("/soak".to_owned()))
    } else {
        Err(Wrong::input(
            "a soak is at work already, or this computer computes something else: wait for its end or stop it",
        ))
    }
}

/// Stops the soak.
///
/// # Errors
/// None.
pub fn stop(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    app.soaking.stop();
    Ok(Answer::See("/soak".to_owned()))
}

/// The log of the last soak.
///
/// # Errors
/// There is none, or it cannot be read any more.
pub fn log(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let missing = || Wrong::Missing("There is no log of a soak here.".to_owned());
    let path = app.soaking.seen().log.ok_or_else(missing)?;
    let bytes = std::fs::read(path).map_err(|_| missing())?;
    Ok(Answer::File("text/csv; charset=utf-8", Some("soak.csv".to_owned()), bytes))
}
