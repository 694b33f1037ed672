//! Two devices that tick and note at once see the same sheet, and nothing is lost.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use store::entry::{EntryKind, NewEntry, done_steps};
use store::open::{At, Store};

use crate::fresh::on_both;

fn entry(device: &str, number: usize, step: &str, kind: EntryKind) -> NewEntry {
    NewEntry {
        key: format!("{device}-{number}"),
        step: step.to_owned(),
        kind,
        text: if kind == EntryKind::Note { format!("note {number} of {device}") } else { String::new() },
        device: device.to_owned(),
    }
}

proptest! {
    #[test]
    fn in_any_order_and_with_repeats(
        acts in proptest::collection::vec((0_usize..2, 0_usize..4, 0_usize..3, any::<bool>()), 1..60)
    ) {
        let mut store = Store::in_memory().unwrap();
        let machine = store.add_machine("m", "", "typed", At(0)).unwrap();
        let job = store.begin_job(&machine, &[], "t", At(0)).unwrap();
        let kinds = [EntryKind::Done, EntryKind::Undone, EntryKind::Note];
        let mut last: BTreeMap<String, EntryKind> = BTreeMap::new();
        let mut notes = BTreeSet::new();
        for (number, (device, step, kind, repeat)) in acts.into_iter().enumerate() {
            let made = entry(["phone", "bench"][device], number, ["a", "b", "c", "d"][step], kinds[kind]);
            if made.kind == EntryKind::Note {
                notes.insert(made.text.clone());
            } else {
                last.insert(made.step.clone(), made.kind);
            }
            store.add_entries(&job, std::slice::from_ref(&made), At(number as i64)).unwrap();
            if repeat {
                // The answer was lost: the device sends it once more.
                store.add_entries(&job, &[made], At(number as i64 + 1000)).unwrap();
            }
        }
        let entries = store.entries(&job, 0).unwrap();
        let done: Vec<&str> = done_steps(&entries).into_keys().collect();
        let wanted: Vec<&str> =
            last.iter().filter(|(_, kind)| **kind == EntryKind::Done).map(|(step, _)| step.as_str()).collect();
        prop_assert_eq!(done, wanted);
        let kept: Vec<&str> =
            entries.iter().filter(|one| one.made.kind == EntryKind::Note).map(|one| one.made.text.as_str()).collect();
        prop_assert_eq!(kept.len(), notes.len());
        prop_assert_eq!(kept.into_iter().map(str::to_owned).collect::<BTreeSet<_>>(), notes);
    }
}

on_both! {
fn three_programs_write_at_once(fresh: &Fresh) {
    let mut store = fresh.store();
    let machine = store.add_machine("m", "", "typed", At(0)).unwrap();
    let job = store.begin_job(&machine, &[], "t", At(0)).unwrap();
    let all: BTreeSet<i64> = std::thread::scope(|scope| {
        let writers: Vec<_> = ["phone", "bench", "tablet"]
            .into_iter()
            .map(|device| {
                let job = &job;
                scope.spawn(move || {
                    // Its own connection, as another process would have.
                    let mut store = fresh.store();
                    for number in 0..50 {
                        store.add_entries(job, &[entry(device, number, "a", EntryKind::Note)], At(0)).unwrap();
                    }
                })
            })
            .collect();
        // A device that always asks for what came after what it has seen misses nothing.
        let mut seen = BTreeSet::new();
        let mut last = 0;
        loop {
            let is_over = writers.iter().all(std::thread::ScopedJoinHandle::is_finished);
            for entry in store.entries(&job, last).unwrap() {
                last = entry.number;
                seen.insert(entry.number);
            }
            if is_over {
                break seen;
            }
        }
    });
    assert_eq!(store.entries(&job, 0).unwrap().len(), 150);
    assert_eq!(all.len(), 150, "what a device saw by asking for what came after");
}
}

on_both! {
fn two_that_begin_on_an_empty_place_at_once_make_one_store(fresh: &Fresh) {
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| fresh.store().add_machine("m", "", "typed", At(0)).unwrap());
        }
    });
    assert_eq!(fresh.store().machines().unwrap().len(), 4);
}
}
