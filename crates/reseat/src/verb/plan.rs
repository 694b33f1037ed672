//! `plan`: what should go into a machine.

use desk::json;
use draw::plan_text::Listed;
use upgrade::part::library::Library;
use upgrade::route::plan::plan;
use upgrade::route::price_turn::price_turns;

use crate::args::Plan;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::lists::today;
use crate::verb::load::machine;
use crate::verb::picture::write_pictures;

/// Most parts of a library for which the turns are worked out unasked: it takes some tens of plans.
const SMALL: usize = 400;

fn is_small(library: &Library) -> bool {
    library.processors.len() + library.boards.len() + library.memory.len() + library.coolers.len() <= SMALL
}

pub(crate) fn run(wanted: &Plan, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let plan = plan(&machine, &library)?;
    write_pictures(&wanted.picture, || draw::route_picture::routes(&plan, &machine.name))?;
    let today = today(wanted.today)?;
    let turns = (wanted.price_turns || is_small(&library))
        .then(|| price_turns(&machine, &library, &plan))
        .transpose()?;
    if wanted.json {
        let mut answer = json::plan::plan(&machine, &plan);
        answer["prices"] = json::plan::prices(&plan, turns.as_deref(), today);
        print_json(&answer);
    } else {
        let listed = if wanted.all { Listed::All } else { Listed::Steps };
        print(&draw::plan_text::plan(&machine, &plan, listed, screen.width, screen.paint));
        print(&draw::price_text::prices(&plan, turns.as_deref(), today, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
