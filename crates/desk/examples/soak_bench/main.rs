//! Machines with known faults: the table of `docs/proof.md`, and the demo's soak logs.
//!
//! `cargo run --release -p desk --example soak_bench -- table 40 900` prints what the diagnosis makes of forty machines of each
//! fault, the first one with seed 900; `-- logs crates/intake/demo/logs` writes the demo's logs anew.
#![expect(clippy::unwrap_used, reason = "the bench is a test that prints")]

use core::fmt::Write as _;

use intake::library::ReadLibrary;
use soak_bench::Bench;
use soak_bench::drawn::Stock;
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
        ["table", bench, each, first] => {
            let bench = named(bench).unwrap();
            let first = first.parse::<u64>().unwrap();
            let seeds = first..first + each.parse::<u64>().unwrap();
            println!("{}", table(&library, &machine, bench, seeds.clone()));
            println!("{}", bands(&library, &machine, bench, seeds));
        }
        ["look", bench, fault, each, first] => {
            let first = first.parse::<u64>().unwrap();
            for seed in first..first + each.parse::<u64>().unwrap() {
                println!("{}", look(&library, &machine, (named(bench).unwrap(), fault), seed));
            }
        }
        ["air", each, first] => {
            let first = first.parse::<u64>().unwrap();
            println!("{}", air(&library, &machine, first..first + each.parse::<u64>().unwrap()));
        }
        _ => eprintln!("say \"table kind|known|fresh NUMBER FIRST-SEED\" or \"logs FOLDER\""),
    }
}

fn named(bench: &str) -> Option<Bench> {
    Some(match bench {
        "kind" => Bench::Kind,
        "known" => Bench::Own(Stock::Known),
        "fresh" => Bench::Own(Stock::Fresh),
        _ => return None,
    })
}

/// One machine: what it truly is beside what was expected and found, and what was made of it.
fn look(library: &ReadLibrary, machines: &dyn Fn(&str) -> Machine, what: (Bench, &str), seed: u64) -> String {
    let soaked = soak_bench::soaked(library, machines, what, seed);
    let read = upgrade::proof::soak::soak(&soaked.log, &soaked.expected, None).unwrap();
    let truth = &soaked.truth;
    let mut out = format!("-- {} {seed}: {}\n", what.1, soaked.expected.title);
    let cores: Vec<String> =
        read.settled.cores.iter().map(|(_, celsius)| format!("{:.1}", celsius.value.celsius())).collect();
    let rest: Vec<String> = read
        .rest
        .iter()
        .flat_map(|rest| &rest.cores)
        .map(|(_, celsius)| format!("{:.1}", celsius.value.celsius()))
        .collect();
    let _ = writeln!(out, "   cores {} at rest {}; {}", cores.join(" "), rest.join(" "), soaked.what);
    if let Ok(path) = &read.path {
        for step in &path.steps {
            let truly = match step.name {
                "die and lid" => truth.inner_k_w + truth.lid_k_w,
                "paste" => truth.paste_k_w,
                "cooler" => truth.sink_k_w,
                _ => truth.case_k_w,
            };
            let found = step.found.map_or("measured".to_owned(), |found| found.words());
            let sound = step.sound.known().map_or("unknown".to_owned(), |sound| sound.rounded(3));
            let _ = writeln!(out, "   {:16} truly {truly:.4}  found {found}  sound {sound}", step.name);
        }
        let _ = writeln!(out, "   misfit {:.2}, left {:.2} K", path.stations.misfit, path.stations.left_k);
    }
    for sign in &read.diagnosis.signs {
        let _ = writeln!(out, "   {}: {} (±{:.3})", sign.sign.words(), sign.words, sign.uncertainty);
    }
    let chances: Vec<String> = read
        .diagnosis
        .suspects
        .iter()
        .filter(|one| one.chance > 0.03)
        .map(|one| format!("{} {:.2}", one.fault.id, one.chance))
        .collect();
    let _ = writeln!(
        out,
        "   {}: nothing {:.2}, else {:.2}, {}",
        read.diagnosis.outcome.word(),
        read.diagnosis.nothing,
        read.diagnosis.something_else,
        chances.join(", ")
    );
    out
}

