//! The hand-over: what was found, what was changed and why, what it cost, what to expect of it.

use quantity::dimension::Dimension;
use quantity::reading::Figure;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::judge;
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::part::library::Library;
use crate::route::named::{Named, named};
use crate::route::search::point;

/// One line of what was found in the machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// What it is.
    pub what: &'static str,
    /// What is there.
    pub value: String,
}

/// One part that was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// Kind of part.
    pub kind: &'static str,
    /// What was there.
    pub out: String,
    /// What is there now.
    pub into: String,
}

/// A figure before and as it is expected after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected {
    /// What it is.
    pub what: String,
    /// Before.
    pub before: String,
    /// As it is expected after.
    pub after: String,
}

/// One step of the work as it was done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Work {
    /// Step.
    pub title: String,
    /// When it was ticked, in words; none where it was not.
    pub done: Option<String>,
    /// What was noted.
    pub notes: Vec<String>,
}

/// A hand-over.
#[derive(Debug, Clone, PartialEq)]
pub struct Handover {
    /// Machine.
    pub machine: String,
    /// Whose it is and what for.
    pub story: String,
    /// What the job is called.
    pub job: String,
    /// The machine as it was found.
    pub found: Vec<Found>,
    /// What was remarkable about it.
    pub remarks: Vec<Finding>,
    /// What was changed.
    pub changed: Vec<Changed>,
    /// The route with its prices and gains; none where no currency is known.
    pub route: Option<Named>,
    /// Figures before and after.
    pub expected: Vec<Expected>,
    /// Conditions and open questions of the machine as it is now.
    pub conditions: Vec<Finding>,
    /// The work, step by step.
    pub work: Vec<Work>,
}

/// What the owner should mind.
///
/// # Source
/// common practice, no source, where not said otherwise.
pub const CAUTIONS: [&str; 5] = [
    "In the first days watch the temperature under load now and then; a joint that was put on badly shows early.",
    "Dust on fins and fans makes the machine hotter and louder: have it cleaned once a year, cord out.",
    "If it shuts down by itself, smells burnt or a fan stands still: switch off, pull the cord, ask.",
    "Never open the power supply. Its capacitors hold a deadly voltage long after the cord is out.",
    "Fixed wiring is work for a licensed electrician; otherwise the makers' instructions and local codes hold.",
];

/// What is to be said of warranties.
///
/// # Source
/// common practice, no source: what a warranty covers is in its own words and in the law of the place.
pub const WARRANTY: [&str; 4] = [
    "Keep the invoices of new parts with this sheet; a warranty begins with the day on them.",
    "Second-hand parts carry their seller's word only, unless it is written down.",
    "A multiplier or power limit set above the maker's figures can end a maker's warranty; none was set here unless a note \
above says so.",
    "Parts that were taken out belong to the owner unless agreed otherwise; keep the old processor until the new one is proven.",
];

fn parts(machine: &Machine) -> Vec<Found> {
    let memory: Vec<&str> = machine.memory.iter().map(|kit| kit.part.name.as_str()).collect();
    let joint = machine.joint.state.known().map_or("unknown", |state| state.word());
    let firmware = machine.firmware.known().map_or_else(|| "unknown".to_owned(), ToString::to_string);
    let line = |what, value: String| Found { what, value };
    vec![
        line("processor", machine.processor.part.name.clone()),
        line("board", machine.board.part.name.clone()),
        line("firmware", firmware),
        line("memory", memory.join(" + ")),
        line("cooler", machine.cooler.part.name.clone()),
        line("paste", joint.to_owned()),
        line("supply", machine.supply.part.name.clone()),
        line("case", machine.case.part.name.clone()),
    ]
}

fn faults(machine: &Machine) -> Vec<Found> {
    let memory = machine.memory.iter().flat_map(|kit| kit.faults.iter());
    [
        ("fault of the processor", machine.processor.faults.iter().collect::<Vec<_>>()),
        ("fault of the board", machine.board.faults.iter().collect()),
        ("fault of the memory", memory.collect()),
        ("fault of the cooler", machine.cooler.faults.iter().collect()),
        ("fault of the supply", machine.supply.faults.iter().collect()),
        ("fault of the case", machine.case.faults.iter().collect()),
    ]
    .into_iter()
    .flat_map(|(what, list)| list.into_iter().map(move |fault| Found { what, value: fault.clone() }))
    .collect()
}

fn changed(machine: &Machine, changes: &Changes<'_>) -> Vec<Changed> {
    let memory: Vec<&str> = machine.memory.iter().map(|kit| kit.part.name.as_str()).collect();
    let joint = machine.joint.state.known().map_or("state unknown", |state| state.word());
    let old_paste = match &machine.joint.paste {
        Some(paste) => format!("{}, {joint}", paste.name),
        None => joint.to_owned(),
    };
    [
        ("processor", machine.processor.part.name.clone(), changes.processor.map(|part| &part.name)),
        ("board", machine.board.part.name.clone(), changes.board.map(|part| &part.name)),
        ("memory", memory.join(" + "), changes.memory.map(|part| &part.name)),
        ("cooler", machine.cooler.part.name.clone(), changes.cooler.map(|part| &part.name)),
        ("paste", old_paste, changes.paste.map(|part| &part.name)),
        ("supply", machine.supply.part.name.clone(), changes.supply.map(|part| &part.name)),
        ("case", machine.case.part.name.clone(), changes.case.map(|part| &part.name)),
    ]
    .into_iter()
    .filter_map(|(kind, out, into)| into.map(|into| Changed { kind, out, into: into.clone() }))
    .collect()
}

fn text<D: Dimension>(figure: &Figure<D>) -> String {
    figure.known().map_or_else(|| "unknown".to_owned(), |value| value.rounded(3))
}

fn expected(now: &Proposal<'_>, then: &Proposal<'_>, route: Option<&Named>) -> Vec<Expected> {
    let (before, after) = (point(now), point(then));
    let line = |what: &str, before, after| Expected { what: what.to_owned(), before, after };
    let mut out = vec![
        line("clock held on all cores", text(&before.clock), text(&after.clock)),
        line("power of the processor", text(&before.power), text(&after.power)),
        line("junction under full load", text(&before.junction), text(&after.junction)),
    ];
    if let Some(named) = route {
        for task in &named.route.gain.tasks {
            let what = format!("{}, time a day", task.name);
            out.push(Expected { what, before: text(&task.before), after: text(&task.after) });
        }
    }
    out
}

/// The hand-over of a job on a machine as it was found.
pub fn handover(machine: &Machine, library: &Library, changes: Changes<'_>, work: Vec<Work>) -> Handover {
    let now = Proposal { now: machine, changes: Changes::default(), library };
    let then = Proposal { now: machine, changes, library };
    let doubtful = |proposal| -> Vec<Finding> {
        judge(proposal).into_iter().filter(|finding| finding.verdict != Verdict::Fits).collect()
    };
    let route = named(machine, library, changes).ok();
    let mut found = parts(machine);
    found.extend(faults(machine));
    Handover {
        machine: machine.name.clone(),
        story: machine.story.clone(),
        job: changes.title(),
        found,
        remarks: doubtful(&now),
        changed: changed(machine, &changes),
        expected: expected(&now, &then, route.as_ref()),
        route,
        conditions: doubtful(&then),
        work,
    }
}
