//! Whole runs with real work on this machine's cores and a tree for its sensors.

use std::time::Instant;

use soak::dip::STILL_S;
use soak::guard::Ended;
use soak::kernel::Load;
use soak::processor::allowed;
use soak::run::conductor::{ADDED, Report, run};
use soak::run::csv_log::CsvLog;
use soak::run::plan::{Plan, Refused, Trial, Watch, watched};
use soak::run::worker::Core;
use soak::schedule::{Layout, Schedule};
use soak::width::Width;

use crate::tree::Tree;

fn plan(load: Load, load_s: f64) -> Plan {
    let cores: Vec<Core> =
        allowed().unwrap().into_iter().take(2).map(|cpu| Core { cpu, core: cpu }).collect();
    Plan {
        schedule: Schedule::of(Layout::All, load, load_s, 0.2, cores.len()),
        cores,
        rows_hz: 50.0,
        width: Width::widest(),
        memory: 2 << 20,
        cache: 256 << 10,
        still_s: STILL_S,
        trial: None,
    }
}

fn go(tree: &Tree, plan: &Plan, log: Option<CsvLog>, asked: &(dyn Fn() -> bool + Sync)) -> Report {
    let mut sampler = tree.sampler(&[]);
    let sensors = watched(&sampler, None, Watch::Sensors).unwrap();
    plan.checked(sensors.len()).unwrap();
    run(plan, &mut sampler, sensors.into_iter().map(|(one, _)| one).collect(), log, asked, &mut |_| {})
}

#[test]
fn a_run_works_for_its_time_and_logs_every_row() {
    let tree = Tree::bench();
    let plan = plan(Load::Integer, 0.6);
    let file = tree.folder().join("log.csv");
    let mut headings = vec!["time s".to_owned()];
    headings.extend(tree.sampler(&[]).headings().iter().cloned());
    headings.extend(ADDED.map(str::to_owned));
    headings.push("load".to_owned());
    let about = [("machine".to_owned(), "Bench\nof two lines".to_owned())];
    let log = CsvLog::begin(&file, &about, &headings).unwrap();
    let report = go(&tree, &plan, Some(log), &|| false);
    assert_eq!(report.ended, Ended::Done);
    assert!(report.length_s >= 1.0 && report.rows >= 5, "{report:?}");
    let (load, work, seconds) = report.work[0];
    assert!(load == Load::Integer && work > 0.0 && seconds > 0.0, "{report:?}");
    assert_eq!(report.highest[0], ("package °C".to_owned(), 41.0));
    let text = std::fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "# machine: Bench of two lines");
    assert_eq!(lines.len() as u64, 2 + report.rows);
    let cells = lines[1].split(',').count();
    assert!(lines[2..].iter().all(|line| line.split(',').count() == cells));
    assert!(lines[2].ends_with(",rest") && lines[2..].iter().any(|line| line.ends_with(",integer")));
    assert!(CsvLog::begin(&file, &[], &headings).is_err(), "a log that is there is not written over");
}

#[test]
fn a_flipped_bit_ends_the_run_and_names_its_core() {
    let tree = Tree::bench();
    for load in [Load::Vector, Load::Integer, Load::Memory] {
        let mut plan = plan(load, 20.0);
        let worker = plan.cores.len() - 1;
        plan.trial = Some(Trial { worker, bit: 3 });
        let begun = Instant::now();
        let report = go(&tree, &plan, None, &|| false);
        assert_eq!(report.ended, Ended::Wrong, "{load:?}");
        let failure = &report.failures[0];
        assert_eq!((failure.core, failure.load), (plan.cores[worker], load), "{failure:?}");
        assert!(!failure.what.is_empty());
        assert!(begun.elapsed().as_secs() < 15, "{load:?} within seconds");
    }
}

#[test]
fn a_hot_sensor_ends_the_run_before_any_load() {
    let tree = Tree::bench();
    tree.set("sys/class/hwmon/hwmon0/temp1_input", "95000");
    let report = go(&tree, &plan(Load::Integer, 20.0), None, &|| false);
    assert!(matches!(&report.ended, Ended::Limit { sensor, .. } if sensor == "package °C"), "{report:?}");
    assert_eq!(report.rows, 1);
}

#[test]
fn a_wish_to_end_is_seen_at_once() {
    let tree = Tree::bench();
    let begun = Instant::now();
    let report = go(&tree, &plan(Load::Vector, 600.0), None, &|| begun.elapsed().as_millis() > 500);
    assert_eq!(report.ended, Ended::Asked);
    assert!(begun.elapsed().as_secs() < 10);
}

