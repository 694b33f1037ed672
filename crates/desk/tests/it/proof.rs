//! What the diagnosis makes of machines whose faults are known: forward models of the bench write their logs.

use upgrade::proof::criterion::Verdict;

use crate::demo::{library, machine};
use crate::soak_bench::drawn::Stock;
use crate::soak_bench::score::score;
use crate::soak_bench::truth::FAULTS;
use crate::soak_bench::{Bench, soaked};

/// Machines of each fault, and sound ones; more are in the docs' table.
const EACH: u64 = 5;
const SOUND: u64 = 20;
/// Of each fault's machines at least so many are named right. Stated beforehand: a case starved of air and a cooler full
/// of dust look alike where nobody measured the air, so not all can be.
const LEAST_RECALL: f64 = 0.6;
/// Of sound machines no more than so many are called faulty.
const MOST_FALSE_ALARMS: f64 = 0.05;

#[test]
fn known_faults_are_named() {
    let all = library();
    for fault in FAULTS.into_iter().filter(|fault| *fault != "nothing") {
        let scored = score(&all, &|name| machine(name, &all), (Bench::Kind, fault), 0..EACH);
        assert_eq!(scored.machines as u64, EACH);
        let recall = (scored.right + scored.among) as f64 / EACH as f64;
        assert!(recall >= LEAST_RECALL, "{fault}: {recall}, called {:?}", scored.wrong);
    }
}

#[test]
fn sound_machines_are_left_in_peace() {
    let all = library();
    let scored = score(&all, &|name| machine(name, &all), (Bench::Kind, "nothing"), 0..SOUND);
    let untold = scored.called("cannot be told");
    let alarms = (SOUND as usize - scored.right - untold) as f64 / SOUND as f64;
    assert!(alarms <= MOST_FALSE_ALARMS, "{alarms}: {:?}", scored.wrong);
}

/// Machines of the bench that is drawn without a look at what the reader expects; fewer, for each takes longer.
const OWN: u64 = 4;

#[test]
fn sound_machines_of_another_hand_are_left_in_peace_too() {
    let all = library();
    let scored =
        score(&all, &|name| machine(name, &all), (Bench::Own(Stock::Fresh), "nothing"), 7000..7000 + OWN);
    let untold = scored.called("cannot be told") as u64;
    assert_eq!((scored.right as u64 + untold, scored.machines as u64), (OWN, OWN), "{:?}", scored.wrong);
}

#[test]
fn faults_of_another_hand_that_a_log_can_show_are_named() {
    let all = library();
    // Of a joint's faults and a starved case the table of the docs tells; these must not be missed.
    for fault in [
        "pump-stopped",
        "power-limit",
        "stage-throttling",
        "firmware-limits",
        "unstable-light",
        "unstable-full",
    ] {
        let scored = score(&all, &|name| machine(name, &all), (Bench::Own(Stock::Fresh), fault), 7000..7002);
        assert!(scored.right + scored.among >= 1, "{fault}: {:?}", scored.wrong);
    }
}

/// Chances of a slow or dusty fan and of a starved case.
fn of_air(
    log: &upgrade::proof::log::SoakLog,
    soaked: &crate::soak_bench::Soaked,
    open: Option<&upgrade::proof::log::SoakLog>,
) -> (f64, f64, Option<String>) {
    let read = upgrade::proof::soak::soak(log, &soaked.expected, open).unwrap();
    let of = |id: &str| read.diagnosis.suspects.iter().find(|one| one.fault.id == id).unwrap().chance;
    (of("slow-fan"), of("starved-case"), read.diagnosis.separates)
}

#[test]
fn a_second_soak_with_the_side_open_or_a_thermometer_tells_the_cooler_from_the_air() {
    let all = library();
    let (mut told, mut by_hand, mut asked) = (0, 0, 0);
    for (fault, seed) in
        ["slow-fan", "starved-case"].into_iter().flat_map(|fault| (300..304).map(move |seed| (fault, seed)))
    {
        let machines = |name: &str| machine(name, &all);
        let (soaked, open) =
            crate::soak_bench::soaked_and_opened(&all, &machines, (Stock::Known, fault), seed);
        let (fan, case, _) = of_air(&soaked.log, &soaked, None);
        // One that no log of these sensors shows needs no telling apart.
        if fan + case < 0.5 {
            continue;
        }
        asked += 1;
        let likelier = |(fan, case): (f64, f64)| if fault == "slow-fan" { fan > case } else { case > fan };
        let (fan, case, separates) = of_air(&soaked.log, &soaked, Some(&open));
        told += usize::from(likelier((fan, case)));
        assert_ne!(
            separates.as_deref(),
            Some(upgrade::proof::fault::AIR.check),
            "what was done is not asked for again: {}",
            soaked.what
        );
        let mut log = soaked.log.clone();
        let read = upgrade::proof::soak::soak(&log, &soaked.expected, None).unwrap();
        let watts = read.settled.power.unwrap().value.si();
        // A thermometer that is off by a kelvin, where the path's air is at rest.
        let air_c = soaked.truth.room_c + 1.0 + soaked.truth.case_k_w * watts;
        log.about.case_air = Some(quantity::measure::Quantity::from_si(air_c + 273.15));
        let (fan, case, _) = of_air(&log, &soaked, None);
        by_hand += usize::from(likelier((fan, case)));
    }
    assert!(asked >= 3, "{asked} machines");
    // One may lie at the edge of what is a fault.
    assert!(told + 1 >= asked && by_hand + 1 >= asked, "{told} by the side, {by_hand} by hand, of {asked}");
}

