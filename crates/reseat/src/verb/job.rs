//! What is done to a machine: the named parts, or those of a pick of its plan.

use upgrade::machine::present::Machine;
use upgrade::part::library::Library;
use upgrade::route::pick::PickKind;
use upgrade::route::plan::plan;

use crate::args::{JobArg, PickArg};
use crate::exit::Failure;

/// A job without anything to do.
#[derive(Debug, thiserror::Error)]
enum NoJob {
    /// The machine's plan has no such pick.
    #[error(
        "the plan for {machine} has no pick \"{pick}\": nothing there is worth its trouble; name parts with --with"
    )]
    NoPick { machine: String, pick: &'static str },
}

/// Ids of the parts that the job changes.
pub(crate) fn parts(job: &JobArg, machine: &Machine, library: &Library) -> Result<Vec<String>, Failure> {
    if !job.changes.with.is_empty() {
        return Ok(job.changes.with.clone());
    }
    let kind = match job.pick {
        PickArg::Cheapest => PickKind::CheapestWorthwhile,
        PickArg::Value => PickKind::BestValue,
        PickArg::Fastest => PickKind::Fastest,
    };
    let plan = plan(machine, library)?;
    let pick = plan.picks.iter().find(|pick| pick.kind == kind);
    let pick = pick.ok_or_else(|| NoJob::NoPick { machine: machine.name.clone(), pick: kind.word() })?;
    Ok(pick.route.items.iter().map(|item| item.id.text().to_owned()).collect())
}
