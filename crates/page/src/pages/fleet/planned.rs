//! A fleet's plan: how far it is, then what came out, as a page, as tables and as job sheets.

use core::ops::ControlFlow;
use core::time::Duration;
use std::sync::Arc;

use desk::fleet::problems::problems_csv;
use desk::fleet::sheets::{self, FleetSheet};
use desk::fleet::table::{self, csv};
use desk::fleet::take_in::TakenIn;
use desk::fleet::terms::{Wanted, terms};
use draw::document_html::blocks;
use draw::fleet_document::{self, Around};
use draw::fleet_picture;
use fleet::curve::{Step, curve};
use fleet::plan::{FleetPlan, plan};
use fleet::terms::Terms;
use intake::machine::common::Common;
use intake::problem::SourceFile;
use intake::report;
use maud::{Markup, html};

use crate::answer::{Answer, Wrong, with_causes};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, frame, picture};
use crate::library::LibraryNow;
use crate::pages::progress::{self, About};
use crate::work::Work;

/// Time for what more money would bring: a page is waited for.
const CURVE: Duration = Duration::from_secs(10);
/// Budgets of the curve.
const STEPS: u32 = 12;
/// Share of the work that is done once every group has its ways.
const WEIGHED: f64 = 0.6;
/// Problems told on the page; the table has all of them.
const TOLD: usize = 12;

/// A plan with all it was made of.
#[derive(Debug)]
pub struct Planned {
    taken: TakenIn,
    terms: Terms,
    plan: FleetPlan,
    steps: Vec<Step>,
    sheets: Vec<FleetSheet>,
}

impl Planned {
    fn around(&self) -> Around<'_> {
        Around { members: &self.taken.members, terms: &self.terms, refused: self.taken.refused.len() }
    }
}

/// Makes a plan for the machines of these files, with so much time for the choice.
///
/// # Errors
/// In words: no machine can be read, something wanted makes no sense, the solver fails, or it was stopped.
pub fn compute(
    files: Vec<SourceFile>,
    common: &Common,
    (wanted, choice): (&Wanted, Duration),
    library: Arc<LibraryNow>,
    work: &Work,
) -> Result<Planned, String> {
    let told = |error: &dyn std::error::Error| with_causes(error);
    let mut taken = TakenIn::default();
    for file in files {
        taken.file(file, common, &library.read);
    }
    if taken.members.is_empty() {
        let problems = taken.problems();
        let some = problems.get(..TOLD.min(problems.len())).unwrap_or_default();
        return Err(format!("no machine could be read\n{}", report::text(some, &taken.texts)));
    }
    let parts = &library.read.library;
    let terms = terms(wanted, &taken.members, parts).map_err(|error| told(&error))?;
    let progress = |done: usize, all: usize| {
        if work.go_on(WEIGHED * done as f64 / all.max(1) as f64) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    let go_on = |done: f64| if work.go_on(done) { Ok(()) } else { Err("it was stopped".to_owned()) };
    let plan = plan(&taken.members, parts, &terms, Some(choice), &progress).map_err(|error| told(&error))?;
    go_on(0.8)?;
    let steps =
        curve(&plan.problem, i64::from(STEPS), Some(CURVE / (STEPS + 1))).map_err(|error| told(&error))?;
    go_on(0.9)?;
    let sheets = sheets::sheets(&plan, &taken.members, parts, &|_, _| ()).map_err(|error| told(&error))?;
    Ok(Planned { taken, terms, plan, steps, sheets })
}

fn result(key: &str, planned: &Planned) -> Markup {
    let around = planned.around();
    let problems = planned.taken.problems();
    html! {
        (blocks(&fleet_document::blocks(&planned.plan, &around)))
        (picture(&fleet_picture::fleet(&planned.plan, &planned.steps, &around), "What a budget brings, and who gets something"))
        details { summary { "What more money would bring, as numbers" } (blocks(&fleet_document::curve(&planned.steps, &around))) }
        div.ways {
            @if !planned.sheets.is_empty() { a.button href={ "/fleet/" (key) "/sheets" } { "Job sheets, in their order" } " " }
            a.button href={ "/fleet/" (key) "/table.csv" } { "Every machine (CSV)" }
        }
        @if !problems.is_empty() {
            h2 { "What could not be read, or looks wrong" }
            pre.problem tabindex="0" { (report::text(problems.get(..TOLD.min(problems.len())).unwrap_or_default(), &planned.taken.texts)) }
            @if problems.len() > TOLD { p { "And " (problems.len() - TOLD) " more." } }
            p { a.button href={ "/fleet/" (key) "/problems.csv" } { "All of them (CSV)" } }
        }
    }
}

fn missing() -> Wrong {
    Wrong::Missing("This plan was let go: only the last few are kept. Send the form again.".to_owned())
}

fn planned(app: &App, ask: &Ask) -> Result<Arc<Planned>, Wrong> {
    app.fleets.done(ask.name("plan")).ok_or_else(missing)
}

/// The plan, or how far it is.
///
/// # Errors
/// There is none of this key any more.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let key = ask.name("plan").to_owned();
    if !app.fleets.knows(&key) {
        return Err(missing());
    }
    // It was begun when its form came, so what is asked for here never runs.
    let stands = app.fleets.look(&key, |_| Err("it was let go".to_owned()));
    let above = html! { h1 { "The fleet" } p { a href="/fleet" { "Something else is wanted" } } };
    let about =
        About { title: "The fleet", place: Place::Fleet, above: &above, back: "/fleet", known_as: &key };
    Ok(progress::show(app, ask, &about, &stands, |planned| result(&key, planned)))
}

/// One row for each machine.
///
/// # Errors
/// There is no such plan any more.
pub fn table(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let planned = planned(app, ask)?;
    let table = table::table(&planned.plan, &planned.taken, &planned.terms);
    Ok(Answer::File("text/csv; charset=utf-8", Some("fleet.csv".to_owned()), csv(&table)))
}

/// Every problem of every machine.
///
/// # Errors
/// There is no such plan any more.
pub fn problems(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bytes = problems_csv(&planned(app, ask)?.taken);
    Ok(Answer::File("text/csv; charset=utf-8", Some("problems.csv".to_owned()), bytes))
}

/// The job sheets, in the order of the work.
///
/// # Errors
/// There is no such plan any more.
pub fn sheets(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let planned = planned(app, ask)?;
    let key = ask.name("plan");
    let body = html! {
        h1 { "Job sheets, in their order" }
        p { a href={ "/fleet/" (key) } { "Back to the plan" } }
        p { "A machine whose processor goes elsewhere comes before the machine that gets it. Keep to the order. Each sheet is one file \
    that works without a network and prints." }
        ol {
            @for one in &planned.sheets {
                li { a href={ "/fleet/" (key) "/sheets/" (one.file) } { bdi { (one.sheet.machine) } } ": " (one.sheet.title) }
            }
        }
    };
    Ok(Answer::Page(frame("Job sheets", Place::Fleet, &body)))
}

/// One job sheet as a file.
///
/// # Errors
/// There is no such plan any more, or no such sheet in it.
pub fn sheet(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let planned = planned(app, ask)?;
    let name = ask.name("file");
    let one = planned.sheets.iter().find(|one| one.file == name);
    let one = one.ok_or_else(|| Wrong::Missing("There is no such job sheet in this plan.".to_owned()))?;
    let text = draw::sheet_html::page(&one.sheet, &format!("fleet {name}"));
    Ok(Answer::File("text/html; charset=utf-8", Some(one.file.clone()), text.into_bytes()))
}