/// Of bands of nine in ten, so many hold the truth: the fit's five lumps are not the bench's fifteen.
const LEAST_HELD: f64 = 0.75;

#[test]
fn bands_hold_what_is_true() {
    let all = library();
    let (mut held, mut asked) = (0, 0);
    for (fault, seed) in
        ["nothing", "poor-contact", "dried-paste"].into_iter().flat_map(|f| (0..6).map(move |s| (f, s)))
    {
        let soaked = soaked(&all, &|name| machine(name, &all), (Bench::Kind, fault), seed);
        let path = upgrade::proof::soak::soak(&soaked.log, &soaked.expected, None).unwrap().path.unwrap();
        let truth = &soaked.truth;
        for (name, value) in [("die and lid", truth.inner_k_w + truth.lid_k_w), ("paste", truth.paste_k_w)] {
            let band = path.step(name).unwrap().found.unwrap().band;
            asked += 1;
            held += usize::from(band.low().si() <= value && value <= band.high().si());
        }
    }
    assert!(f64::from(held as u32) >= LEAST_HELD * f64::from(asked), "{held} of {asked}");
}

fn demo_log(name: &str) -> String {
    String::from_utf8(intake::demo::log_file(name).unwrap().bytes).unwrap()
}

fn read_text(text: &str) -> upgrade::proof::log::SoakLog {
    let source = intake::problem::SourceFile { name: "log.csv".to_owned(), bytes: text.as_bytes().to_vec() };
    intake::soak_log::read(&source, &[]).0.unwrap()
}

fn upgraded(library: &intake::library::ReadLibrary) -> upgrade::machine::proposal::Changes<'_> {
    crate::soak_bench::changes(library, &["tern-2-rush", "holloway-120", "skerry-fine"])
}

#[test]
fn the_demo_passes_after_its_upgrade_and_fails_with_too_little_paste() {
    let all = library();
    let machine = machine("demo", &all);
    let logs = ["demo-before", "demo-after", "demo-little-paste"].map(|name| read_text(&demo_log(name)));
    let proven = |after: usize, before: Option<usize>| {
        let logs =
            desk::proof::Logs { after: &logs[after], before: before.map(|place| &logs[place]), open: None };
        desk::proof::proof(&machine, &all.library, upgraded(&all), logs).unwrap()
    };
    let good = proven(1, Some(0));
    assert_eq!(good.proof.verdict, Verdict::Pass, "{:?}", good.proof.criteria);
    // Both logs tell a structure function.
    for read in [&good.proof.after, good.proof.before.as_ref().unwrap()] {
        let found = upgrade::proof::path::alone(read.rows.as_ref().unwrap(), read.warmed_until).unwrap();
        let whole = read.path.as_ref().unwrap().total.value.si();
        assert!((found.total_k_w / whole - 1.0).abs() < 0.15, "{} of {whole}", found.total_k_w);
    }
    let warmer = good.proof.compared.iter().find(|one| one.what == "junction to room").unwrap();
    assert_eq!(warmer.went, upgrade::proof::compare::Went::Better);
    let bad = proven(2, None);
    assert_eq!(bad.proof.verdict, Verdict::Fail);
    assert_eq!(bad.proof.after.diagnosis.suspects[0].fault.id, "poor-contact");
}

