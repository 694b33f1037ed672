//! `plan`: what should go into a machine.

use desk::json;
use draw::plan_text::Listed;
use upgrade::route::plan::plan;

use crate::args::Plan;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::load::machine;

pub(crate) fn run(wanted: &Plan, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let plan = plan(&machine, &library)?;
    if let Some(path) = &wanted.svg {
        write(path, draw::route_picture::routes(&plan, &machine.name).as_bytes())?;
    }
    if wanted.json {
        print_json(&json::plan::plan(&machine, &plan));
    } else {
        let listed = if wanted.all { Listed::All } else { Listed::Steps };
        print(&draw::plan_text::plan(&machine, &plan, listed, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
