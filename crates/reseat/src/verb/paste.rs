//! `paste`: how much to put, in which pattern, and what the joint then is.

use std::io::{IsTerminal as _, Write as _};

use desk::check::changes;
use physics::paste::press::Go;
use upgrade::carry::paste_press::paste_job;
use upgrade::machine::proposal::Proposal;

use crate::args::paste::Paste;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::write_pictures;

/// Cells along a side of the lid.
const CELLS: usize = 96;

pub(crate) fn run(wanted: &Paste, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let shows = std::io::stderr().is_terminal();
    let mut told = None;
    let job = paste_job(&proposal, CELLS, |done| {
        let percent = (100.0 * done) as u32;
        if shows && told != Some(percent) {
            told = Some(percent);
            eprint!("\rpressing: {percent} %");
            // A terminal that takes no progress is no reason to stop.
            let _ = std::io::stderr().flush();
        }
        Go::On
    });
    if told.is_some() {
        eprint!("\r{:20}\r", "");
    }
    let job = job?;
    write_pictures(&wanted.picture, || draw::paste_picture::paste(&job))?;
    if wanted.json {
        print_json(&desk::json::paste::paste(&job));
    } else {
        print(&draw::paste_text::paste(&job, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
