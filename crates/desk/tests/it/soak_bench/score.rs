//! How often the diagnosis names what is truly wrong.

use intake::library::ReadLibrary;
use upgrade::machine::present::Machine;
use upgrade::proof::diagnose::Outcome;
use upgrade::proof::soak::soak;

use super::soaked;

/// What was made of the machines of one fault.
#[derive(Debug, Clone)]
pub(crate) struct Scored {
    pub(crate) machines: usize,
    /// Truly named: the fault is among those that are named, or nothing is wrong and nothing is named.
    pub(crate) right: usize,
    /// What they were called instead, with how many.
    pub(crate) wrong: Vec<(String, usize)>,
}

impl Scored {
    pub(crate) fn called(&self, word: &str) -> usize {
        self.wrong.iter().find(|(name, _)| name == word).map_or(0, |(_, count)| *count)
    }
}

/// Scores machines of one fault.
pub(crate) fn score(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    fault: &str,
    seeds: core::ops::Range<u64>,
) -> Scored {
    let mut out = Scored { machines: 0, right: 0, wrong: Vec::new() };
    for seed in seeds {
        let soaked = soaked(library, machines, fault, seed);
        let Ok(read) = soak(&soaked.log, &soaked.expected) else { continue };
        out.machines += 1;
        let found = &read.diagnosis;
        let named = &found.suspects[..if found.outcome == Outcome::Named { found.named } else { 0 }];
        let right = match found.outcome {
            Outcome::NothingWrong => fault == "nothing",
            _ => named.iter().any(|suspect| suspect.fault.id == fault),
        };
        if right {
            out.right += 1;
            continue;
        }
        let called = named.first().map_or(found.outcome.word(), |suspect| suspect.fault.id).to_owned();
        match out.wrong.iter_mut().find(|(name, _)| *name == called) {
            Some((_, count)) => *count += 1,
            None => out.wrong.push((called, 1)),
        }
    }
    out.wrong.sort();
    out
}
