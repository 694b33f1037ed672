//! Machines with known faults: the table of `docs/proof.md`, and the demo's soak logs.
//!
//! `cargo run --release -p desk --example soak_bench -- table 40 900` prints what the diagnosis makes of forty machines of each
//! fault, the first one with seed 900; `-- logs crates/intake/demo/logs` writes the demo's logs anew.
#![expect(clippy::unwrap_used, reason = "the bench is a test that prints")]

use core::fmt::Write as _;

use intake::library::ReadLibrary;
use soak_bench::score::score;
use soak_bench::truth::FAULTS;
use upgrade::machine::present::Machine;
use upgrade::proof::diagnose::Outcome;

mod logs;
#[path = "../../tests/it/soak_bench/mod.rs"]
mod soak_bench;

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let (library, _) = intake::demo::library();
    let machine = |name: &str| intake::demo::machine(name, &library).unwrap().0.unwrap();
    match wanted.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["logs", folder] => logs::write(folder, &library, &machine("demo")),
        ["table", each, first] => {
            let first = first.parse::<u64>().unwrap();
            let seeds = first..first + each.parse::<u64>().unwrap();
            println!("{}", table(&library, &machine, seeds.clone()));
            println!("{}", bands(&library, &machine, seeds));
        }
        _ => eprintln!("say \"table NUMBER FIRST-SEED\" or \"logs FOLDER\""),
    }
}

/// How many of the bands of nine in ten hold what is true.
fn bands(library: &ReadLibrary, machines: &dyn Fn(&str) -> Machine, seeds: core::ops::Range<u64>) -> String {
    let (mut held, mut asked) = (0, 0);
    for (fault, seed) in FAULTS[..4].iter().flat_map(|fault| seeds.clone().map(move |seed| (*fault, seed))) {
        let soaked = soak_bench::soaked(library, machines, fault, seed);
        let Ok(path) = upgrade::proof::soak::soak(&soaked.log, &soaked.expected).unwrap().path else {
            continue;
        };
        let band = path.step("paste").unwrap().found.unwrap().band;
        let truth = soaked.truth.paste_k_w;
        asked += 1;
        held += usize::from(band.low().si() <= truth && truth <= band.high().si());
    }
    format!("Of {asked} bands of the paste joint, each for nine chances in ten, {held} hold what is true.")
}

/// The table of all faults, as it stands in the docs.
fn table(library: &ReadLibrary, machines: &dyn Fn(&str) -> Machine, seeds: core::ops::Range<u64>) -> String {
    let mut out = "| truly | machines | named right | cannot be told | nothing wrong | another fault |\n| --- | ---: | ---: | ---: | ---: | --- |\n".to_owned();
    for fault in FAULTS {
        let scored = score(library, machines, fault, seeds.clone());
        let others: Vec<String> = scored
            .wrong
            .iter()
            .filter(|(name, _)| name != Outcome::CannotTell.word() && name != Outcome::NothingWrong.word())
            .map(|(name, count)| format!("{name} {count}"))
            .collect();
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} |",
            if fault == "nothing" { "nothing wrong" } else { fault },
            scored.machines,
            scored.right,
            scored.called(Outcome::CannotTell.word()),
            scored.called(Outcome::NothingWrong.word()),
            if others.is_empty() { "-".to_owned() } else { others.join(", ") }
        );
    }
    out
}
