//! What holds for every rule: it looks only at what it says, and its short way gives the same verdict.

use proptest::prelude::*;
use upgrade::fit::rules::ALL;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::id::Kind;
use upgrade::part::library::Library;

use crate::demo::{library, machine};

/// One of the library's parts, or keep, by a number.
fn nth<T>(parts: &std::collections::BTreeMap<upgrade::part::id::PartId, T>, number: usize) -> Option<&T> {
    let place = number % (parts.len() + 1);
    place.checked_sub(1).and_then(|place| parts.values().nth(place))
}

fn changes(library: &Library, draw: [usize; 6]) -> Changes<'_> {
    Changes {
        processor: nth(&library.processors, draw[0]),
        board: nth(&library.boards, draw[1]),
        memory: nth(&library.memory, draw[2]),
        cooler: nth(&library.coolers, draw[3]),
        paste: nth(&library.pastes, draw[4]),
        supply: nth(&library.supplies, draw[5]),
        case: None,
    }
}

fn check(machine: &Machine, library: &Library, one: [usize; 6], other: [usize; 6]) {
    const KINDS: [Kind; 6] =
        [Kind::Processor, Kind::Board, Kind::Memory, Kind::Cooler, Kind::Paste, Kind::Supply];
    for rule in ALL {
        let mut mixed = other;
        for (slot, kind) in KINDS.iter().enumerate() {
            if rule.looks_at.contains(kind) {
                mixed[slot] = one[slot];
            }
        }
        let here = Proposal { now: machine, changes: changes(library, one), library };
        let there = Proposal { now: machine, changes: changes(library, mixed), library };
        let finding = (rule.judge)(&here);
        assert_eq!(
            finding.verdict,
            (rule.judge)(&there).verdict,
            "{} looks at a part that it does not name: {one:?} against {mixed:?}",
            rule.id
        );
        assert_eq!(finding.verdict, rule.verdict(&here), "the short way of {} differs: {one:?}", rule.id);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn rules_look_only_at_what_they_say(one in any::<[u16; 6]>(), other in any::<[u16; 6]>(), which in 0..3_usize) {
        let library = library();
        let machine = machine(intake::demo::NAMES[which], &library);
        check(&machine, &library.library, one.map(usize::from), other.map(usize::from));
    }
}
