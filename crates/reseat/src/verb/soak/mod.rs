//! `soak`: loads this machine with checked work, watches its sensors, writes the log.

mod json;
mod live;
mod log_file;
mod text;

use std::path::Path;

use soak::guard::{Ended, Watched};
use soak::kernel::Load;
use soak::run::conductor::run as conduct;
use soak::run::own;
use soak::run::plan::{Plan, Refused, Trial, Watch, watched};
use soak::run::words::{BLIND, CAUTIONS};
use soak::schedule::{Layout, Schedule};
use soak::sensors::find::find;
use soak::sensors::limit::Limit;
use soak::sensors::sampler::Sampler;
use soak::width::Width;
use survey::root::Root;

use crate::args::soak::{LayoutArg, LoadArg, Soak};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::soak::live::Live;
use crate::verb::soak::log_file::LogFile;

impl LoadArg {
    const fn load(self) -> Load {
        match self {
            Self::Vector => Load::Vector,
            Self::Matrix => Load::Matrix,
            Self::Integer => Load::Integer,
            Self::Branch => Load::Branch,
            Self::Cache => Load::Cache,
            Self::Memory => Load::Memory,
            Self::Mixed => Load::Mixed,
        }
    }
}

impl LayoutArg {
    const fn layout(self) -> Layout {
        match self {
            Self::All => Layout::All,
            Self::Each => Layout::Each,
            Self::Steps => Layout::Steps,
            Self::Sweep => Layout::Sweep,
        }
    }
}

/// The sensors, and what cannot be used of them.
fn sensors(wanted: &Soak) -> Result<(Sampler, Vec<String>), Failure> {
    let folder = wanted.sensors.as_deref().unwrap_or(Path::new("/"));
    let root = Root::folder(folder).map_err(|error| {
        Failure::Report(format!(
            "error: cannot look for sensors in {}\n  because {error}\n  do: name a folder that stands for a machine's root\n",
            folder.display()
        ))
    })?;
    let found = find(&root, &wanted.sensor);
    let notes = found.notes.clone();
    Ok((Sampler::new(found), notes))
}

fn plan(wanted: &Soak) -> Result<Plan, Failure> {
    let mut cores = own::cores()?;
    if let Some(missing) = wanted.cores.iter().find(|cpu| !cores.iter().any(|core| core.cpu == **cpu)) {
        let known: Vec<String> = cores.iter().map(|core| core.cpu.to_string()).collect();
        return Err(Failure::Report(format!(
            "error: there is no thread {missing} here that may be used\n  do: take some of {}\n",
            known.join(", ")
        )));
    }
    if !wanted.cores.is_empty() {
        cores.retain(|core| wanted.cores.contains(&core.cpu));
    }
    if let Some(worker) = wanted.trial.filter(|worker| *worker >= cores.len()) {
        return Err(Failure::Report(format!(
            "error: there is no core number {worker} among those that work\n  do: take 0 to {}\n",
            cores.len().saturating_sub(1)
        )));
    }
    let (load_s, rest_s) = (wanted.time.si(), wanted.rest.si());
    let schedule =
        Schedule::of(wanted.layout.layout(), wanted.load.load(), load_s, rest_s.max(0.0), cores.len());
    Ok(Plan {
        schedule,
        rows_hz: wanted.rate.si(),
        width: Width::widest(),
        memory: own::memory(cores.len()),
        cache: own::cache(),
        still_s: soak::dip::STILL_S,
        trial: wanted.trial.map(|worker| Trial { worker, bit: 3 }),
        cores,
    })
}

