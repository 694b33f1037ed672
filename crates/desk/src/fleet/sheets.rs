//! Job sheets of a fleet's plan, in the order in which the machines are done.

use std::collections::BTreeMap;

use fleet::group::Member;
use fleet::plan::{FleetPlan, Job, Opened};
use fleet::ways::{Freed, Way};
use upgrade::carry::paste_amount::words;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::library::Library;
use upgrade::sheet::order::NoOrder;
use upgrade::sheet::sheet_of::{JobSheet, job_sheet};
use upgrade::sheet::step::{Step, Words};

/// The sheet of one machine.
#[derive(Debug, Clone, PartialEq)]
pub struct FleetSheet {
    /// Name of its file.
    pub file: String,
    /// Place of the machine in the list of all.
    pub member: usize,
    /// The sheet.
    pub sheet: JobSheet,
}

/// The changes that a way stands for.
fn changes<'a>(plan: &'a FleetPlan, library: &'a Library, way: &Way) -> Changes<'a> {
    let ids = || way.bought.iter().map(|part| &part.id);
    let moved = plan.donor(way).map(|donor| &donor.processor);
    Changes {
        processor: moved.or_else(|| ids().find_map(|id| library.processors.get(id))),
        board: ids().find_map(|id| library.boards.get(id)),
        memory: ids().find_map(|id| library.memory.get(id)),
        cooler: ids().find_map(|id| library.coolers.get(id)),
        paste: ids().find_map(|id| library.pastes.get(id)),
        supply: ids().find_map(|id| library.supplies.get(id)),
        case: None,
    }
}

/// The sheets of all jobs; alike machines that get the same share the work of making theirs.
///
/// # Errors
/// Steps that cannot be put in order, which no change of the search's has.
pub fn sheets(
    plan: &FleetPlan,
    members: &[Member],
    library: &Library,
    progress: &dyn Fn(usize, usize),
) -> Result<Vec<FleetSheet>, NoOrder> {
    let mut made: BTreeMap<(usize, usize), JobSheet> = BTreeMap::new();
    let mut out = Vec::with_capacity(plan.jobs.len());
    for (turn, job) in plan.jobs.iter().enumerate() {
        let (Some(member), Some(way)) = (members.get(job.member), plan.way(job)) else { continue };
        let known = made.get(&(job.group, job.way)).cloned();
        let mut sheet = match known {
            Some(sheet) => sheet,
            None => {
                let changes = changes(plan, library, way);
                let proposal = Proposal { now: &member.machine, changes, library };
                let sheet = job_sheet(&proposal, &changes.title(), &words(&proposal))?;
                made.insert((job.group, job.way), sheet.clone());
                sheet
            }
        };
        sheet.machine.clone_from(&member.machine.name);
        moves(&mut sheet, plan, members, job, way);
        let file = format!("{:04}-{}.html", turn + 1, file_name(&member.machine.id));
        out.push(FleetSheet { file, member: job.member, sheet });
        progress(turn + 1, plan.jobs.len());
    }
    Ok(out)
}

/// A name that every file system takes.
fn file_name(id: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '-' };
    id.chars().take(60).map(plain).collect()
}

/// Adds where the processor comes from and where the old one goes.
fn moves(sheet: &mut JobSheet, plan: &FleetPlan, members: &[Member], job: &Job, way: &Way) {
    let name =
        |place: usize| members.get(place).map_or("another machine", |member| member.machine.name.as_str());
    if way.frees == Freed::Out {
        let whereto = match job.to {
            Some(to) => format!("Label the old processor with \"{}\": it goes in there.", name(to)),
            None => "Label the old processor with this machine's name: it is left over, to be sold or kept."
                .to_owned(),
        };
        let step = Step::new(
            "old-processor-on",
            1,
            Words {
                title: "Put the old processor away".to_owned(),
                what: format!(
                    "Lay it into a tray or case for processors, contacts untouched, in a bag that leads charge away. {whereto}"
                ),
                why: "A processor in a drawer has bent pins or a charge through it when it is wanted.",
                right: "It lies closed in and labelled.",
                otherwise: "A clean box for one processor of the same kind does; never the bare bag alone.",
            },
        );
        let place =
            sheet.steps.iter().position(|step| step.id == "processor-out").map_or(0, |place| place + 1);
        sheet.steps.insert(place.min(sheet.steps.len()), step);
    }
    if let (Some(from), Some(donor)) = (job.from, plan.donor(way)) {
        let what = format!("Fetch the {} that came out of \"{}\".", donor.processor.name, name(from));
        let step = Step::new(
            "fetch-processor",
            1,
            Words {
                title: format!("Fetch the {}", donor.processor.name),
                what,
                why: "It is not bought: it has to be out of its old machine first.",
                right: "The label names this machine, and contacts or pins are clean and straight.",
                otherwise: "Do the other machine first; with a damaged part stop here and plan anew without it.",
            },
        );
        sheet.steps.insert(0, step);
    }
    if job.opened == Opened::Early {
        let step = Step::new(
            "open-early",
            1,
            Words {
                title: "This machine is opened before its turn".to_owned(),
                what: "Do every step up to \"take the old processor out\", then leave it safely open until its own processor has come."
                    .to_owned(),
                why: "Machines wait for each other's processors in a ring; this one opens the ring.",
                right: "Its processor is out and labelled, the machine is off the mains and covered.",
                otherwise: "Use a spare processor of the kind that is waited for, where there is one.",
            },
        );
        sheet.steps.insert(0, step);
    }
    sheet.minutes = sheet.steps.iter().map(|step| step.minutes).sum();
}
