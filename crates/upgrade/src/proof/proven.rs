//! A proof: what a soak after the work shows against the plan, and against the soak before it.

use crate::proof::compare::{Compared, compare};
use crate::proof::criterion::{Criterion, Verdict, Weight, criteria};
use crate::proof::diagnose::{Diagnosis, Outcome};
use crate::proof::expected::Expected;
use crate::proof::log::SoakLog;
use crate::proof::soak::{NoSoak, SoakRead, soak};

/// A log with what is expected of the machine as it was then.
#[derive(Debug, Clone, Copy)]
pub struct Soaked<'l> {
    /// The log.
    pub log: &'l SoakLog,
    /// What is expected.
    pub expected: &'l Expected,
    /// The same soak with the side of the case open, where there is one.
    pub open: Option<&'l SoakLog>,
}

/// A proof.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What the machine is called, and what changed.
    pub title: String,
    /// The soak after the work.
    pub after: SoakRead,
    /// The soak before it.
    pub before: Option<SoakRead>,
    /// What was measured against the plan.
    pub criteria: Vec<Criterion>,
    /// After against before.
    pub compared: Vec<Compared>,
    /// Whether all of it holds.
    pub verdict: Verdict,
}

fn verdict(criteria: &[Criterion], found: &Diagnosis) -> Verdict {
    let failing = found.suspects.iter().take(found.named).any(|one| one.fault.is_a_failing());
    if criteria.iter().any(|one| one.verdict == Verdict::Fail)
        || (found.outcome == Outcome::Named && failing)
        || matches!(found.outcome, Outcome::OneOf | Outcome::SomethingElse)
    {
        return Verdict::Fail;
    }
    let open = |one: &&Criterion| one.weight == Weight::Decides && one.verdict == Verdict::CannotTell;
    if found.outcome == Outcome::CannotTell || criteria.iter().any(|one| open(&one)) {
        Verdict::CannotTell
    } else {
        Verdict::Pass
    }
}

/// Proves the work, or shows where it fails.
///
/// # Model
/// It fails where a criterion surely does or a fault is named; it cannot be told where a criterion that decides stays
/// open, or faults cannot be told apart.
///
/// # Errors
/// A log has no load.
pub fn prove(after: Soaked<'_>, before: Option<Soaked<'_>>) -> Result<Proof, NoSoak> {
    let now = soak(after.log, after.expected, after.open)?;
    let then = before.map(|before| soak(before.log, before.expected, before.open)).transpose()?;
    let criteria = criteria(after.log, &now, after.expected);
    let room = after.expected.room.get().map(|room| room.middle());
    let compared = match (&then, before) {
        (Some(then), Some(before)) => compare((before.log, then), (after.log, &now), room),
        _ => Vec::new(),
    };
    let verdict = verdict(&criteria, &now.diagnosis);
    Ok(Proof { title: after.expected.title.clone(), after: now, before: then, criteria, compared, verdict })
}