#[test]
fn a_dip_of_the_load_is_part_of_the_heat_path_and_not_of_the_throughput() {
    let all = library();
    let machine = machine("demo", &all);
    let plain = demo_log("demo-after");
    let headings: Vec<&str> =
        plain.lines().find(|line| line.starts_with("time s")).unwrap().split(',').collect();
    let column = |name: &str| headings.iter().position(|heading| *heading == name).unwrap();
    // Four seconds at rest in every minute of the last ten of the load; the work of a rest is none.
    let mut count = 0;
    let dipped: Vec<String> = plain
        .lines()
        .map(|line| {
            let mut cells: Vec<&str> = line.split(',').collect();
            let time: f64 = cells[0].parse().unwrap_or(0.0);
            if (400.0..980.0).contains(&time) && time % 60.0 < 4.0 && cells[column("load")] == "vectors" {
                (cells[column("load")], cells[column("work 1/s")], cells[column("clock MHz")]) =
                    ("dip", "0", "800");
                count += 1;
            }
            cells.join(",")
        })
        .collect();
    assert!(count > 50, "{count} rows");
    let read = |text: &str| {
        let logs = read_text(text);
        let logs = desk::proof::Logs { after: &logs, before: None, open: None };
        desk::proof::proof(&machine, &all.library, upgraded(&all), logs).unwrap().proof.after
    };
    let (without, with) = (read(&plain), read(&dipped.join("\n")));
    assert_eq!(with.main.rows, without.main.rows, "a dip does not cut the load in two");
    let (one, other) = (without.settled.work_per_s.unwrap().0, with.settled.work_per_s.unwrap().0);
    // Rows that are left out move the mean by its own scatter only; with them it were a part in fifteen lower.
    assert!((other / one - 1.0).abs() < 0.002, "{one} and {other}");
    let clock = |read: &upgrade::proof::soak::SoakRead| read.settled.clock.unwrap().value.si();
    assert!((clock(&with) / clock(&without) - 1.0).abs() < 0.002);
    assert_eq!(
        with.rows.unwrap().times_s.len(),
        without.rows.unwrap().times_s.len(),
        "the path takes every row"
    );
}

#[test]
fn a_log_that_lacks_something_says_so() {
    let all = library();
    let machine = machine("demo", &all);
    let text = demo_log("demo-after");
    let proven = |text: &str| {
        let log = read_text(text);
        let logs = desk::proof::Logs { after: &log, before: None, open: None };
        desk::proof::proof(&machine, &all.library, upgraded(&all), logs)
    };
    let without_power = proven(&text.replacen("power W", "unread W", 1)).unwrap();
    assert_eq!(without_power.proof.verdict, Verdict::CannotTell);
    let why = format!("{:?}", without_power.proof.after.path.unwrap_err());
    assert!(why.contains("NoPower"), "{why}");
    // The same log without its first five minutes begins in the middle of the load.
    let lines: Vec<&str> = text.lines().collect();
    let late: Vec<&str> = lines[..6].iter().chain(&lines[606..]).copied().collect();
    let late = proven(&late.join("\n")).unwrap();
    assert!(matches!(late.proof.after.path, Err(upgrade::proof::path::NoPath::NotAtRest)));
    // Its steps are not told apart, but the whole is: by what settled.
    let whole = proven(&text).unwrap().proof.after.path.unwrap().total.value;
    let told = &late.proof.criteria[0];
    assert_eq!((told.what, told.verdict), ("junction to room", Verdict::Pass), "{told:?}");
    let settled: f64 = told.measured.split(' ').next().unwrap().parse().unwrap();
    assert!((settled / whole.si() - 1.0).abs() < 0.06, "{settled} beside {whole}");
    // A sensor that stands still from the middle of the load on says nothing of what comes after.
    let column = lines[5].split(',').position(|heading| heading == "package °C").unwrap();
    let stuck = |from: usize| {
        let rows = lines.iter().enumerate().map(|(row, line)| {
            let mut cells: Vec<&str> = line.split(',').collect();
            if row >= from {
                cells[column] = "61";
            }
            cells.join(",")
        });
        proven(&rows.collect::<Vec<_>>().join("\n")).unwrap().proof.after
    };
    assert!(lines[5].contains("package °C"), "{}", lines[5]);
    let throughout = stuck(6);
    let why = format!("{:?}", throughout.path.unwrap_err());
    assert!(why.contains("Still"), "{why}");
    assert!(throughout.settled.junction.is_none());
    let later = stuck(1500);
    assert!(later.rows.unwrap().notes.iter().any(|note| note.contains("stood still")));
    // Rest alone is no soak.
    let rest: Vec<&str> = lines[..200].to_vec();
    assert!(proven(&rest.join("\n")).is_err());
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(24))]
    #[test]
    fn no_mangled_log_panics(
        cut in 0_usize..3000,
        length in 1_usize..400,
        column in 0_usize..18,
        value in "(|-|nan|0|-5|9e9|1e-300|65|100|rest|é)",
    ) {
        let all = library();
        let machine = machine("demo", &all);
        let text = demo_log("demo-after");
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let from = 6 + cut % (lines.len() - 6);
        let to = (from + length).min(lines.len());
        for line in &mut lines[from..to] {
            let mut cells: Vec<&str> = line.split(',').collect();
            cells[column] = &value;
            *line = cells.join(",");
        }
        lines.drain(6..6 + cut / 4);
        let source = intake::problem::SourceFile { name: "log.csv".to_owned(), bytes: lines.join("\n").into_bytes() };
        if let Some(log) = intake::soak_log::read(&source, &[]).0 {
            let logs = desk::proof::Logs { after: &log, before: None, open: None };
            let _ = desk::proof::proof(&machine, &all.library, upgraded(&all), logs);
        }
    }
}
