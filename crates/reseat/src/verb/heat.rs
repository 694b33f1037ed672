//! `heat`: the heat path from the die to the room.

use core::ops::ControlFlow;

use desk::check::changes;
use physics::conduction::grid::Resolution;
use upgrade::carry::heat_map::heat_map;
use upgrade::carry::heat_path::heat_path;
use upgrade::machine::proposal::Proposal;

use crate::args::heat::Heat;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::{write_picture, write_pictures};

/// Cells of the lid's map.
const LID_CELLS: Resolution = Resolution { x: 96, y: 96, z: 20 };

pub(crate) fn run(wanted: &Heat, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let path = heat_path(&proposal);
    write_pictures(&wanted.picture, || draw::heat_picture::heat(&path))?;
    if let Some(file) = &wanted.lid {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let map = heat_map(&proposal, LID_CELLS, threads, &mut |_| ControlFlow::Continue(()))?;
        // Where no sustained point can be computed, for the power its maker allows.
        let power = path.point.power.or(proposal.processor().sustained_power);
        write_picture(file, &draw::heat_map_picture::lid(&map, &path.title, &power))?;
    }
    if wanted.json {
        print_json(&desk::json::heat::heat(&path));
    } else {
        print(&draw::heat_text::heat(&path, screen.width, screen.paint));
    }
    Ok(if path.point.junction.is_unknown() { Exit::CannotTell } else { Exit::Done })
}
