//! Which machine comes when, so that a processor is out of one before it goes into the next.
//!
//! # Model
//! Machines are done one after another; what comes out and is wanted elsewhere lies on a shelf until it goes in. A machine
//! that needs nothing, or for which one lies there, may come. Where every machine that is left waits for another, one of
//! them is opened early: its processor goes onto the shelf and it stands open until its own has come.

use std::collections::{BTreeMap, VecDeque};

/// One machine's part in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Move {
    /// Kind of processor that goes in from another machine.
    pub takes: Option<usize>,
    /// Kind of processor that comes out.
    pub gives: Option<usize>,
}

/// What is done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// A machine is opened early and only its processor taken out.
    Open {
        /// Which.
        machine: usize,
    },
    /// A machine is done.
    Do {
        /// Which.
        machine: usize,
        /// Machine from which its processor comes.
        from: Option<usize>,
    },
}

/// The turns of all machines, in their order.
///
/// Each machine is done once. It needs the choice's own guarantee that no more go in of a kind than come out; a machine
/// for which none comes out at all is left out.
pub fn turns(moves: &[Move]) -> Vec<Turn> {
    let mut shelf: BTreeMap<usize, VecDeque<usize>> = BTreeMap::new();
    let mut waiting: Vec<usize> = (0..moves.len()).collect();
    let mut opened = vec![false; moves.len()];
    let mut turns = Vec::new();
    while !waiting.is_empty() {
        let mut still = Vec::new();
        let before = waiting.len();
        // Machines that only give come first, so that few have to be opened early.
        for machine in core::mem::take(&mut waiting) {
            let Some(one) = moves.get(machine) else { continue };
            let from = match one.takes {
                None => None,
                Some(kind) => match shelf.get_mut(&kind).and_then(VecDeque::pop_front) {
                    Some(from) => Some(from),
                    None => {
                        still.push(machine);
                        continue;
                    }
                },
            };
            turns.push(Turn::Do { machine, from });
            if let Some(kind) = one.gives.filter(|_| !opened.get(machine).copied().unwrap_or(false)) {
                shelf.entry(kind).or_default().push_back(machine);
            }
        }
        waiting = still;
        if waiting.len() == before {
            let wanted = |kind: Option<usize>| {
                kind.is_some_and(|kind| {
                    waiting.iter().any(|machine| moves.get(*machine).and_then(|one| one.takes) == Some(kind))
                })
            };
            let next = waiting.iter().copied().find(|machine| {
                !opened.get(*machine).copied().unwrap_or(true)
                    && wanted(moves.get(*machine).and_then(|one| one.gives))
            });
            let Some(machine) = next else { break };
            if let (Some(flag), Some(kind)) =
                (opened.get_mut(machine), moves.get(machine).and_then(|one| one.gives))
            {
                *flag = true;
                shelf.entry(kind).or_default().push_back(machine);
            }
            turns.push(Turn::Open { machine });
        }
    }
    turns
}
