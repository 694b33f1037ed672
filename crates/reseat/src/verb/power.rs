//! `power`: the power path from the wall to the processor.

use desk::check::changes;
use upgrade::carry::power_gauge::{Gauge, Kept};
use upgrade::carry::power_path::power_path;
use upgrade::machine::proposal::Proposal;

use crate::args::Power;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::write_pictures;

pub(crate) fn run(wanted: &Power, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let path = power_path(&Proposal { now: &machine, changes, library: &library });
    write_pictures(&wanted.picture, || draw::power_picture::power(&path))?;
    if wanted.json {
        print_json(&desk::json::power::power(&path));
    } else {
        print(&draw::power_text::power(&path, screen.width, screen.paint));
    }
    Ok(match path.gauges.iter().map(Gauge::kept).max() {
        Some(Kept::Surely) => Exit::Done,
        Some(Kept::Not) => Exit::No,
        Some(Kept::Perhaps) | None => Exit::CannotTell,
    })
}
