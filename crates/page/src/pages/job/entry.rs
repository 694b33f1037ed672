//! Ticks and notes: taken in from forms, given out to scripts.

use serde_json::json;
use store::entry::{EntryKind, NewEntry};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::pages::job::load;

/// Longest note.
pub const LONGEST_NOTE: usize = 4000;
/// Longest key of an entry.
const LONGEST_KEY: usize = 80;

/// What happened since a place in the store's order, for a script.
///
/// # Errors
/// No such job.
pub fn list(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let after = ask.query.text("after").parse().unwrap_or(0);
    let id = ask.name("job");
    app.store().job(id)?;
    let list = app.store().entries(id, after)?;
    let rows: Vec<_> = list
        .iter()
        .map(|entry| {
            json!({
                "number": entry.number, "step": entry.made.step, "kind": entry.made.kind.word(),
                "text": entry.made.text, "device": entry.made.device, "at": words(entry.at),
            })
        })
        .collect();
    Ok(Answer::Json(json!(rows)))
}

/// The entry that a form makes.
fn made(app: &App, ask: &Ask, device: &str) -> Result<NewEntry, Wrong> {
    let form = &ask.form;
    let text = form.text("text").trim();
    let wrong = |what: &str| Wrong::Input { what: what.to_owned(), typed: text.to_owned() };
    let kind = EntryKind::from_word(form.text("kind")).ok_or_else(|| wrong("This is no kind of entry."))?;
    let job = load(app, ask.name("job"))?;
    let step = form.text("step");
    let is_step = job.sheet.steps.iter().any(|one| one.id == step)
        || job
            .sheet
            .before_you_begin
            .iter()
            .any(|finding| step.strip_prefix("before-") == Some(finding.rule));
    if !is_step {
        return Err(wrong("The sheet has no such step."));
    }
    let key = form.text("key");
    if key.is_empty() || key.len() > LONGEST_KEY {
        return Err(wrong("The entry has no key of its own: open the page anew."));
    }
    match kind {
        EntryKind::Note if text.is_empty() => Err(wrong("The note is empty.")),
        EntryKind::Note if text.chars().count() > LONGEST_NOTE => {
            Err(wrong("The note is longer than 4000 characters."))
        }
        EntryKind::Note => Ok(text.to_owned()),
        EntryKind::Done | EntryKind::Undone => Ok(String::new()),
    }
    .map(|text| NewEntry {
        key: key.to_owned(),
        step: step.to_owned(),
        kind,
        text,
        device: device.to_owned(),
    })
}

fn keep(app: &App, ask: &Ask, device: &str, base: &str) -> Result<Answer, Wrong> {
    let entry = made(app, ask, device)?;
    let step = entry.step.clone();
    app.store().add_entries(ask.name("job"), &[entry], (app.now)())?;
    if ask.form.text("answer") == "script" {
        return Ok(Answer::Json(json!({ "kept": true })));
    }
    Ok(Answer::See(format!("{base}#{step}")))
}

/// Takes a tick or a note.
///
/// # Errors
/// No such job or step.
pub fn enter(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    keep(app, ask, "bench", &format!("/jobs/{}", ask.name("job")))
}

/// Takes a tick or a note from a phone.
///
/// # Errors
/// No such step.
pub fn enter_on_phone(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    keep(app, ask, "phone", &format!("/sheet/{}", ask.name("token")))
}
