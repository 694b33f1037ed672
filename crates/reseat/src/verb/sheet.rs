//! `sheet`: the job sheet of a change, for terminal, phone and paper.

use desk::check::changes;
use upgrade::carry::paste_amount::words;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::Proposal;
use upgrade::part::library::Library;
use upgrade::route::pick::PickKind;
use upgrade::route::plan::plan;
use upgrade::sheet::sheet_of::job_sheet;

use crate::args::{PickArg, Sheet};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::load::machine;

/// A job without anything to do.
#[derive(Debug, thiserror::Error)]
enum NoJob {
    /// The machine's plan has no such pick.
    #[error(
        "the plan for {machine} has no pick \"{pick}\": nothing there is worth its trouble; name parts with --with"
    )]
    NoPick { machine: String, pick: &'static str },
}

/// Parts of the wanted pick.
pub(crate) fn picked(machine: &Machine, library: &Library, wanted: PickArg) -> Result<Vec<String>, Failure> {
    let kind = match wanted {
        PickArg::Cheapest => PickKind::CheapestWorthwhile,
        PickArg::Value => PickKind::BestValue,
        PickArg::Fastest => PickKind::Fastest,
    };
    let plan = plan(machine, library)?;
    let pick = plan.picks.iter().find(|pick| pick.kind == kind);
    let pick = pick.ok_or_else(|| NoJob::NoPick { machine: machine.name.clone(), pick: kind.word() })?;
    Ok(pick.route.items.iter().map(|item| item.id.text().to_owned()).collect())
}

pub(crate) fn run(wanted: &Sheet, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let named = if wanted.changes.with.is_empty() {
        picked(&machine, &library, wanted.pick)?
    } else {
        wanted.changes.with.clone()
    };
    let changes = changes(&library, &named)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let sheet = job_sheet(&proposal, &changes.title(), &words(&proposal))?;
    if let Some(path) = &wanted.html {
        let key = format!("{} {}", machine.id, named.join(" "));
        write(path, draw::sheet_html::page(&sheet, &key).as_bytes())?;
    }
    if wanted.json {
        print_json(&desk::json::sheet::sheet(&sheet));
    } else if wanted.html.is_none() {
        print(&draw::sheet_text::sheet(&sheet, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