/// What a second soak with the side of the case open adds, on machines of the bench's own without an air sensor.
fn air(library: &ReadLibrary, machines: &dyn Fn(&str) -> Machine, seeds: core::ops::Range<u64>) -> String {
    let mut out = "| truly | machines | likelier of the two, one log | chance of the true one | with the side open | chance |\n| --- | ---: | ---: | ---: | ---: | ---: |\n".to_owned();
    for (fault, other) in [("slow-fan", "starved-case"), ("starved-case", "slow-fan")] {
        let (mut right, mut chances, mut count) = ([0, 0], [0.0, 0.0], 0.0);
        for seed in seeds.clone() {
            let (soaked, open) =
                soak_bench::soaked_and_opened(library, machines, (Stock::Fresh, fault), seed);
            count += 1.0;
            for (place, open) in [None, Some(&open)].into_iter().enumerate() {
                let read = upgrade::proof::soak::soak(&soaked.log, &soaked.expected, open).unwrap();
                let of = |id: &str| {
                    read.diagnosis
                        .suspects
                        .iter()
                        .find(|one| one.fault.id == id)
                        .map_or(0.0, |one| one.chance)
                };
                right[place] += usize::from(of(fault) > of(other));
                chances[place] += of(fault);
            }
        }
        let _ = writeln!(
            out,
            "| {fault} | {count} | {} | {:.0} % | {} | {:.0} % |",
            right[0],
            100.0 * chances[0] / count,
            right[1],
            100.0 * chances[1] / count
        );
    }
    out
}

/// How many of the bands of nine in ten hold what is true.
fn bands(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    bench: Bench,
    seeds: core::ops::Range<u64>,
) -> String {
    let (mut held, mut asked) = (0, 0);
    for (fault, seed) in FAULTS[..4].iter().flat_map(|fault| seeds.clone().map(move |seed| (*fault, seed))) {
        let soaked = soak_bench::soaked(library, machines, (bench, fault), seed);
        let Ok(path) = upgrade::proof::soak::soak(&soaked.log, &soaked.expected, None).unwrap().path else {
            continue;
        };
        let band = path.step("paste").unwrap().found.unwrap().band;
        let truth = soaked.truth.paste_k_w;
        asked += 1;
        held += usize::from(band.low().si() <= truth && truth <= band.high().si());
    }
    format!("Of {asked} bands of the paste joint, each for nine chances in ten, {held} hold what is true.")
}

/// Of findings stated at some chance, how many were true: as they come on the bench, where every fault is as frequent as soundness, and with
/// each machine counted as often as the reader takes it to come.
fn calibration(stated: &[(f64, bool, f64)]) -> String {
    let mut out = "| chance stated | findings | true of them | mean chance, as often as they come | true, as often as they come |\n| --- | ---: | ---: | ---: | ---: |\n".to_owned();
    for (low, high) in [(0.5, 0.7), (0.7, 0.9), (0.9, 0.99), (0.99, 1.01)] {
        let of: Vec<_> = stated.iter().filter(|(chance, ..)| (low..high).contains(chance)).collect();
        let true_ones = of.iter().filter(|(_, is_true, _)| *is_true).count();
        let whole = of.iter().map(|(.., often)| often).sum::<f64>().max(1e-9);
        let mean = of.iter().map(|(chance, _, often)| chance * often).sum::<f64>() / whole;
        let weighed =
            of.iter().map(|(_, is_true, often)| f64::from(u8::from(*is_true)) * often).sum::<f64>() / whole;
        let name = if high > 1.0 {
            "99 % and more".to_owned()
        } else {
            format!("{:.0} to {:.0} %", 100.0 * low, 100.0 * high)
        };
        let _ = writeln!(
            out,
            "| {name} | {} | {true_ones} | {:.0} % | {:.0} % |",
            of.len(),
            100.0 * mean,
            100.0 * weighed
        );
    }
    out
}

/// The table of all faults, as it stands in the docs.
fn table(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    bench: Bench,
    seeds: core::ops::Range<u64>,
) -> String {
    let mut out = "| truly | machines | named right | named among look-alikes | cannot be told | nothing wrong | another fault |\n| --- | ---: | ---: | ---: | ---: | ---: | --- |\n".to_owned();
    let mut stated = Vec::new();
    for fault in FAULTS {
        let scored = score(library, machines, (bench, fault), seeds.clone());
        let others: Vec<String> = scored
            .wrong
            .iter()
            .filter(|(name, _)| name != Outcome::CannotTell.word() && name != Outcome::NothingWrong.word())
            .map(|(name, count)| format!("{name} {count}"))
            .collect();
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} | {} |",
            if fault == "nothing" { "nothing wrong" } else { fault },
            scored.machines,
            scored.right,
            scored.among,
            scored.called(Outcome::CannotTell.word()),
            scored.called(Outcome::NothingWrong.word()),
            if others.is_empty() { "-".to_owned() } else { others.join(", ") }
        );
        stated.extend(scored.stated);
    }
    out + "\n" + &calibration(&stated)
}
