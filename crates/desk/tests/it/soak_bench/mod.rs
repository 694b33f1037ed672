//! A bench of machines whose faults are known: what each soak would log, and what the diagnosis makes of it.

pub(crate) mod drawn;
pub(crate) mod plates;
pub(crate) mod run;
pub(crate) mod score;
pub(crate) mod truth;

use intake::library::ReadLibrary;
use quantity::reading::{Origin, Reading};
use upgrade::machine::present::{Machine, PasteState};
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::id::PartId;
use upgrade::proof::expected::{Expected, expected};
use upgrade::proof::log::SoakLog;

use drawn::{Stock, drawn};
use run::{Ladder, run, sensors};
use truth::{Draw, Truth, sound, with_fault};

/// A soak with what it truly was.
pub(crate) struct Soaked {
    pub(crate) expected: Expected,
    pub(crate) truth: Truth,
    pub(crate) log: SoakLog,
    /// What the log does not say of it, in words.
    pub(crate) what: String,
}

/// Machine and changes of a bench case: ids of the parts that are changed.
fn parts(fault: &str, draw: &mut Draw) -> (&'static str, Vec<&'static str>) {
    match fault {
        "pump-stopped" => ("demo", vec!["tern-2-rush", "culvert-240", "skerry-fine"]),
        "weak-cooler" => ("demo", vec!["tern-2-rush-open", "fenwick-thin-29", "skerry-fine"]),
        // Old joints are found on machines as they come in.
        "dried-paste" => ("demo", vec![]),
        // By its plan this one's limit does not bind.
        "power-limit" => ("demo", vec!["skerry-fine"]),
        _ => match (3.0 * draw.even()) as usize {
            0 => ("demo", vec!["skerry-fine"]),
            1 => ("demo", vec!["tern-2-rush", "holloway-120", "skerry-fine"]),
            _ => ("family", vec!["skerry-fine"]),
        },
    }
}

pub(crate) fn changes<'l>(library: &'l ReadLibrary, ids: &[&str]) -> Changes<'l> {
    let mut out = Changes::default();
    for id in ids {
        let id = PartId::new(id);
        let all = &library.library;
        if let Some(part) = all.processors.get(&id) {
            out.processor = Some(part);
        } else if let Some(part) = all.coolers.get(&id) {
            out.cooler = Some(part);
        } else {
            out.paste = Some(all.pastes.get(&id).unwrap());
        }
    }
    out
}

/// Where a bench has its machines from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bench {
    /// Drawn from what the reader expects, marched as a ladder.
    Kind,
    /// Drawn on their own, marched as plates.
    Own(Stock),
}

/// A soak of the bench with machines of its own, by sensors that have no air, and the same with the side of the case open.
pub(crate) fn soaked_and_opened(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    (stock, fault): (Stock, &str),
    seed: u64,
) -> (Soaked, SoakLog) {
    let (expected, machine, mut drawn) = drawn(library, machines, (stock, fault), seed);
    drawn.sensors.case_air = false;
    let mut draw = Draw(seed ^ 0x5eed);
    let log = run(&drawn.truth, &drawn.sensors, &machine.name, &mut drawn.body, &mut draw);
    // Not the share that the reader reckons with.
    let mut body = drawn.body.opened(draw.between(0.03, 0.3));
    let open = run(&drawn.truth, &drawn.sensors, &machine.name, &mut body, &mut draw);
    (Soaked { expected, truth: drawn.truth, log, what: drawn.what }, open)
}

/// One soak of a bench.
pub(crate) fn soaked(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    (bench, fault): (Bench, &str),
    seed: u64,
) -> Soaked {
    if let Bench::Own(stock) = bench {
        let (expected, machine, mut drawn) = drawn(library, machines, (stock, fault), seed);
        let mut draw = Draw(seed ^ 0x5eed);
        let log = run(&drawn.truth, &drawn.sensors, &machine.name, &mut drawn.body, &mut draw);
        return Soaked { expected, truth: drawn.truth, log, what: drawn.what };
    }
    let mut draw = Draw(seed.wrapping_mul(0x1234_5678_9abc_def1) ^ fault.len() as u64);
    let (name, ids) = parts(fault, &mut draw);
    let mut machine = machines(name);
    if ids.is_empty() {
        // Nobody wrote down what the joint is like.
        machine.joint.state = Reading::Unknown;
    }
    if fault == "dried-paste" {
        machine.joint.state = Reading::Known(
            if draw.even() < 0.5 { PasteState::Dried } else { PasteState::PumpedOut },
            Origin::Estimated,
        );
    }
    let proposal = Proposal { now: &machine, changes: changes(library, &ids), library: &library.library };
    let expected = expected(&proposal);
    let truth = with_fault(sound(&proposal, &expected, &mut draw), fault, &mut draw);
    let sensors = sensors(&mut draw);
    let log = run(&truth, &sensors, &machine.name, &mut Ladder::of(&truth), &mut draw);
    Soaked { expected, truth, log, what: String::new() }
}
