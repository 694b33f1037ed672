//! A job: its sheet with ticks, notes and photos; the same for a paired phone; the way to the hand-over.

use draw::sheet_html::{body as step_body, first_start};
use draw::sheet_text::beforehand;
use intake::machine::edit::with_part;
use maud::{Markup, PreEscaped, html};
use serde_json::json;
use store::entry::{Entry, EntryKind, NewEntry, done_steps};
use store::job::KeptJob;
use upgrade::carry::paste_amount::words as amount_words;
use upgrade::machine::proposal::Proposal;
use upgrade::sheet::caution::DEFER;
use upgrade::sheet::sheet_of::{JobSheet, job_sheet};

use crate::answer::{Answer, Wrong};
use crate::app::{App, OnBench, read_record, record_file, secret};
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, button, frame, token};
use crate::photo::clean;

/// Longest note.
const LONGEST_NOTE: usize = 4000;
/// Longest key of an entry.
const LONGEST_KEY: usize = 80;

/// A job with everything about it.
pub struct Job {
    /// As it is kept.
    pub kept: KeptJob,
    /// The machine as it was found.
    pub bench: OnBench,
    /// Its sheet.
    pub sheet: JobSheet,
    /// What happened.
    pub entries: Vec<Entry>,
}

/// A job out of the store.
///
/// # Errors
/// There is none, or a part of it is no longer in the library.
pub fn load(app: &App, id: &str) -> Result<Job, Wrong> {
    let kept = app.store().job(id)?;
    let bench = app.machine_at(&kept.machine, kept.revision)?;
    let changes = bench.changes(&kept.parts)?;
    let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
    let sheet = job_sheet(&proposal, &kept.title, &amount_words(&proposal)).map_err(Wrong::input)?;
    let entries = app.store().entries(id, 0)?;
    Ok(Job { kept, bench, sheet, entries })
}

/// Begins a job with the parts of a route.
///
/// # Errors
/// A part that is none, or nothing to do.
pub fn begin(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let parts: Vec<String> = ask.form.text("parts").split_whitespace().map(str::to_owned).collect();
    let changes = bench.changes(&parts)?;
    if !changes.any() {
        return Err(Wrong::input("A job needs at least one part that is changed."));
    }
    let id = app.store().begin_job(&bench.kept.id, &parts, &changes.title(), (app.now)())?;
    Ok(Answer::See(format!("/jobs/{id}")))
}

/// Where a sheet is shown, and what may be done there.
struct View<'a> {
    app: &'a App,
    /// Address of the sheet.
    base: &'a str,
    /// Word for the device.
    device: &'a str,
}

impl View<'_> {
    /// Hidden fields of an entry's form. The key is chosen anew for each form, so that a form that is sent twice
    /// counts once.
    fn hidden(&self, step: &str) -> Markup {
        let key = secret().unwrap_or_default();
        html! {
            @if self.device == "bench" { (token(self.app)) }
            input type="hidden" name="key" value=(key);
            input type="hidden" name="step" value=(step);
            input type="hidden" name="device" value=(self.device);
        }
    }

    fn tick(&self, step: &str, name: &str, is_done: bool) -> Markup {
        let kind = if is_done { EntryKind::Undone } else { EntryKind::Done };
        html! {
            form.tick method="post" action={ (self.base) "/entries" } data-entry="tick" {
                (self.hidden(step))
                input type="hidden" name="kind" value=(kind.word());
                button.tick type="submit" aria-pressed=(is_done) {
                    span.box aria-hidden="true" {} span { (name) }
                }
            }
        }
    }

    fn notes(&self, step: &str, entries: &[Entry]) -> Markup {
        html! {
            ul.notes data-notes=(step) {
                @for entry in entries.iter().filter(|entry| entry.made.kind == EntryKind::Note && entry.made.step == step) {
                    li data-number=(entry.number) { bdi { (entry.made.text) } " " span.faint { (entry.made.device) ", " (words(entry.at)) } }
                }
            }
            details.note {
                summary { "Note" }
                form method="post" action={ (self.base) "/entries" } data-entry="note" {
                    (self.hidden(step))
                    input type="hidden" name="kind" value="note";
                    label for={ "note-" (step) } { "Note on this step" }
                    textarea id={ "note-" (step) } name="text" rows="2" maxlength=(LONGEST_NOTE) required {}
                    button type="submit" { "Keep the note" }
                }
            }
        }
    }

    fn sheet(&self, job: &Job, photos: &dyn Fn(&str) -> Markup) -> Markup {
        let done = done_steps(&job.entries);
        let sheet = &job.sheet;
        let count = sheet.steps.len();
        let ticked = sheet.steps.iter().filter(|step| done.contains_key(step.id)).count();
        html! {
            p.warn { (DEFER) }
            dl.facts {
                dt { "time" } dd { "about " (sheet.minutes / 60) " h " (sheet.minutes % 60) " min" }
                dt { "tools" } dd { (sheet.tools.join(", ")) }
                dt { "done" } dd { span data-count="" { (ticked) } " of " (count) " steps" }
            }
            p data-sync="" role="status" {}
            div data-sheet=(self.base) data-last=(job.entries.last().map_or(0, |entry| entry.number)) {
                @if !sheet.before_you_begin.is_empty() {
                    h2 { "Before you begin" }
                    ul.steps {
                        @for finding in &sheet.before_you_begin {
                            @let step = format!("before-{}", finding.rule);
                            li.step data-step=(step) data-done[done.contains_key(step.as_str())] {
                                (self.tick(&step, &beforehand(finding), done.contains_key(step.as_str())))
                            }
                        }
                    }
                }
                h2 { "Steps" }
                ol.steps {
                    @for (step, number) in sheet.steps.iter().zip(1..) {
                        @let is_done = done.contains_key(step.id);
                        li.step id=(step.id) data-step=(step.id) data-counts="" data-done[is_done] {
                            (self.tick(step.id, &format!("{number}. {} ({} min)", step.title, step.minutes), is_done))
                            div.body {
                                (step_body(step))
                                @if matches!(step.id, "paste") { p { a href={ "/machines/" (job.bench.kept.id) "/paste" (crate::ask::with_query(&job.kept.parts)) } { "How the paste should spread" } } }
                                (self.notes(step.id, &job.entries))
                                (photos(step.id))
                            }
                        }
                    }
                }
            }
            (first_start())
        }
    }
}

