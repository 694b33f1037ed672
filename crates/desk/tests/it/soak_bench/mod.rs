//! A bench of machines whose faults are known: what each soak would log, and what the diagnosis makes of it.

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

use run::{run, sensors};
use truth::{Draw, Truth, sound, with_fault};

/// A soak with what it truly was.
pub(crate) struct Soaked {
    pub(crate) expected: Expected,
    pub(crate) truth: Truth,
    pub(crate) log: SoakLog,
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

/// One soak of the bench.
pub(crate) fn soaked(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    fault: &str,
    seed: u64,
) -> Soaked {
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
    let log = run(&truth, &sensors, &machine.name, &mut draw);
    Soaked { expected, truth, log }
}
