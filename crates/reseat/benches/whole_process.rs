//! The whole program, from its start to its end, on the embedded demo.

use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

#[divan::bench(args = ["demo", "school", "family"], sample_count = 40)]
fn plan(bencher: divan::Bencher, machine: &str) {
    bencher.bench_local(|| {
        Command::new(env!("CARGO_BIN_EXE_reseat")).args(["plan", machine]).stdout(Stdio::null()).status()
    });
}
