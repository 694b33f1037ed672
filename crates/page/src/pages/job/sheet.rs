//! The sheet of a job: on the bench's page, on a paired phone, as one file.

use draw::sheet_html::{body as step_body, first_start};
use draw::sheet_text::beforehand;
use maud::{Markup, html};
use store::entry::{Entry, EntryKind, done_steps};
use upgrade::sheet::caution::DEFER;

use crate::answer::{Answer, Wrong};
use crate::app::{App, secret};
use crate::ask::{Ask, with_query};
use crate::clock::words;
use crate::frame::{Place, bare, button, frame, token};
use crate::pages::job::entry::LONGEST_NOTE;
use crate::pages::job::{Job, load, phone, photo, proof};

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
                                @if matches!(step.id, "paste") { p { a href={ "/machines/" (job.bench.kept.id) "/paste" (with_query(&job.kept.parts)) } { "How the paste should spread" } } }
                                @if let Some(side) = step.id.strip_prefix("soak-").filter(|_| self.device == "bench") {
                                    p.no-print { a href={ "/soak?job=" (job.kept.id) "&side=" (side) } { "Run it on this computer" } ", or "
                                        a href={ (self.base) "/proof" } { "send the log of another" } }
                                }
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
        div.no-print { (proof::piece(app, &job)?) }
        details.bench open[app.pairings.of_job(id, (app.now)()).is_some()] {
            summary { "At the bench: phone, file, paper" }
            (phone::piece(app, id))
            p { a.button href={ (base) "/sheet.html" } { "One file that keeps its own ticks" } " The print of this page fits A4 and Letter." }
        }
        (view.sheet(&job, &|step| photo::piece(app, &job, &photos, step)))
        section.no-print aria-labelledby="done" {
            h2 id="done" { "When the work is done" }
            p { a.button href={ (base) "/proof" } { "Soak and proof" } " " a.button href={ (base) "/handover" } { "Hand-over" } }
            @if job.kept.closed_at.is_none() {
                p { "Closing writes the new parts into the machine's record, and fresh paste; the record as it was found stays with this job." }
                (button(app, &format!("{base}/close"), "Close the job and write the new parts into the record", &[("record", "yes")]))
                (button(app, &format!("{base}/close"), "Close the job without it", &[]))
            } @else {
                (button(app, &format!("{base}/close"), "Open the job again", &[("again", "yes")]))
            }
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
    Ok(Answer::Page(bare("Job sheet", &body)))
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
