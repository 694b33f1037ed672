//! `sheet`: the job sheet of a change, for terminal, phone and paper.

use desk::check::changes;
use upgrade::carry::paste_amount::words;
use upgrade::machine::proposal::Proposal;
use upgrade::sheet::sheet_of::job_sheet;

use crate::args::Sheet;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::job::parts;
use crate::verb::load::machine;

pub(crate) fn run(wanted: &Sheet, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.job.machine, screen)?;
    let named = parts(&wanted.job, &machine, &library)?;
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
