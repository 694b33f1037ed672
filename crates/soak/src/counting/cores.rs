//! What the processor's cores did: clock cycles, instructions, cache misses, cycles in which they waited.

use survey::root::Root;

use crate::counting::call::{Group, Scope};
use crate::counting::described::{Event, described, processors, unit_of_core};
use crate::counting::refused::Refused;

/// Most processors whose counters are opened: each takes up to six open files, of which a program may have 1024.
const MOST: usize = 128;

/// Events that every processor counts by the same numbers.
///
/// # Source
/// Linux kernel, include/uapi/linux/perf_event.h, `enum perf_hw_id`; kind 0 is hardware.
const CYCLES: u64 = 0;
const INSTRUCTIONS: u64 = 1;
const MISSES: u64 = 3;
const STALLED: u64 = 8;

/// Sets of events that are asked for, until one can be had: stalled cycles are not counted everywhere.
const SETS: [&[u64]; 4] = [
    &[CYCLES, INSTRUCTIONS, MISSES, STALLED],
    &[CYCLES, INSTRUCTIONS, MISSES],
    &[CYCLES, INSTRUCTIONS, STALLED],
    &[CYCLES, INSTRUCTIONS],
];

/// Counters of all cores.
#[derive(Debug)]
pub struct Cores {
    set: &'static [u64],
    groups: Vec<Group>,
    /// Slots in which an instruction could begin, and those lost to memory; of the cores that count them.
    slots: Vec<Group>,
}

/// What all cores did between two looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// Cycles in which a core ran.
    pub cycles: f64,
    /// Instructions done.
    pub instructions: f64,
    /// Cache lines that were not in the caches.
    pub misses: Option<f64>,
    /// Share of the cycles in which instructions were ready and the back end could take none.
    pub stalled: Option<f64>,
    /// Share of the slots for instructions that were lost waiting for memory or caches.
    pub memory_bound: Option<f64>,
}

/// Processors that are switched on, by the system's numbers.
fn switched_on(root: &Root) -> Vec<usize> {
    root.text("sys/devices/system/cpu/online").as_deref().and_then(processors).unwrap_or_default()
}

fn open_core(root: &Root, processor: usize, set: &[u64]) -> Result<Group, Refused> {
    let plain: Vec<Event> = set.iter().map(|number| Event { unit: 0, config: [*number, 0, 0] }).collect();
    if let Some((_, unit)) = unit_of_core(root, processor) {
        // Where cores differ, the upper half says which kind is meant; older kernels do not know that.
        let of_unit: Vec<Event> = plain
            .iter()
            .map(|event| Event { config: [event.config[0] | u64::from(unit) << 32, 0, 0], ..*event })
            .collect();
        match Group::open(&of_unit, Scope::Processor(processor)) {
            Err(Refused::NotThere) => {}
            other => return other,
        }
    }
    Group::open(&plain, Scope::Processor(processor))
}

fn open_slots(root: &Root, processor: usize) -> Option<Group> {
    let unit = unit_of_core(root, processor).map_or_else(|| "cpu".to_owned(), |(unit, _)| unit);
    let event = |name| described(root, &unit, name).ok().map(|known| known.event);
    let events = [event("slots")?, event("topdown-mem-bound")?];
    Group::open(&events, Scope::Processor(processor)).ok()
}

impl Cores {
    /// Opens the counters of all cores, which count everything that runs on them.
    ///
    /// # Errors
    /// They cannot be had.
    pub fn open(root: &Root) -> Result<Self, Refused> {
        let all = switched_on(root);
        if all.is_empty() {
            return Err(Refused::NotThere);
        }
        if all.len() > MOST {
            return Err(Refused::TooMany);
        }
        let mut last = Refused::NotThere;
        for set in SETS {
            let groups: Result<Vec<Group>, Refused> =
                all.iter().map(|processor| open_core(root, *processor, set)).collect();
            match groups {
                Ok(groups) => {
                    let slots = all.iter().filter_map(|processor| open_slots(root, *processor)).collect();
                    return Ok(Self { set, groups, slots });
                }
                Err(Refused::NotThere) => {}
                Err(other) => return Err(other),
            }
            last = Refused::NotThere;
        }
        Err(last)
    }

    /// What they did since this was asked last; none at first, and where one of them did not count.
    pub fn work(&mut self) -> Option<Work> {
        let mut sums = [0.0; 4];
        let mut all = true;
        for group in &mut self.groups {
            match group.rises() {
                Some(rises) => {
                    for (sum, rise) in sums.iter_mut().zip(rises) {
                        *sum += rise;
                    }
                }
                None => all = false,
            }
        }
        let mut slots = (0.0, 0.0);
        for rises in self.slots.iter_mut().filter_map(Group::rises) {
            slots = (slots.0 + rises[0], slots.1 + rises[1]);
        }
        let bound = (slots.0 > 0.0).then(|| (slots.1 / slots.0).min(1.0));
        all.then(|| work(self.set, &sums, bound)).flatten()
    }
}

fn work(set: &[u64], sums: &[f64; 4], memory_bound: Option<f64>) -> Option<Work> {
    let of = |event: u64| sums.get(set.iter().position(|one| *one == event)?).copied();
    let cycles = of(CYCLES).filter(|cycles| *cycles > 0.0)?;
    Some(Work {
        cycles,
        instructions: of(INSTRUCTIONS)?,
        misses: of(MISSES),
        stalled: of(STALLED).map(|stalled| (stalled / cycles).min(1.0)),
        memory_bound,
    })
}

#[cfg(test)]
mod tests {
    use super::{Cores, Refused, SETS, Work, work};
    use std::collections::BTreeMap;
    use survey::root::Root;

    #[test]
    fn what_is_not_counted_is_not_zero() {
        let sums = [4e9, 6e9, 2e7, 1e9];
        assert_eq!(
            work(SETS[0], &sums, None),
            Some(Work {
                cycles: 4e9,
                instructions: 6e9,
                misses: Some(2e7),
                stalled: Some(0.25),
                memory_bound: None
            })
        );
        let without = work(SETS[2], &[4e9, 6e9, 1e9, 0.0], Some(0.1)).unwrap();
        assert_eq!((without.misses, without.stalled, without.memory_bound), (None, Some(0.25), Some(0.1)));
        assert_eq!(work(SETS[3], &[0.0; 4], None), None, "no cycles at all: it does not count");
    }

    #[test]
    fn a_machine_that_says_nothing_of_its_processors_has_no_counters() {
        assert_eq!(Cores::open(&Root::files(BTreeMap::new())).unwrap_err(), Refused::NotThere);
        let many = BTreeMap::from([("sys/devices/system/cpu/online".to_owned(), b"0-499".to_vec())]);
        assert_eq!(Cores::open(&Root::files(many)).unwrap_err(), Refused::TooMany);
    }
}
