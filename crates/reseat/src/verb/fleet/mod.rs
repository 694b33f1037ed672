//! `fleet`: which of many machines to upgrade under one budget.

mod sources;

use core::ops::ControlFlow;
use core::time::Duration;
use std::io::IsTerminal as _;
use std::path::Path;

use desk::fleet::problems::problems_csv;
use desk::fleet::sheets::sheets;
use desk::fleet::table::{csv, table};
use desk::fleet::take_in::TakenIn;
use desk::fleet::terms::{Wanted, terms};
use draw::document::Document;
use draw::document_text;
use draw::fleet_document::{self, Around, beginning};
use draw::fleet_html::{Line, list};
use fleet::answer::Answer;
use fleet::curve::{Step, curve};
use fleet::plan::{FleetPlan, plan};
use fleet::terms::{Goal, Resale, Reuse, Terms};
use upgrade::part::library::Library;

use crate::args::fleet::{Fleet, GoalArg};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::picture::write_pictures;

/// Budgets of the curve.
const STEPS: i64 = 12;

/// What ends a run.
#[derive(Debug, thiserror::Error)]
enum FleetError {
    /// Nothing was read.
    #[error("no machine could be read{}", if *.0 > 0 { format!("; {} were refused for the reasons above", .0) } else { ": name a folder, a table, a record, a capture, or demo".to_owned() })]
    NoMachine(usize),
    /// No time to choose in.
    #[error("--time-limit {0} is no number of seconds from 0.1 to 86400")]
    TimeLimit(f64),
    /// A folder could not be made.
    #[error("cannot make the folder {}", path.display())]
    Folder {
        /// The folder.
        path: std::path::PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

pub(crate) fn run(wanted: &Fleet, screen: &Screen) -> Result<Exit, Failure> {
    let (taken, library) = sources::take_in(wanted)?;
    sources::tell(&taken);
    if let Some(file) = &wanted.problems {
        write(file, &problems_csv(&taken))?;
    }
    if taken.members.is_empty() {
        return Err(FleetError::NoMachine(taken.refused.len()).into());
    }
    if !(0.1..=86_400.0).contains(&wanted.time_limit) {
        return Err(FleetError::TimeLimit(wanted.time_limit).into());
    }
    let terms = terms(&wanted_of(wanted), &taken.members, &library)?;
    let limit = Some(Duration::try_from_secs_f64(wanted.time_limit).unwrap_or(Duration::from_secs(60)));
    let progress = Progress::new("planning groups");
    let plan = plan(&taken.members, &library, &terms, limit, &|done, all| {
        progress.tell(done, all);
        ControlFlow::Continue(())
    })?;
    progress.end();
    let wants_curve = wanted.curve || wanted.picture.svg.is_some() || wanted.picture.png.is_some();
    let each = limit.map(|limit| limit / u32::try_from(STEPS + 1).unwrap_or(1));
    let steps = if wants_curve { Some(curve(&plan.problem, STEPS, each)?) } else { None };
    let around = Around { members: &taken.members, terms: &terms, refused: taken.refused.len() };
    if let Some(file) = &wanted.table {
        write_table(file, &plan, &taken, &terms)?;
    }
    if let Some(folder) = &wanted.sheets {
        write_sheets(folder, &plan, &around, &library)?;
    }
    let drawn = steps.as_deref().unwrap_or_default();
    write_pictures(&wanted.picture, || draw::fleet_picture::fleet(&plan, drawn, &around))?;
    if wanted.json {
        print_json(&desk::json::fleet::fleet(&plan, &taken, &terms, steps.as_deref()));
    } else {
        print(&text(&plan, steps.as_deref().filter(|_| wanted.curve), &around, screen));
    }
    let open =
        plan.groups.iter().any(|one| matches!(FleetPlan::unless_upgraded(one), Answer::CannotTell { .. }));
    Ok(if open { Exit::CannotTell } else { Exit::Done })
}

fn wanted_of(wanted: &Fleet) -> Wanted {
    Wanted {
        budget: wanted.budget.clone(),
        hours: wanted.hours,
        goal: match wanted.goal {
            GoalArg::Worth => Goal::Worth,
            GoalArg::Hours => Goal::Hours,
        },
        years: wanted.years,
        reuse: if wanted.no_reuse { Reuse::Never } else { Reuse::Welcome },
        resale: if wanted.no_resale { Resale::Nothing } else { Resale::Counted },
        stock: wanted.stock.clone(),
    }
}

fn text(plan: &FleetPlan, steps: Option<&[Step]>, around: &Around<'_>, screen: &Screen) -> String {
    let mut blocks = fleet_document::blocks(plan, around);
    if let Some(steps) = steps {
        blocks.extend(fleet_document::curve(steps, around));
    }
    document_text::text(&Document { title: "The fleet".to_owned(), blocks }, screen.width, screen.paint)
}

fn write_table(file: &Path, plan: &FleetPlan, taken: &TakenIn, terms: &Terms) -> Result<(), Failure> {
    let table = table(plan, taken, terms);
    let is_columns = file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("parquet"));
    let bytes = if is_columns { columns::write::table(&table)? } else { csv(&table) };
    Ok(write(file, &bytes)?)
}

fn write_sheets(
    folder: &Path,
    plan: &FleetPlan,
    around: &Around<'_>,
    library: &Library,
) -> Result<(), Failure> {
    std::fs::create_dir_all(folder)
        .map_err(|source| FleetError::Folder { path: folder.to_owned(), source })?;
    let progress = Progress::new("writing job sheets");
    let made = sheets(plan, around.members, library, &|done, all| progress.tell(done, all))?;
    let mut lines = Vec::with_capacity(made.len());
    for (one, job) in made.iter().zip(&plan.jobs) {
        let key = format!("fleet {}", one.file);
        write(&folder.join(&one.file), draw::sheet_html::page(&one.sheet, &key).as_bytes())?;
        let name = |place: usize| around.members.get(place).map(|member| member.machine.name.clone());
        lines.push(Line {
            file: one.file.clone(),
            machine: one.sheet.machine.clone(),
            title: one.sheet.title.clone(),
            minutes: plan.way(job).map_or(one.sheet.minutes, |way| way.minutes),
            from: job.from.and_then(name),
            to: job.to.and_then(name),
        });
    }
    progress.end();
    Ok(write(&folder.join("index.html"), list(&beginning(plan, around), &lines).as_bytes())?)
}

/// A line on a terminal that says how far the work is.
struct Progress {
    what: &'static str,
    on_terminal: Terminal,
}

#[derive(PartialEq, Eq)]
enum Terminal {
    Yes,
    No,
}

impl Progress {
    fn new(what: &'static str) -> Self {
        let on_terminal = if std::io::stderr().is_terminal() { Terminal::Yes } else { Terminal::No };
        Self { what, on_terminal }
    }

    fn tell(&self, done: usize, all: usize) {
        if self.on_terminal == Terminal::Yes {
            eprint!("\r{}: {done} of {all}", self.what);
        }
    }

    fn end(&self) {
        if self.on_terminal == Terminal::Yes {
            eprint!("\r{:60}\r", "");
        }
    }
}
