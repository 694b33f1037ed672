//! `heat`: the heat path from the die to the room.

use desk::check::changes;
use upgrade::carry::heat_path::heat_path;
use upgrade::machine::proposal::Proposal;

use crate::args::Heat;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::load::machine;

pub(crate) fn run(wanted: &Heat, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.with)?;
    let path = heat_path(&Proposal { now: &machine, changes, library: &library });
    if let Some(file) = &wanted.svg {
        write(file, draw::heat_picture::heat(&path).as_bytes())?;
    }
    if wanted.json {
        print_json(&desk::json::heat::heat(&path));
    } else {
        print(&draw::heat_text::heat(&path, screen.width, screen.paint));
    }
    Ok(if path.point.junction.is_unknown() { Exit::CannotTell } else { Exit::Done })
}