fn photo_piece(app: &App, job: &Job, photos: &[store::photo::Photo], step: &str) -> Markup {
    html! {
        @for photo in photos.iter().filter(|photo| photo.step == step) {
            a href={ "/jobs/" (job.kept.id) "/photos/" (photo.id) } {
                img src={ "/jobs/" (job.kept.id) "/photos/" (photo.id) } width=(photo.width / 4) height=(photo.height / 4)
                    loading="lazy" alt={ "photo of " (words(photo.at)) };
            }
        }
        details.note {
            summary { "Photo" }
            form method="post" action={ "/jobs/" (job.kept.id) "/photos" } enctype="multipart/form-data" {
                (token(app))
                input type="hidden" name="step" value=(step);
                label for={ "photo-" (step) } { "Photo (JPEG or PNG; place and camera data are removed)" }
                input id={ "photo-" (step) } type="file" name="photo" accept="image/jpeg,image/png" required;
                button type="submit" { "Keep the photo" }
            }
        }
    }
}

fn phone_piece(app: &App, job: &str) -> Markup {
    let Some(phone) = &app.phone else {
        return html! {
            p { "To tick on a phone beside the machine, end reseat and start it with " code { "reseat page --phone" }
                ": it then listens on your network too, for paired phones only. Or take the file." }
        };
    };
    let at = format!("/jobs/{job}/phone");
    match app.pairings.of_job(job, (app.now)()) {
        None => html! {
            p { "A paired phone on the same network may read and tick this sheet for two hours, nothing else. What it sends is not \
        encrypted on its way: pair only on a network you trust." }
            (button(app, &at, "Pair a phone", &[]))
        },
        Some(pairing) => {
            let address = format!("http://{}/sheet/{}", phone.host, pairing.token);
            let code = fast_qr::QRBuilder::new(address.as_str()).build().ok();
            let svg = code.map(|code| fast_qr::convert::svg::SvgBuilder::default().to_str(&code));
            html! {
                @if let Some(svg) = svg { div.code role="img" aria-label="Code with the phone's address" { (PreEscaped(svg)) } }
                p { "Point the phone's camera at the code, or type " code { (address) } ". Until " (words(pairing.until)) "." }
                (button(app, &format!("{at}/end"), "End the pairing", &[]))
            }
        }
    }
}

/// The page.
///
/// # Errors
/// No such job.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    let photos = app.store().photos(&job.kept.id)?;
    let id = &job.kept.id;
    let base = format!("/jobs/{id}");
    let view = View { app, base: &base, device: "bench" };
    let body = html! {
        h1 { "Job sheet: " (job.kept.title) }
        p { "For " a href={ "/machines/" (job.bench.kept.id) } { bdi { (job.bench.kept.name) } } ", begun " (words(job.kept.begun_at))
            @if let Some(closed) = job.kept.closed_at { ", closed " (words(closed)) } "." }
        details.bench open[app.pairings.of_job(id, (app.now)()).is_some()] {
            summary { "At the bench: phone, file, paper" }
            (phone_piece(app, id))
            p { a.button href={ (base) "/sheet.html" } { "One file that keeps its own ticks" } " The print of this page fits A4 and Letter." }
        }
        (view.sheet(&job, &|step| photo_piece(app, &job, &photos, step)))
        h2 { "When the work is done" }
        p { a.button href={ (base) "/handover" } { "Hand-over" } }
        @if job.kept.closed_at.is_none() {
            p { "Closing writes the new parts into the machine's record, and fresh paste; the record as it was found stays with this job." }
            (button(app, &format!("{base}/close"), "Close the job and write the new parts into the record", &[("record", "yes")]))
            (button(app, &format!("{base}/close"), "Close the job without it", &[]))
        } @else {
            (button(app, &format!("{base}/close"), "Open the job again", &[("again", "yes")]))
        }
    };
    Ok(Answer::Page(frame("Job sheet", Place::Records, &body)))
}

