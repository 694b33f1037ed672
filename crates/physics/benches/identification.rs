//! From a record of 100,000 rows to the structure function, and its bands.
//!
//! Peer: PyRth (a published identification package) on 100,000 rows of a 100 W step into five layers as ladders of forty
//! rungs and a film, rows over the logarithm of time, 0.1 K of noise, defaults: 0.33 s, largest error 12 % of the
//! whole; its first call in a process 1.1 to 1.4 s. General non-negative least squares with a Lanczos ladder: 3 ms and
//! 40 %. Recorded on two cores of the same kind; `.ci/checks/identification-peer` repeats it on the records below: 8 to 14 %,
//! 0.4 s of processor time. Ours on the columns below, over twenty draws of the noise each: largest errors 1.6, 1.5, 1.6 and 2.3 %
//! (`cargo run --release -p physics --example layered_draws -- 20 20`; `tests/it/layered_kind.rs` says how it is counted);
//! 4 to 10 ms, on a machine with ten other things to do.

use divan::{Bencher, black_box};
use layered_truth::{STACKS, step};
use physics::network::path::{Bands, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;

#[path = "../tests/it/layered_truth.rs"]
mod layered_truth;

fn main() {
    divan::main();
}

const AIR: Air = Air { temperature_c: Some((25.0, 0.01)), drift_k: 1e-3 };

#[divan::bench(args = [0, 1, 2, 3])]
fn structure_function(bencher: Bencher<'_, '_>, stack: usize) {
    let [times_s, temperatures_c, powers_w] = &step(STACKS[stack], 100_000, 0.1, 1);
    let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
    bencher.bench(|| identify(black_box(&record), &AIR, &Bands { resamples: 0, seed: 1 }));
}

#[divan::bench(sample_count = 10)]
fn with_bands(bencher: Bencher<'_, '_>) {
    let [times_s, temperatures_c, powers_w] = &step(STACKS[1], 100_000, 0.1, 1);
    let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
    bencher.bench(|| identify(black_box(&record), &AIR, &Bands { resamples: 50, seed: 1 }));
}
