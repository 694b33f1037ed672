//! Which of 3,000 processors go into each of a million machines, tables read from the disk's cache included.
//!
//! `RESEAT_BENCH_FLEET=DIR cargo bench -p fleet --bench fits` takes DIR/processors.csv and DIR/machines.csv; without it tables
//! of the same kind are drawn here into the system's folder for temporary files. `tests/peers/fleet_fits.py` draws tables
//! by the published generator of parts, and compares each machine's answer with an analytical database's.

#![expect(clippy::expect_used, reason = "a bench that cannot read its tables has nothing to measure")]

use std::path::PathBuf;

use fleet::in_parts::fits;
use upgrade::front::fits::{Candidate, HEADING, candidates};

fn main() {
    let fits = fits(&machines(), &processors(), 2).expect("a table of machines");
    let pairs: u64 = fits.iter().map(|fit| u64::from(fit.count)).sum();
    println!("{} machines, {pairs} fitting pairs", fits.len());
    divan::main();
}

#[divan::bench(args = [1, 2], sample_count = 40)]
fn machines_to_answer(bencher: divan::Bencher, threads: usize) {
    let file = machines();
    bencher.bench_local(|| fits(&file, &processors(), threads).expect("a table of machines"));
}

fn folder() -> PathBuf {
    std::env::var_os("RESEAT_BENCH_FLEET")
        .map_or_else(|| std::env::temp_dir().join("reseat-bench-fleet"), PathBuf::from)
}

fn processors() -> Vec<Candidate> {
    let file = folder().join("processors.csv");
    candidates(&std::fs::read(file).expect("the table of processors")).expect("a table of processors")
}

/// The table of machines; drawn where none is given.
fn machines() -> PathBuf {
    let file = folder().join("machines.csv");
    if std::env::var_os("RESEAT_BENCH_FLEET").is_some() || file.exists() {
        return file;
    }
    std::fs::create_dir_all(folder()).expect("a folder for the tables");
    let mut draw = 88_172_645_463_325_252_u64;
    let mut below = move |bound: u64| {
        draw ^= draw << 13;
        draw ^= draw >> 7;
        draw ^= draw << 17;
        draw % bound
    };
    let mut text = "id,socket,gen,series_mask,mem_type,tdp_dw,sustained_dw,perf,price\n".to_owned();
    for id in 0..3_000 {
        let power = 400 + below(2_000);
        let mask = 1 | below(32);
        text.push_str(&format!(
            "{id},{},{},{mask},{},{power},{power},{},{}\n",
            below(8),
            below(4),
            below(2),
            below(90_000),
            below(90_000)
        ));
    }
    std::fs::write(folder().join("processors.csv"), text).expect("room for the tables");
    let mut text = HEADING.join(",") + "\n";
    for id in 0..1_000_000 {
        let generations = [15, 7, 3, 12][usize::try_from(below(4)).unwrap_or(0)];
        text.push_str(&format!(
            "{id},{},{},{generations},{},{},{}\n",
            below(8),
            below(4),
            below(2),
            600 + below(2_400),
            600 + below(2_400)
        ));
    }
    std::fs::write(&file, text).expect("room for the tables");
    file
}
