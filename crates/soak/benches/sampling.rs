//! A row of a desktop with four cores: three temperatures, three fans, four clocks, energy, counters, read a hundred times
//! a second and, for what is slow, ten times. The goal is under 1 % of one core: 100 µs a row. Files of a folder stand
//! for the kernel's, whose drivers may take longer; a run itself reports what watching took.

use divan::Bencher;

#[path = "../tests/it/tree.rs"]
#[expect(dead_code, clippy::unwrap_used, reason = "the tests' tree; a bench that cannot make it has failed")]
mod tree;

fn main() {
    divan::main();
}

#[divan::bench]
fn rows_100_hz(bencher: Bencher<'_, '_>) {
    let tree = tree::Tree::bench();
    let mut sampler = tree.sampler(&[]);
    let (mut row, mut time_s) = (Vec::new(), 0.0);
    bencher.bench_local(|| {
        time_s += 0.01;
        sampler.sample(time_s, &mut row);
    });
}