/// The sheet for a paired phone.
///
/// # Errors
/// No such job.
pub fn show_on_phone(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    let base = format!("/sheet/{}", ask.name("token"));
    let view = View { app, base: &base, device: "phone" };
    let body = html! {
        h1 { "Job sheet: " (job.kept.title) }
        p { "For " bdi { (job.bench.kept.name) } "." }
        (view.sheet(&job, &|_| html! {}))
    };
    Ok(Answer::Page(crate::frame::bare("Job sheet", &body)))
}

/// What happened since a place in the store's order, for a script.
///
/// # Errors
/// No such job.
pub fn entries(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
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

/// The sheet as one file that keeps its own ticks.
///
/// # Errors
/// No such job.
pub fn file(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    let page = draw::sheet_html::page(&job.sheet, &job.kept.id);
    Ok(Answer::File("text/html; charset=utf-8", Some(format!("{}.html", job.kept.id)), page.into_bytes()))
}

/// Pairs a phone.
///
/// # Errors
/// No such job, or no address for phones.
pub fn pair(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = app.store().job(ask.name("job"))?;
    if app.phone.is_none() {
        return Err(Wrong::Refused("This run listens on this computer only: start reseat page --phone."));
    }
    app.pairings.pair(&job.id, secret().map_err(Wrong::input)?, (app.now)());
    Ok(Answer::See(format!("/jobs/{}", job.id)))
}

/// Ends a pairing.
///
/// # Errors
/// None.
pub fn unpair(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    app.pairings.end(ask.name("job"));
    Ok(Answer::See(format!("/jobs/{}", ask.name("job"))))
}

/// Keeps a photo.
///
/// # Errors
/// It is none, or too large; no such job or step.
pub fn keep_photo(app: &App, ask: &Ask, step: &str, bytes: &[u8]) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    if !job.sheet.steps.iter().any(|one| one.id == step) {
        return Err(Wrong::input("The sheet has no such step."));
    }
    let photo = clean(bytes).map_err(Wrong::input)?;
    app.store().add_photo(&job.kept.id, step, &photo.jpeg, photo.size, (app.now)())?;
    Ok(Answer::See(format!("/jobs/{}#{step}", job.kept.id)))
}

/// One photo.
///
/// # Errors
/// There is none of this number.
pub fn photo(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let number = ask.name("photo").parse().unwrap_or(0);
    let jpeg = app.store().jpeg(ask.name("job"), number)?;
    Ok(Answer::File("image/jpeg", None, jpeg))
}

/// Closes a job, or opens it again.
///
/// # Errors
/// No such job, or a record that was changed in the meantime.
pub fn close(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("job");
    let now = (app.now)();
    if ask.form.text("again") == "yes" {
        app.store().close_job(id, None)?;
        return Ok(Answer::See(format!("/jobs/{id}")));
    }
    if ask.form.text("record") == "yes" {
        write_parts(app, id)?;
    }
    app.store().close_job(id, Some(now))?;
    Ok(Answer::See(format!("/jobs/{id}")))
}

/// Writes a job's parts into the machine's record as it is today.
fn write_parts(app: &App, id: &str) -> Result<(), Wrong> {
    let job = app.store().job(id)?;
    let kept = app.store().machine(&job.machine)?;
    let library = app.library();
    let mut text = kept.text.clone();
    for part in &job.parts {
        let part = upgrade::part::id::PartId::new(part);
        let kind = desk::check::kind_of(&library.read.library, &part)
            .ok_or_else(|| Wrong::Missing(format!("The library has no part \"{part}\" any more.")))?;
        text = with_part(&text, kind.word(), part.text()).map_err(Wrong::input)?;
    }
    let source = record_file(&kept.id, &text);
    let (machine, problems) = read_record(&source, &library.read);
    let machine = machine.ok_or_else(|| Wrong::problems(&problems, source, ""))?;
    let why = format!("parts of job {id}");
    app.store().change_machine(&kept.id, kept.revision, (&machine.name, &text), &why, (app.now)())?;
    Ok(())
}
