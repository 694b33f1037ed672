//! The power path: one forward solve, one inverse answer, one burst.
//!
//! No peer: a circuit simulator solves another problem (it marches through some hundred periods), at
//! about a second a circuit; `tests/it/circuit.rs` runs it for agreement.

use buck::{AIR, LIMITS};
use divan::{Bencher, black_box};
use physics::power::burst::after;
use physics::power::converter::{Converter, Load};
use physics::power::limits::{largest_burst, largest_sustained};

#[path = "../tests/it/buck.rs"]
mod buck;

fn main() {
    divan::main();
}

const CONVERTER: Converter = Converter { count: 8.0, ..buck::CONVERTER };

#[divan::bench]
fn forward_solve(bencher: Bencher<'_, '_>) {
    bencher.bench(|| CONVERTER.solve(black_box(&Load { power_w: 125.0, set_v: 1.2 }), black_box(&AIR)));
}

#[divan::bench]
fn largest_power_for_ever(bencher: Bencher<'_, '_>) {
    bencher.bench(|| largest_sustained(black_box(&CONVERTER), 1.2, &AIR, &LIMITS));
}

#[divan::bench]
fn largest_power_for_a_burst(bencher: Bencher<'_, '_>) {
    bencher.bench(|| largest_burst(black_box(&CONVERTER), 1.2, &AIR, &LIMITS, 65.0, 28.0));
}

#[divan::bench]
fn temperatures_after_a_burst(bencher: Bencher<'_, '_>) {
    let before = Load { power_w: 65.0, set_v: 1.2 };
    let burst = Load { power_w: 150.0, set_v: 1.2 };
    bencher.bench(|| after(black_box(&CONVERTER), &before, &burst, &AIR, 28.0));
}
