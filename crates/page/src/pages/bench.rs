//! The bench: the machines being looked at, and ways to put one there.

use intake::demo;
use maud::{Markup, html};
use survey::identify::identify;
use survey::record::record;
use survey::root::Root;

use crate::answer::{Answer, Wrong};
use crate::app::{App, read_record, record_file};
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, button, frame, token};
use crate::library::LibraryNow;

/// What each demo machine is, in a phrase.
fn demo_offer(app: &App, library: &LibraryNow, name: &str) -> Markup {
    let file = demo::machine_file(name);
    let machine = file.and_then(|file| read_record(&file, &library.read).0);
    html! {
        li.card {
            @if let Some(machine) = machine {
                h3 { (machine.name) }
                p { (machine.story) }
            } @else {
                h3 { (name) }
                p { "Its parts are not in this library." }
            }
            (button(app, "/add/demo", "Put it on the bench", &[("name", name)]))
        }
    }
}

fn ways_in(app: &App, library: &LibraryNow, is_first: bool) -> Markup {
    html! {
        section aria-labelledby="ways" {
            h2 id="ways" { @if is_first { "Put the first machine on the bench" } @else { "Put another machine on the bench" } }
            ul.cards {
                li.card {
                    h3 { "This computer" }
                    p { "Reads what a program can see: processor, board, memory, firmware. Serial numbers stay out. What is \
    not seen stays unknown, and the page says which reading would settle what." }
                    (button(app, "/add/survey", "Survey this computer", &[]))
                }
                li.card {
                    h3 { "One you describe" }
                    p { "Write or paste its record. A record made by " code { "reseat survey" } " on another computer goes here too." }
                    p { a.button href="/add/typed" { "Describe a machine" } }
                }
                @for name in demo::NAMES { (demo_offer(app, library, name)) }
            }
        }
    }
}

/// The bench.
///
/// # Errors
/// The store cannot be read.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let machines = app.store().machines()?;
    let library = app.library()?;
    let body = html! {
        h1 { "Machines on the bench" }
        @if machines.is_empty() {
            p { "Nothing is on the bench yet. A machine gets a record first; from it follow what fits, what pays, the job sheet \
    and the hand-over. The three invented machines below show how that looks." }
        } @else {
            ul.cards {
                @for kept in &machines {
                    @let machine = read_record(&record_file(&kept.id, &kept.text), &library.read).0;
                    li.card {
                        h2 { a href={ "/machines/" (kept.id) } { bdi { (kept.name) } } }
                        @if let Some(machine) = machine {
                            p { (machine.processor.part.name) " on " (machine.board.part.name) }
                        } @else {
                            p { "Its record has errors." }
                        }
                        p.faint { "changed " (words(kept.changed_at)) }
                        p.ways {
                            a href={ "/machines/" (kept.id) "/routes" } { "Routes" } " "
                            a href={ "/machines/" (kept.id) "/fits" } { "What fits" } " "
                            a href={ "/machines/" (kept.id) "/unknown" } { "Unknown" }
                        }
                    }
                }
            }
        }
        (ways_in(app, &library, machines.is_empty()))
    };
    Ok(Answer::Page(frame("Bench", Place::Bench, &body)))
}

/// Keeps a record that can be read, under its machine's name; goes to the machine.
fn keep(app: &App, name: &str, text: &str, why: &str) -> Result<Answer, Wrong> {
    let source = record_file(name, text);
    let (machine, problems) = read_record(&source, &app.library()?.read);
    let machine = machine.ok_or_else(|| Wrong::problems(&problems, source, text))?;
    let id = app.store().add_machine(&machine.name, text, why, (app.now)())?;
    Ok(Answer::See(format!("/machines/{id}")))
}

/// Puts a demo machine on the bench.
///
/// # Errors
/// There is no such machine, or its parts are not in the library.
pub fn add_demo(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let name = ask.form.text("name");
    let file = demo::machine_file(name)
        .ok_or_else(|| Wrong::Missing(format!("There is no demo machine \"{name}\".")))?;
    keep(app, name, &String::from_utf8_lossy(&file.bytes), "demo machine")
}

/// Puts this computer on the bench.
///
/// # Errors
/// It cannot be looked into, or its record cannot be kept.
pub fn add_surveyed(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let root = Root::folder(std::path::Path::new("/")).map_err(Wrong::input)?;
    let found = survey::survey::survey(&root);
    let library = app.library()?;
    let identified = identify(&found, &library.read.library);
    keep(app, "survey", &record(&found, &identified, &library.read.library), "survey of this computer")
}

/// The form for a record.
///
/// # Errors
/// None.
pub fn type_in(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let body = html! {
        h1 { "Describe a machine" }
        p { "Every quantity carries its unit (" code { "95 W" } ", " code { "148 mm" } "), an interval is written "
            code { "85..95 W" } ", and what you do not know you leave out. Parts come from the "
            a href="/parts" { "library" } " by their id." }
        form method="post" action="/add/typed" {
            (token(app))
            label for="record" { "Record" }
            textarea.record id="record" name="record" rows="24" spellcheck="false" required { (EXAMPLE) }
            p { button type="submit" { "Put it on the bench" } }
        }
    };
    Ok(Answer::Page(frame("Describe a machine", Place::Bench, &body)))
}

/// A record to begin from: the first lines of one.
const EXAMPLE: &str = "\
name = \"\"
story = \"\"
processor = { id = \"\" }
board = { id = \"\" }
memory = [{ id = \"\" }]
cooler = { id = \"\" }
supply = { id = \"\" }
case = { id = \"\" }
";

/// Puts a described machine on the bench.
///
/// # Errors
/// The record cannot be read; what was typed is shown again.
pub fn add_typed(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    // Browsers send line ends as text files of old.
    keep(app, "record", &ask.form.text("record").replace("\r\n", "\n"), "typed in")
}
