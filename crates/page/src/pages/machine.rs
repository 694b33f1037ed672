//! One machine: its record with origins, edited field by field or as text, and what is unknown.

use intake::machine::edit::{CannotSet, set_field};
use intake::machine::rows::{Row, rows};
use maud::{Markup, html};
use upgrade::route::open_question::open_questions;
use upgrade::route::pick::time_a_day;

use crate::answer::{Answer, Wrong};
use crate::app::{App, read_record, record_file};
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, button, frame, token};

fn edit_form(app: &App, id: &str, revision: i64, field: &str, value: &str) -> Markup {
    html! {
        form.set method="post" action={ "/machines/" (id) "/set" } {
            (token(app))
            input type="hidden" name="revision" value=(revision);
            input type="hidden" name="field" value=(field);
            label for="value" { (field) }
            input id="value" name="value" value=(value) autofocus autocomplete="off";
            button type="submit" { "Set by hand" } " "
            a href={ "/machines/" (id) } { "leave it" }
        }
    }
}

fn record_table(app: &App, id: &str, revision: i64, list: &[Row], editing: Option<&str>) -> Markup {
    let mut section = "";
    html! {
        div.table tabindex="0" role="region" aria-label="Record" {
            table.record {
                thead { tr { th scope="col" { "field" } th scope="col" { "value" } th scope="col" { "origin" } th scope="col" { "edit" } } }
                @for row in list {
                    @let head = row.field.split(['.', '[']).next().unwrap_or("");
                    @let is_new = head != section;
                    @let () = section = head;
                    tr.section[is_new] {
                        th scope="row" { (row.field) }
                        @if editing == Some(row.field.as_str()) {
                            td colspan="3" { (edit_form(app, id, revision, &row.field, &row.value)) }
                        } @else {
                            td { bdi { (row.value) } }
                            td { (row.origin) }
                            td { a href={ "/machines/" (id) "?edit=" (row.field) "#value" } aria-label={ "change " (row.field) } { "change" } }
                        }
                    }
                }
            }
        }
    }
}

/// The page.
///
/// # Errors
/// No such machine.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let kept = app.store().machine(ask.name("machine"))?;
    let library = app.library()?;
    let source = record_file(&kept.id, &kept.text);
    let (list, _) = rows(&source, &library.read);
    let (machine, problems) = read_record(&source, &library.read);
    let editing = ask.query.get("edit");
    let is_row = editing.is_some_and(|field| list.iter().any(|row| row.field == field));
    let revisions = app.store().revisions(&kept.id)?;
    let jobs = app.store().jobs(Some(&kept.id))?;
    let body = html! {
        h1 { bdi { (kept.name) } }
        @if let Some(machine) = &machine { @if !machine.story.is_empty() { p { (machine.story) } } }
        @if !problems.is_empty() {
            pre.problem { (intake::report::text(&problems, std::slice::from_ref(&source))) }
            p { a href={ "/machines/" (kept.id) "/text" } { "Edit the record's text" } }
        }
        @if !jobs.is_empty() {
            h2 { "Jobs" }
            ul { @for job in &jobs { li { a href={ "/jobs/" (job.id) } { (job.title) } ", begun " (words(job.begun_at)) } } }
        }
        h2 { "Record" }
        p { "What is set by hand wins over what was read; figures of parts come from the library until they are set for this \
    very piece. What is not in the list is unknown." }
        (record_table(app, &kept.id, kept.revision, &list, editing))
        section aria-labelledby="add" {
            h3 id="add" { "Set another field" }
            form.set method="post" action={ "/machines/" (kept.id) "/set" } {
                (token(app))
                input type="hidden" name="revision" value=(kept.revision);
                p { label for="field" { "Field" } input id="field" name="field" required placeholder="board.stages.count" autocomplete="off"
                    value=[editing.filter(|_| !is_row)]; }
                p { label for="new-value" { "Value with its unit" } input id="new-value" name="value" required placeholder="6" autocomplete="off"; }
                p { button type="submit" { "Set by hand" } }
            }
        }
        div.ways {
            a href={ "/machines/" (kept.id) "/text" } { "Edit the record's text" }
            (button(app, &format!("/machines/{}/away", kept.id), "Take off the bench", &[]))
        }
        @if revisions.len() > 1 {
            details {
                summary { "Other texts of this record: " (revisions.len() - 1) }
                ul { @for old in revisions.iter().filter(|old| old.number != kept.revision) {
                    li { a href={ "/machines/" (kept.id) "/old/" (old.number) } { "text " (old.number) } ", " (words(old.at)) ", " (old.why) }
                } }
            }
        }
    };
    let place = Place::Machine(&kept.id, &kept.name, "", &[]);
    Ok(Answer::Page(frame(&kept.name, place, &body)))
}

fn begun(ask: &Ask) -> i64 {
    ask.form.text("revision").parse().unwrap_or(0)
}

/// Keeps a new text of a record, if it can be read.
///
/// # Errors
/// It cannot be read, or the record was changed since the revision it was begun from.
pub fn keep(
    app: &App,
    id: &str,
    (begun, text): (i64, &str),
    why: &str,
    typed: &str,
) -> Result<Answer, Wrong> {
    let source = record_file(id, text);
    let (machine, problems) = read_record(&source, &app.library()?.read);
    let machine = machine.ok_or_else(|| Wrong::problems(&problems, source, typed))?;
    let done = app.store().change_machine(id, begun, (&machine.name, text), why, (app.now)());
    match done {
        Ok(_) => Ok(Answer::See(format!("/machines/{id}"))),
        Err(error) => Err(Wrong::from(error).with_typed(typed)),
    }
}

