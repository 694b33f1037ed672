//! Command line of reseat.

mod args;
mod exit;
mod progress;
mod terminal;
mod verb;

use std::process::ExitCode;

use clap::Parser as _;

use crate::args::{Args, Verb};
use crate::exit::Exit;

fn main() -> ExitCode {
    let args = Args::parse();
    let screen = terminal::Screen::of(args.plain, args.width);
    let exit = match &args.verb {
        Verb::Survey(wanted) => verb::survey::run(wanted, &screen),
        Verb::Machine(wanted) => verb::machine::run(wanted, &screen),
        Verb::Plan(wanted) => verb::plan::run(wanted, &screen),
        Verb::Fleet(wanted) => verb::fleet::run(wanted, &screen),
        Verb::Check(wanted) => verb::check::run(wanted, &screen),
        Verb::Sheet(wanted) => verb::sheet::run(wanted, &screen),
        Verb::Chart(wanted) => verb::chart::run(wanted, &screen),
        Verb::Heat(wanted) => verb::heat::run(wanted, &screen),
        Verb::Paste(wanted) => verb::paste::run(wanted, &screen),
        Verb::Power(wanted) => verb::power::run(wanted, &screen),
        Verb::Parts(wanted) => verb::parts::run(wanted, &screen),
        Verb::Soak(wanted) => verb::soak::run(wanted, &screen),
        Verb::Log(wanted) => verb::log::run(wanted, &screen),
        Verb::Observe(wanted) => verb::observe::run(wanted, &screen),
        Verb::Page(wanted) => verb::page::run(wanted),
        Verb::Store(wanted) => verb::store::run(wanted),
        Verb::Proof(wanted) => verb::proof::run(wanted, &screen),
        Verb::Handover(wanted) => verb::handover::run(wanted, &screen),
        Verb::Schema(wanted) => verb::schema::run(wanted),
        Verb::Verify(wanted) => verb::verify::run(wanted, &screen),
        Verb::Completion(wanted) => verb::completion::run(wanted),
    };
    match exit {
        Ok(exit) => exit.code(),
        Err(failure) => {
            eprint!("{}", failure.text(&screen));
            Exit::BadInput.code()
        }
    }
}
