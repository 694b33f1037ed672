//! How often the diagnosis names what is truly wrong.

use intake::library::ReadLibrary;
use upgrade::machine::present::Machine;
use upgrade::proof::diagnose::{Diagnosis, Outcome};
use upgrade::proof::fault::{FAULTS, nothing_wrong};
use upgrade::proof::soak::soak;

use super::{Bench, soaked};

/// What was made of the machines of one fault.
#[derive(Debug, Clone, Default)]
pub(crate) struct Scored {
    pub(crate) machines: usize,
    /// Truly named: the fault is among those that are named, or nothing is wrong and nothing is named.
    pub(crate) right: usize,
    /// It is among look-alikes one of which is named.
    pub(crate) among: usize,
    /// What they were called instead, with how many.
    pub(crate) wrong: Vec<(String, usize)>,
    /// Every finding that was stated: its chance, whether it was true, and how often the reader takes such a machine to come.
    pub(crate) stated: Vec<(f64, bool, f64)>,
}

impl Scored {
    pub(crate) fn called(&self, word: &str) -> usize {
        self.wrong.iter().find(|(name, _)| name == word).map_or(0, |(_, count)| *count)
    }
}

/// What a diagnosis states, and whether it is so of a machine with a fault. That a power limit holds is said besides a fault, and is
/// mostly so: it counts where it is all that there is.
fn stated(found: &Diagnosis, fault: &str) -> Vec<(f64, bool)> {
    match (found.outcome, found.one_of) {
        (Outcome::NothingWrong, _) => vec![(found.nothing, fault == "nothing")],
        (Outcome::OneOf, Some((group, chance))) => vec![(chance, group.ids.contains(&fault))],
        (Outcome::Named, _) => found.suspects[..found.named]
            .iter()
            .filter(|one| one.fault.is_a_failing() || one.fault.id == fault)
            .map(|one| (one.chance, one.fault.id == fault))
            .collect(),
        _ => Vec::new(),
    }
}

/// Scores machines of one fault.
pub(crate) fn score(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    (bench, fault): (Bench, &str),
    seeds: core::ops::Range<u64>,
) -> Scored {
    let mut out = Scored::default();
    for seed in seeds {
        let soaked = soaked(library, machines, (bench, fault), seed);
        let Ok(read) = soak(&soaked.log, &soaked.expected, None) else { continue };
        out.machines += 1;
        let found = &read.diagnosis;
        let prior = FAULTS
            .iter()
            .find(|known| known.id == fault)
            .map_or_else(|| nothing_wrong(&soaked.expected), |fault| (fault.prior)(&soaked.expected));
        out.stated.extend(stated(found, fault).into_iter().map(|(chance, holds)| (chance, holds, prior)));
        let some = matches!(found.outcome, Outcome::Named | Outcome::OneOf);
        let named = &found.suspects[..if some { found.named } else { 0 }];
        let holds = named.iter().any(|suspect| suspect.fault.id == fault);
        match found.outcome {
            Outcome::NothingWrong if fault == "nothing" => out.right += 1,
            Outcome::Named if holds => out.right += 1,
            Outcome::OneOf if holds => out.among += 1,
            _ => {
                let called =
                    named.first().map_or(found.outcome.word(), |suspect| suspect.fault.id).to_owned();
                match out.wrong.iter_mut().find(|(name, _)| *name == called) {
                    Some((_, count)) => *count += 1,
                    None => out.wrong.push((called, 1)),
                }
            }
        }
    }
    out.wrong.sort();
    out
}
