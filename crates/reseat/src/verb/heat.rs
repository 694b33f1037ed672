//! `heat`: the heat path from the die to the room.

use core::ops::ControlFlow;

use desk::check::changes;
use upgrade::carry::heat_map::NoMap;
use upgrade::carry::heat_path::{HeatPath, heat_path};
use upgrade::carry::warming::{Curve, curve};
use upgrade::machine::proposal::Proposal;

use crate::args::heat::Heat;
use crate::exit::{Exit, Failure};
use crate::progress::Progress;
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
    let (machine, library) = machine(&wanted.joint.machine, screen)?;
    let changes = changes(&library, &wanted.joint.changes.with)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let has_lid = wanted.lid.is_some() || wanted.within.is_some();
    if !has_lid && wanted.joint.put.is_given() {
        return Err(NotSeen.into());
    }
    let path = heat_path(&proposal);
    write_pictures(&wanted.joint.picture, || draw::heat_picture::heat(&path))?;
    // Where no sustained point can be computed, for the power its maker allows.
    let power = path.point.power.or(proposal.processor().sustained_power);
    let lid = if has_lid { Some(lid::solve(&proposal, wanted)?) } else { None };
    if let (Some(file), Some(map)) = (&wanted.lid, &lid) {
        write_picture(file, &draw::heat_map_picture::lid(map, &path.title, &power))?;
    }
    let curve = match &wanted.warming {
        Some(file) => {
            let curve = warming(&proposal, &path)?;
            write_picture(file, &draw::warming_picture::warming(&curve))?;
            Some(curve)
        }
        None => None,
    };
    if wanted.joint.json {
        let mut answer = desk::json::heat::heat(&path);
        if let Some(map) = &lid {
            answer["lid"] = desk::json::heat::lid(map, &power);
        }
        if let Some(curve) = &curve {
            answer["warming"] = desk::json::heat::warming(curve);
        }
        print_json(&answer);
    } else {
        print(&draw::heat_text::heat(&path, screen.width, screen.paint));
        if let Some(map) = &lid {
            print(&draw::heat_map_text::text(map, &power, screen.width, screen.paint));
        }
        if let Some(curve) = &curve {
            print(&draw::warming_text::text(curve, screen.width, screen.paint));
        }
    }
    Ok(if path.point.junction.is_unknown() { Exit::CannotTell } else { Exit::Done })
}

/// How the machine-to-be warms after load comes on.
fn warming(proposal: &Proposal<'_>, path: &HeatPath) -> Result<Curve, NoMap> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut progress = Progress::new();
    curve(proposal, path, threads, &mut |done| {
        progress.say(format!("following the warming: {:.0} % of the time", 100.0 * done));
        ControlFlow::Continue(())
    })
}
