//! What `observe` costs: a look, ten times a second, and the boundary between two spans, once in ten seconds. The goal is
//! under 0.2 % of one core in all, 2 ms a second.

use divan::Bencher;
use soak::counting::call::{Group, Scope};
use soak::counting::described::Event;
use soak::watcher::Watcher;
use std::path::Path;
use std::time::Instant;
use survey::root::Root;

fn main() {
    divan::main();
}

fn watcher() -> Option<Watcher> {
    Watcher::new(&Root::folder(Path::new("/")).ok()?).ok()
}

/// The system's counts of tasks, read and taken apart, on the machine that this runs on.
#[divan::bench]
fn look(bencher: Bencher<'_, '_>) {
    let Some(mut watcher) = watcher() else { return };
    bencher.bench_local(move || watcher.look());
}

/// A span that ends at once: every counter of this machine, twice.
#[divan::bench]
fn boundary(bencher: Bencher<'_, '_>) {
    let Some(mut watcher) = watcher() else { return };
    let begun = Instant::now();
    bencher.bench_local(move || watcher.span(begun, 0.0, &|| true));
}

/// A group of two of the kernel's own counters of the first processor; a core's hardware costs a message to that core more.
#[divan::bench]
fn group_of_counters(bencher: Bencher<'_, '_>) {
    let clock = Event { unit: 1, config: [0, 0, 0] };
    let switches = Event { unit: 1, config: [3, 0, 0] };
    let Ok(mut group) = Group::open(&[switches, clock], Scope::Processor(0)) else { return };
    bencher.bench_local(move || group.rises());
}