/// Sets one field by hand.
///
/// # Errors
/// The field takes no such value, or the record was changed in the meantime.
pub fn set(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let kept = app.store().machine(ask.name("machine"))?;
    let (field, value) = (ask.form.text("field").trim(), ask.form.text("value").trim());
    let typed = format!("{field} = {value}");
    let library = app.library()?;
    let value_in = |text: &str| {
        let (list, _) = rows(&record_file(&kept.id, text), &library.read);
        list.into_iter().find(|row| row.field == field).map(|row| row.value)
    };
    let text = match set_field(&record_file(&kept.id, &kept.text), field, value, &library.read) {
        Ok(text) => text,
        Err(CannotSet::Unreadable { changed, problems }) => {
            return Err(Wrong::problems(&problems, changed, &typed));
        }
        Err(other) => return Err(Wrong::Input { what: other.to_string(), typed }),
    };
    // Others may have set other fields meanwhile: both hold then. The same field is not overwritten unseen.
    let mut begun = begun(ask);
    if begun != kept.revision
        && app.store().revision(&kept.id, begun).is_ok_and(|then| value_in(&then) == value_in(&kept.text))
    {
        begun = kept.revision;
    }
    keep(app, &kept.id, (begun, &text), &format!("{field} set by hand"), &typed)
}

/// The record as text.
///
/// # Errors
/// No such machine.
pub fn text(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let kept = app.store().machine(ask.name("machine"))?;
    let body = html! {
        h1 { "Record of " bdi { (kept.name) } }
        form method="post" action={ "/machines/" (kept.id) "/text" } {
            (token(app))
            input type="hidden" name="revision" value=(kept.revision);
            label for="record" { "Record" }
            // The first line end of a text area is dropped by browsers.
            textarea.record id="record" name="record" rows="32" spellcheck="false" required { "\n" (kept.text) }
            p { button type="submit" { "Keep" } " " a href={ "/machines/" (kept.id) } { "leave it" } }
        }
    };
    let place = Place::Machine(&kept.id, &kept.name, "", &[]);
    Ok(Answer::Page(frame("Record", place, &body)))
}

/// Keeps the record as it was typed.
///
/// # Errors
/// It cannot be read, or was changed in the meantime; what was typed is shown again.
pub fn set_text(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let text = ask.form.text("record").replace("\r\n", "\n");
    keep(app, ask.name("machine"), (begun(ask), &text), "text edited", &text)
}

/// An earlier text.
///
/// # Errors
/// There is none of this number.
pub fn old(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let kept = app.store().machine(ask.name("machine"))?;
    let number = ask.name("revision").parse().unwrap_or(0);
    let old = app.store().revision(&kept.id, number)?;
    let body = html! {
        h1 { "Text " (number) " of the record of " bdi { (kept.name) } }
        pre.record { (old) }
        form method="post" action={ "/machines/" (kept.id) "/text" } {
            (token(app))
            input type="hidden" name="revision" value=(kept.revision);
            input type="hidden" name="record" value=(old);
            p { button type="submit" { "Take this text again" } " " a href={ "/machines/" (kept.id) } { "leave it" } }
        }
    };
    let place = Place::Machine(&kept.id, &kept.name, "", &[]);
    Ok(Answer::Page(frame("Earlier text", place, &body)))
}

/// What is unknown, and what it would change.
///
/// # Errors
/// No such machine.
pub fn unknown(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let questions = open_questions(&bench.machine, bench.parts());
    let body = html! {
        h1 { "What is unknown" }
        @if questions.is_empty() {
            p { "Nothing that is unknown would change an answer." }
        } @else {
            p { "In the order in which it would change the answer. Write what you read into the "
                a href={ "/machines/" (bench.kept.id) "#add" } { "record" } "." }
            ol.questions {
                @for question in &questions {
                    li {
                        h2 { (question.settle) }
                        p { (question.question) " "
                            @match question.decides.as_slice() {
                                [] => { "It is about the machine as it is" },
                                [one] => { "It decides whether " (one) " fits" },
                                [first, rest @ ..] => { "It decides whether " (first) " and " (rest.len()) " more fit" },
                            }
                            @if let Some(saved) = question.most_saved_s { "; the best would save " (time_a_day(saved)) }
                            "." }
                        @if let Some(sketch) = draw::where_to_look::sketch(question.rule) {
                            details { summary { "Where to look" } pre.sketch { (sketch) } }
                        }
                    }
                }
            }
        }
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/unknown", &[]);
    Ok(Answer::Page(frame("What is unknown", place, &body)))
}

/// Takes the machine off the bench.
///
/// # Errors
/// No such machine.
pub fn away(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let kept = app.store().machine(ask.name("machine"))?;
    app.store().take_off(&kept.id, (app.now)())?;
    let body = html! {
        h1 { bdi { (kept.name) } " is off the bench" }
        p { "Its record and its jobs are kept." }
        (button(app, &format!("/machines/{}/back", kept.id), "Put it back", &[]))
        p { a href="/" { "To the bench" } }
    };
    Ok(Answer::Page(frame("Off the bench", Place::Bench, &body)))
}

/// Puts it back.
///
/// # Errors
/// No such machine.
pub fn back(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let id = ask.name("machine");
    app.store().put_back(id, (app.now)())?;
    Ok(Answer::See(format!("/machines/{id}")))
}