/// A run with one worker whose sensors are asked after a second instead of a minute.
fn asking(load_s: f64) -> Plan {
    let mut plan = plan(Load::Integer, load_s);
    plan.cores.truncate(1);
    plan.rows_hz = 10.0;
    plan.still_s = 1.0;
    plan.schedule = Schedule::of(Layout::All, Load::Integer, load_s, 0.0, 1);
    plan
}

const PACKAGE: &str = "sys/class/hwmon/hwmon0/temp1_input";

/// A machine with one sensor; the others of the bench's desktop are cut off.
fn lone() -> Tree {
    Tree::new(&[
        ("sys/class/hwmon/hwmon0/name", "coretemp"), // names: interface
        ("sys/class/hwmon/hwmon0/temp1_label", "Package id 0"),
        (PACKAGE, "41000"),
        ("sys/class/hwmon/hwmon0/temp1_crit", "100000"),
    ])
}

/// Both runs side by side: a sensor that froze, and one that stands still and answers a dip by one kelvin.
#[test]
fn a_lone_sensor_that_stands_still_is_asked_and_only_a_frozen_one_ends_the_run() {
    std::thread::scope(|scope| {
        let frozen = scope.spawn(|| {
            let tree = lone();
            let file = tree.folder().join("log.csv");
            let mut sampler = tree.sampler(&[]);
            let mut headings = vec!["time s".to_owned()];
            headings.extend(sampler.headings().iter().cloned());
            headings.extend(ADDED.map(str::to_owned));
            headings.push("load".to_owned());
            let log = CsvLog::begin(&file, &[], &headings).unwrap();
            let sensors = watched(&sampler, None, Watch::Sensors).unwrap();
            let watched = sensors.into_iter().map(|(one, _)| one).collect();
            let mut told = 0;
            // It moves under the load, so that it is not the load's own step that finds it.
            let report = run(&asking(60.0), &mut sampler, watched, Some(log), &|| false, &mut |moment| {
                if (0.5..1.0).contains(&moment.time_s) {
                    tree.set(PACKAGE, "47000");
                }
                told += usize::from(moment.dips);
            });
            assert!(matches!(report.ended, Ended::Frozen { .. }), "{report:?}");
            assert!((20.0..30.0).contains(&report.length_s), "{report:?}");
            assert_eq!(report.dips, 1);
            let text = std::fs::read_to_string(&file).unwrap();
            let rows = text.lines().filter(|line| line.ends_with(",dip")).count();
            assert_eq!(rows, told, "every row of a dip is in the log");
            assert!(rows >= 40, "two dips, the second one of six seconds: {rows} rows");
        });
        let living = scope.spawn(|| {
            let tree = lone();
            let mut sampler = tree.sampler(&[]);
            let sensors = watched(&sampler, None, Watch::Sensors).unwrap();
            let watched = sensors.into_iter().map(|(one, _)| one).collect();
            let report = run(&asking(8.0), &mut sampler, watched, None, &|| false, &mut |moment| {
                let celsius = if moment.dips || moment.time_s < 0.5 { "46000" } else { "47000" };
                tree.set(PACKAGE, celsius);
            });
            assert_eq!(report.ended, Ended::Done, "{report:?}");
            // Asked a second after it last moved, and the dip is over as soon as it has answered: again and again.
            assert!((3..=7).contains(&report.dips), "{report:?}");
        });
        frozen.join().unwrap();
        living.join().unwrap();
    });
}

#[test]
fn every_run_is_bounded() {
    let mut plan = plan(Load::Vector, 25.0 * 3600.0);
    assert!(matches!(plan.checked(1), Err(Refused::TooLong { .. })));
    plan.schedule = Schedule::of(Layout::All, Load::Vector, 301.0, 0.0, 1);
    assert!(plan.checked(1).is_ok());
    assert!(matches!(plan.checked(0), Err(Refused::TooLong { most_s: 300, .. })), "shorter without a sensor");
    plan.schedule = Schedule::of(Layout::All, Load::Vector, f64::INFINITY, 0.0, 1);
    assert!(plan.checked(1).is_err());
    plan.schedule = Schedule::of(Layout::All, Load::Vector, 10.0, 0.0, 1);
    plan.rows_hz = 101.0;
    assert!(matches!(plan.checked(1), Err(Refused::Rate { .. })));
}
