//! `plan`: what should go into a machine.

use desk::json;
use draw::plan_text::Listed;
use upgrade::route::plan::plan;

use crate::args::Plan;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::write_pictures;

pub(crate) fn run(wanted: &Plan, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let plan = plan(&machine, &library)?;
    write_pictures(&wanted.picture, || draw::route_picture::routes(&plan, &machine.name))?;
    if wanted.json {
        print_json(&json::plan::plan(&machine, &plan));
    } else {
        let listed = if wanted.all { Listed::All } else { Listed::Steps };
        print(&draw::plan_text::plan(&machine, &plan, listed, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
