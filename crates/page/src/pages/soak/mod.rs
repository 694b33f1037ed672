//! The soak of this computer: begun with care, watched while it runs, stopped by a button, kept with its job.

pub mod form;
pub mod here;
pub mod view;

use maud::html;
use soak::run::head::{About, headings, lines};
use soak::run::plan::{Plan, watched};
use store::soak_log::Side;
use survey::topology::topology;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, Fields};
use crate::clock::for_files;
use crate::frame::{Place, button, framed};
use crate::keeping::{ForJob, Kept, LARGEST_LOG_BYTES};
use crate::pages::soak::form::{Wanted, wanted};
use crate::pages::soak::here::{here, root};
use crate::soaking::Ready;
use crate::work::Stands;

/// Bytes of a cell in a log, about.
const CELL_BYTES: f64 = 8.0;

/// The job that a form or an address names; none where it names none.
fn for_job(app: &App, fields: &Fields) -> Result<Option<ForJob>, Wrong> {
    let id = fields.text("job");
    if id.is_empty() {
        return Ok(None);
    }
    let job = app.store().job(id)?;
    let side = Side::from_word(fields.text("side")).ok_or_else(|| {
        Wrong::input("A soak of a job is before or after its work: say which, as side=after.")
    })?;
    Ok(Some(ForJob { job: job.id, title: job.title, side }))
}

/// The page, with what was entered, and what is wrong with it.
fn page(app: &App, fields: &Fields, wrong: Option<&str>) -> Result<String, Wrong> {
    let seen = app.soaking.seen();
    let stands = app.soaking.stands();
    let of = for_job(app, fields)?;
    let runs = matches!(stands, Some(Stands::At(_) | Stands::Busy));
    // Also without scripts the page looks again by itself.
    let head = html! { @if runs { noscript { meta http-equiv="refresh" content="2"; } } };
    let last = app.soaking.entered();
    // What was entered last is offered again, unless something is entered now.
    let entered = if fields.get("load").is_some() { fields } else { &last };
    let body = html! {
        h1 { "Soak" }
        @if let Some(why) = wrong { pre.problem role="alert" { (why) } }
        @match &stands {
            Some(Stands::At(_) | Stands::Busy) => {
                h2 { "This computer is under load" }
                // Outside of what is replaced while somebody may be about to press it.
                (button(app, "/soak/stop", "Stop the load", &[]))
                section data-waits="yes" { (view::running(&seen)) }
            },
            Some(Stands::Done(report)) => {
                (view::ended(app, &seen, report)?)
                (form::form(app, entered, of.as_ref())?)
            },
            Some(Stands::Not(why)) => { p.problem { "It was not begun: " (why) } (form::form(app, entered, of.as_ref())?) },
            None => (form::form(app, entered, of.as_ref())?),
        }
    };
    Ok(framed("Soak", Place::Soak, &head, &body))
}

/// The page.
///
/// # Errors
/// This computer's files cannot be looked into; no such job.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    Ok(Answer::Page(page(app, &ask.query, None)?))
}

fn fits(plan: &Plan, columns: usize) -> Result<(), String> {
    let bytes = plan.schedule.length_s() * plan.rows_hz * CELL_BYTES * columns as f64;
    let most = LARGEST_LOG_BYTES as f64;
    if bytes <= most {
        return Ok(());
    }
    Err(format!(
        "Rows in a second: the log would have about {:.0} MiB, and a job keeps {} MiB; take fewer rows, or a shorter time.",
        bytes / f64::from(1 << 20),
        LARGEST_LOG_BYTES >> 20
    ))
}

/// Makes everything ready for what the form asks for.
fn ready(app: &App, ask: &Ask, of: Option<ForJob>) -> Result<Ready, String> {
    let Wanted { plan, choices, watch, limit, room } = wanted(&ask.form, of.is_some())?;
    let computer = here(app, &choices).map_err(|wrong| wrong.to_string())?;
    if let Some(note) = computer.unknown_choice {
        return Err(format!("Sensors: {note}."));
    }
    let sampler = computer.sampler;
    let limits = watched(&sampler, limit, watch)
        .and_then(|limits| plan.checked(limits.len()).map(|()| limits))
        .map_err(|refused| form::refused(&refused))?;
    if of.is_some() {
        fits(&plan, headings(&sampler).len())?;
    }
    let now = (app.now)();
    let about = About {
        load: ask.form.text("load"),
        layout: ask.form.text("layout"),
        start: for_files(now),
        program: format!("reseat {}", env!("CARGO_PKG_VERSION")),
        room: room.map(|room| room.to_string()),
    };
    let mut about = lines(about, &plan, &sampler);
    about.extend(of.as_ref().map(|of| ("machine".to_owned(), of.title.clone())));
    about.extend(
        root(app).ok().and_then(|root| topology(&root).name).map(|name| ("processor".to_owned(), name)),
    );
    let secret = crate::app::secret().map_err(|error| error.to_string())?;
    let name = format!("reseat-soak-{}-{}.csv", now.0, secret.get(..8).unwrap_or("log"));
    Ok(Ready {
        plan,
        sampler,
        watched: limits.into_iter().map(|(one, _)| one).collect(),
        log: std::env::temp_dir().join(name),
        about,
        job: of,
        entered: ask.form.clone(),
        store: app.store_for_later(),
        now: app.now,
    })
}

/// Begins a soak; where it cannot be, the form comes back as it was filled in.
///
/// # Errors
/// No such job; this computer's files cannot be looked into.
pub fn begin(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let of = for_job(app, &ask.form)?;
    let why = match ready(app, ask, of) {
        Ok(ready) => {
            if app.soaking.begin(ready) {
                return Ok(Answer::See("/soak".to_owned()));
            }
            "A soak is at work already, or this computer computes something else: wait for its end or stop it.".to_owned()
        }
        Err(why) => why,
    };
    Ok(Answer::Again(page(app, &ask.form, Some(&why))?))
}

/// Stops the soak.
///
/// # Errors
/// None.
pub fn stop(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    app.soaking.stop();
    Ok(Answer::See("/soak".to_owned()))
}

/// Keeps the log of the last soak with a job.
///
/// # Errors
/// No such job, no log, or it cannot be kept.
pub fn keep(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let of = for_job(app, &ask.form)?.ok_or_else(|| Wrong::input("Say which job the log is for."))?;
    let to = format!("/jobs/{}/proof", of.job);
    app.soaking.keep(of, &app.store_for_later(), (app.now)()).map_err(Wrong::input)?;
    Ok(Answer::See(to))
}

/// The log of the last soak.
///
/// # Errors
/// There is none, it is kept with its job, or it cannot be read any more.
pub fn log(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let missing = || Wrong::Missing("There is no log of a soak here.".to_owned());
    let seen = app.soaking.seen();
    if let (Kept::As(number), Some(of)) = (&seen.kept, &seen.job) {
        return Ok(Answer::See(format!("/jobs/{}/logs/{number}", of.job)));
    }
    let bytes = std::fs::read(seen.log.ok_or_else(missing)?).map_err(|_| missing())?;
    Ok(Answer::File("text/csv; charset=utf-8", Some("soak.csv".to_owned()), bytes))
}
