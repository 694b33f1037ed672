//! The lid in three dimensions, for `heat`: a preview at once, then as fine as is wanted or as there is time for.

use core::ops::ControlFlow;
use std::time::{Duration, Instant};

use draw::heat_map_text::fidelity;
use physics::conduction::grid::Resolution;
use quantity::text::significant;
use upgrade::carry::heat_map::{HeatMap, MapWanted, NoMap, Seen, heat_map};
use upgrade::machine::proposal::Proposal;

use crate::args::heat::Heat;
use crate::progress::Progress;

/// Cells: a preview within milliseconds, the usual answer, and what more time is used for.
const CELLS: [Resolution; 4] = [
    Resolution { x: 24, y: 24, z: 8 },
    Resolution { x: 96, y: 96, z: 20 },
    Resolution { x: 192, y: 192, z: 40 },
    Resolution { x: 320, y: 320, z: 64 },
];
/// How many of them are computed where no time is set.
const USUAL: usize = 2;
/// Cells along a side of the lid on which its paste is pressed.
const PRESS_CELLS: usize = 96;

/// Solves the lid of the machine-to-be.
pub(crate) fn solve(proposal: &Proposal<'_>, wanted: &Heat) -> Result<HeatMap, NoMap> {
    let begun = Instant::now();
    let until =
        wanted.within.map(|time| Duration::try_from_secs_f64(time.si().max(0.0)).unwrap_or(Duration::MAX));
    let count = if until.is_some() { CELLS.len() } else { USUAL };
    let job = MapWanted {
        pattern: wanted.joint.put.pattern(),
        putting: wanted.joint.put.putting(PRESS_CELLS),
        cells: CELLS.iter().take(count).copied().collect(),
        threads: std::thread::available_parallelism().map_or(1, usize::from),
    };
    let mut progress = Progress::new();
    let mut has_answer = false;
    heat_map(proposal, &job, &mut |seen| {
        match seen {
            Seen::Answer(map) => {
                has_answer = true;
                let middle = significant(map.solver_k_w, 3);
                progress.keep(&format!("so far {middle} K/W from the cores to the base. {}", fidelity(map)));
            }
            Seen::Pressing(seconds) => {
                progress
                    .say(format!("pressing the paste: {} s after it met the lid", significant(seconds, 2)));
            }
            Seen::Solving(cells, residual) => progress.say(format!(
                "solving {} by {} by {} cells: residual {residual:.0e} of 1e-8",
                cells.x, cells.y, cells.z
            )),
        }
        // The first answer takes milliseconds and is always given.
        if has_answer && until.is_some_and(|until| begun.elapsed() >= until) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    })
}