fn refused(refused: &Refused, sampler: &Sampler, screen: &Screen) -> Result<Exit, Failure> {
    let word = screen.paint_err.text(draw::paint::Role::Stop, "refused:");
    eprintln!("{word} {refused}");
    if *refused == Refused::NoSensor {
        let here: Vec<&str> =
            sampler.thermometers().iter().map(|one| soak::run::words::named(&one.heading)).collect();
        if here.is_empty() {
            eprintln!(
                "  do: load the driver of the processor's sensor and look again with  reseat soak --list"
            );
        } else {
            eprintln!(
                "  do: say which one is the processor's by --sensor package=CHIP/SENSOR; here are: {}",
                here.join(", ")
            );
        }
        eprintln!("  or: say --blind, and it runs five minutes at most with nothing but its time to end it");
        return Ok(Exit::CannotTell);
    }
    match refused {
        Refused::TooLong { .. } => {
            eprintln!("  do: give a shorter --time and --rest, which comes before and after it")
        }
        Refused::Rate { .. } => eprintln!("  do: give another --rate"),
        Refused::NoCore => eprintln!("  do: name threads by --cores that this system has"),
        Refused::Limit(_) => eprintln!("  do: give a lower --limit, or leave it out"),
        Refused::NoSensor => {}
    }
    Ok(Exit::BadInput)
}

pub(crate) fn run(wanted: &Soak, screen: &Screen) -> Result<Exit, Failure> {
    let (mut sampler, notes) = sensors(wanted)?;
    let watch = if wanted.blind { Watch::Blind } else { Watch::Sensors };
    let given = wanted.limit.map(|limit| limit.si() - 273.15);
    let limits = watched(&sampler, given, watch);
    if wanted.list {
        let limits: Vec<(Watched, Limit)> = limits.unwrap_or_default();
        return Ok(list(wanted, &mut sampler, &limits, &notes, screen));
    }
    let plan = plan(wanted)?;
    let limits = match limits.and_then(|limits| plan.checked(limits.len()).map(|()| limits)) {
        Ok(limits) => limits,
        Err(why) => return refused(&why, &sampler, screen),
    };
    // Before the log is begun: what cannot listen for its end must not begin.
    soak::signal::listen()?;
    let log = match &wanted.log {
        Some(file) => Some(LogFile::begin(file, wanted, &plan, &sampler)?),
        None => None,
    };
    for caution in CAUTIONS.iter().chain(limits.is_empty().then_some(&BLIND)) {
        for line in draw::wrap::wrap(caution, screen.width, 2) {
            eprintln!("{}", screen.paint_err.text(draw::paint::Role::Careful, &line));
        }
    }
    if !wanted.json {
        print(&text::before(&plan, wanted, &limits, &notes, screen));
    }
    let watched: Vec<Watched> = limits.into_iter().map(|(one, _)| one).collect();
    let mut live = Live::new(wanted, screen);
    let (csv, file) = log.map(LogFile::parts).unzip();
    let report =
        conduct(&plan, &mut sampler, watched, csv, &soak::signal::asked, &mut |moment| live.show(moment));
    live.end();
    let written = file.map(|file| file.finished()).transpose()?;
    if wanted.json {
        print(&format!("{}\n", json::report(&report, written.as_deref())));
    } else {
        print(&text::after(&report, written.as_deref(), screen));
    }
    Ok(match report.ended {
        Ended::Done => Exit::Done,
        Ended::Wrong | Ended::Limit { .. } => Exit::No,
        Ended::Asked | Ended::Lost { .. } | Ended::Frozen { .. } | Ended::Stuck => Exit::CannotTell,
        Ended::NoLog { .. } => Exit::BadInput,
    })
}

fn list(
    wanted: &Soak,
    sampler: &mut Sampler,
    limits: &[(Watched, Limit)],
    notes: &[String],
    screen: &Screen,
) -> Exit {
    let mut row = Vec::new();
    // Shares and powers are of the time between two rows.
    sampler.sample(0.0, &mut row);
    std::thread::sleep(std::time::Duration::from_millis(250));
    sampler.sample(0.25, &mut row);
    if wanted.json {
        print_json(&json::list(sampler, &row, limits, notes));
    } else {
        print(&text::list(sampler, &row, limits, notes, screen));
    }
    if limits.is_empty() { Exit::CannotTell } else { Exit::Done }
}
