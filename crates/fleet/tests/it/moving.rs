//! A processor is out of one machine before it goes into the next.

use std::collections::{BTreeMap, BTreeSet};

use fleet::order::{Move, Turn, turns};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;

/// Plays the turns and says what is wrong with them.
fn play(moves: &[Move], turns: &[Turn]) -> Result<BTreeSet<usize>, String> {
    let mut out: BTreeMap<usize, Option<usize>> = BTreeMap::new();
    let (mut done, mut opened) = (BTreeSet::new(), BTreeSet::new());
    for turn in turns {
        match *turn {
            Turn::Open { machine } => {
                if done.contains(&machine) || !opened.insert(machine) {
                    return Err(format!("{machine} opened again"));
                }
                out.insert(machine, moves[machine].gives);
            }
            Turn::Do { machine, from } => {
                if !done.insert(machine) {
                    return Err(format!("{machine} done twice"));
                }
                match (moves[machine].takes, from) {
                    (None, None) => {}
                    (Some(kind), Some(from)) => {
                        if out.remove(&from) != Some(Some(kind)) {
                            return Err(format!("{machine} takes what is not on the shelf"));
                        }
                    }
                    other => return Err(format!("{machine}: {other:?}")),
                }
                if !opened.contains(&machine) {
                    out.insert(machine, moves[machine].gives);
                }
            }
        }
    }
    Ok(done)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn every_machine_is_done_and_nothing_goes_in_before_it_is_out(list in vec((of(0_usize..4), of(0_usize..4)), 0..20)) {
        let mut moves: Vec<Move> = list.into_iter().map(|(takes, gives)| Move { takes, gives }).collect();
        // As the choice has it: no more go in of a kind than come out, and none into the machine it came from.
        for one in &mut moves {
            if one.takes == one.gives {
                one.takes = None;
            }
        }
        for kind in 0..4 {
            let mut out = moves.iter().filter(|one| one.gives == Some(kind)).count();
            for one in moves.iter_mut().filter(|one| one.takes == Some(kind)) {
                if out == 0 {
                    one.takes = None;
                } else {
                    out -= 1;
                }
            }
        }
        let turns = turns(&moves);
        let done = play(&moves, &turns).map_err(TestCaseError::fail)?;
        prop_assert_eq!(done.len(), moves.len());
        // None is opened early where nobody waits in a ring: then each kind's givers come before its takers.
        let takers: BTreeSet<_> = moves.iter().filter_map(|one| one.takes).collect();
        if moves.iter().all(|one| one.takes.is_none() || one.gives.is_none_or(|kind| !takers.contains(&kind))) {
            let all_done = turns.iter().all(|turn| matches!(turn, Turn::Do { .. }));
            prop_assert!(all_done);
        }
    }
}

#[test]
fn two_machines_that_swap_have_one_opened_early() {
    let moves = [Move { takes: Some(1), gives: Some(0) }, Move { takes: Some(0), gives: Some(1) }];
    let turns = turns(&moves);
    assert_eq!(
        turns,
        [
            Turn::Open { machine: 0 },
            Turn::Do { machine: 1, from: Some(0) },
            Turn::Do { machine: 0, from: Some(1) },
        ]
    );
}
