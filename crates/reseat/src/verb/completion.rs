//! `completion`: scripts for shells.

use clap::CommandFactory as _;

use crate::args::{Args, Completion};
use crate::exit::{Exit, Failure};
use crate::verb::file::print;

pub(crate) fn run(wanted: &Completion) -> Result<Exit, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(wanted.shell, &mut Args::command(), "reseat", &mut script);
    print(&String::from_utf8_lossy(&script));
    Ok(Exit::Done)
}
