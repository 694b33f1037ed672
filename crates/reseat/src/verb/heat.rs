//! `heat`: the heat path from the die to the room.

use desk::check::changes;
use upgrade::carry::heat_path::heat_path;
use upgrade::machine::proposal::Proposal;

use crate::args::heat::Heat;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::lid;
use crate::verb::load::machine;
use crate::verb::picture::{write_picture, write_pictures};

/// Words on how the paste is put, without a map that would show it.
#[derive(Debug, thiserror::Error)]
#[error(
    "--pattern, --bead, --amount and --order shape the lid's joint: add --lid FILE or --within TIME to see it"
)]
struct NotSeen;

pub(crate) fn run(wanted: &Heat, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let has_lid = wanted.lid.is_some() || wanted.within.is_some();
    if !has_lid && wanted.put.is_given() {
        return Err(NotSeen.into());
    }
    let path = heat_path(&proposal);
    write_pictures(&wanted.picture, || draw::heat_picture::heat(&path))?;
    // Where no sustained point can be computed, for the power its maker allows.
    let power = path.point.power.or(proposal.processor().sustained_power);
    let lid = if has_lid { Some(lid::solve(&proposal, wanted)?) } else { None };
    if let (Some(file), Some(map)) = (&wanted.lid, &lid) {
        write_picture(file, &draw::heat_map_picture::lid(map, &path.title, &power))?;
    }
    if wanted.json {
        let mut answer = desk::json::heat::heat(&path);
        if let Some(map) = &lid {
            answer["lid"] = desk::json::heat::lid(map, &power);
        }
        print_json(&answer);
    } else {
        print(&draw::heat_text::heat(&path, screen.width, screen.paint));
        if let Some(map) = &lid {
            print(&draw::heat_map_text::text(map, &power, screen.width, screen.paint));
        }
    }
    Ok(if path.point.junction.is_unknown() { Exit::CannotTell } else { Exit::Done })
}
