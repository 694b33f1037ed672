//! Paste pressed between lid and cooler: which pattern, how much, and how it spreads.

use draw::paste_text::{LEGEND, patterns};
use maud::{Markup, html};
use physics::paste::press::Go;
use quantity::interval::Interval;
use upgrade::carry::paste_press::{PasteJob, paste_job};
use upgrade::carry::paste_setup::{Pressed, Putting};
use upgrade::machine::proposal::Proposal;
use upgrade::part::library::Library;
use upgrade::part::paste::Paste;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, with_query};
use crate::frame::{Place, frame, picture};
use crate::pages::changes::choose;
use crate::pages::progress::{self, About};

/// Cells along a side of the lid.
const CELLS: usize = 96;

fn film(pressed: &Pressed, job: &PasteJob) -> Markup {
    let name = pressed.pattern.name();
    html! {
        section aria-label={ "Film of the " (name) } {
            h2 { "How the " (name) " spreads" }
            p { "Put " (Interval::exact(job.volume).rounded(2)) ": " (pressed.to_see) "." }
            (picture(&draw::paste_film::strip(pressed, job), &format!("How the {name} spreads, moment by moment")))
        }
    }
}

/// The pattern that is looked at: the one that was asked for, else the best.
fn chosen<'a>(job: &'a PasteJob, wanted: &str) -> Option<&'a Pressed> {
    job.patterns.iter().find(|pressed| pressed.pattern.name() == wanted).or(job.patterns.first())
}

fn inside(
    job: &PasteJob,
    wanted: &str,
    here: &dyn Fn(&str) -> String,
    film_at: &dyn Fn(&str) -> String,
) -> Markup {
    let best = job.patterns.first();
    let chosen = chosen(job, wanted);
    html! {
        @if let Some(best) = best {
            p.lead { "Put " (Interval::exact(job.volume).rounded(2)) ": " (best.to_see) " (" (best.pattern.name()) ")." }
        }
        @for assumed in &job.assumed { p.faint { (assumed) } }
        (patterns(job).html())
        p.faint { (LEGEND) }
        nav aria-label="Patterns" {
            ul.ways {
                @for pressed in &job.patterns {
                    @let is_here = chosen.is_some_and(|chosen| chosen.pattern == pressed.pattern);
                    li { a href=(here(pressed.pattern.name())) aria-current=[is_here.then_some("true")] { (pressed.pattern.name()) } }
                }
            }
        }
        @if let Some(chosen) = chosen {
            (film(chosen, job))
            p { a.button href=(film_at(chosen.pattern.name())) { "The same, moving, as a file" } }
        }
        h2 { "Every pattern at its end" }
        (picture(&draw::paste_picture::paste(job), "Paste pressed in every pattern"))
    }
}

/// A way to the same page with another paste.
fn other_paste(machine: &str, with: &[String], paste: &Paste, library: &Library) -> Markup {
    let is_paste = |id: &String| library.pastes.keys().any(|known| known.text() == id);
    let mut parts: Vec<String> = with.iter().filter(|id| !is_paste(id)).cloned().collect();
    parts.push(paste.id.text().to_owned());
    let is_here = with.iter().any(|id| id == paste.id.text());
    html! {
        li { a href={ "/machines/" (machine) "/paste" (with_query(&parts)) } aria-current=[is_here.then_some("true")] { (paste.name) } }
    }
}

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let (id, name) = (bench.kept.id.clone(), bench.kept.name.clone());
    let has_paste = bench.changes(&with)?.paste.is_some();
    let place = Place::Machine(&id, &name, "/paste", &with);
    let above = html! {
        h1 { "Paste" }
        (choose(&bench, ask, "/paste"))
        nav aria-label="Pastes" {
            ul.ways { @for paste in bench.parts().pastes.values() { (other_paste(&id, &with, paste, bench.parts())) } }
        }
    };
    if !has_paste {
        let body = html! { (above) p { "No paste is chosen yet: take one of these, pressed with the cooler that is there." } };
        return Ok(Answer::Page(frame("Paste", place, &body)));
    }
    let parts = with.clone();
    let wanted = ask.query.text("pattern").to_owned();
    let back = format!("/machines/{id}/paste");
    let base = format!("/machines/{id}/paste{}", with_query(&with));
    let known_as = known_as(&id, &with, &bench.state());
    let stands = app.pressings.look(&known_as, move |work| {
        let changes = bench.changes(&parts).map_err(|wrong| wrong.to_string())?;
        let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
        let go = |done| if work.go_on(done) { Go::On } else { Go::Stop };
        let putting = Putting { volume: None, order: None, cells: CELLS };
        paste_job(&proposal, &putting, None, go).map_err(|error| error.to_string())
    });
    let about = About { title: "Paste", place, above: &above, back: &back, known_as: &known_as };
    let and = |base: &str, pattern: &str| format!("{base}&pattern={}", pattern.replace(' ', "+"));
    let here = |pattern: &str| and(&base, pattern);
    let film_at = |pattern: &str| and(&format!("/machines/{id}/film.svg{}", with_query(&with)), pattern);
    Ok(progress::show(app, ask, &about, &stands, |job| inside(job, &wanted, &here, &film_at)))
}

/// What the pressing of a machine with these parts is known by.
fn known_as(id: &str, with: &[String], state: &str) -> String {
    format!("/machines/{id}/paste{} {state}", with_query(with))
}

/// The film of a pattern as a file that moves; to the page, where it is not pressed yet.
///
/// # Errors
/// No such machine.
pub fn film_file(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let known_as = known_as(&bench.kept.id, &with, &bench.state());
    let wanted = ask.query.text("pattern");
    Ok(match app.pressings.done(&known_as) {
        Some(job) => match chosen(&job, wanted) {
            Some(pressed) => {
                let name = format!("paste-{}.svg", pressed.pattern.name());
                let film = draw::paste_motion::moving(pressed, &job);
                Answer::File("image/svg+xml", Some(name), film.into_bytes())
            }
            None => {
                return Err(Wrong::Missing("The pressing was stopped before its first pattern.".to_owned()));
            }
        },
        None => Answer::See(format!("/machines/{}/paste{}", bench.kept.id, with_query(&with))),
    })
}
