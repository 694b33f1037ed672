//! A block of each load at the widest registers that are here.

use divan::Bencher;
use soak::kernel::{Load, Room};
use soak::width::Width;

fn main() {
    divan::main();
}

#[divan::bench(args = Load::ALL, sample_count = 20)]
fn block(bencher: Bencher<'_, '_>, load: Load) {
    let mut kernel = load.kernel(Room { memory: 36 << 20, cache: 1 << 20, width: Width::widest() }, 1);
    bencher.bench_local(move || kernel.block());
}
