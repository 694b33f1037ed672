//! Soaks of a second or two on this machine's own cores, with a tree for its sensors.

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::run::prints;

const SENSORS: &str = "crates/soak/tests/data/bench";

fn scratch(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("reseat-soak-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn what_can_be_read_is_listed_with_its_limits() {
    let text = prints(&["soak", "--list", "--sensors", SENSORS], 0);
    for part in ["package", "41 °C", "95.0 °C", "critical temperature", "stages", "910 rpm"] {
        assert!(text.contains(part), "{part} in {text}");
    }
}

#[test]
fn without_a_sensor_it_is_refused() {
    let empty = scratch("empty");
    prints(&["soak", "--sensors", empty.to_str().unwrap()], 3);
    prints(&["soak", "--sensors", SENSORS, "--limit", "99 °C"], 2);
    prints(&["soak", "--sensors", SENSORS, "--time", "2000 h"], 2);
}

#[test]
fn a_log_is_the_same_as_csv_and_packed() {
    let folder = scratch("log");
    let at = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let (csv, packed, again) = (at("a.csv"), at("a.parquet"), at("b.csv"));
    let words = |log: &str| {
        let all =
            ["soak", "--sensors", SENSORS, "--load", "integer", "--time", "1 s", "--rest", "0.3 s", "--log"];
        prints(&[&all[..], &[log]].concat(), 0)
    };
    let text = words(&csv);
    assert!(text.contains("every result was right") && text.contains("highest package: 41.0 °C"), "{text}");
    let look = |log: &str| serde_json::from_str::<Value>(&prints(&["log", log, "--json"], 0)).unwrap();
    let seen = look(&csv);
    assert_eq!(seen["loads"], serde_json::json!(["rest", "integer"]));
    prints(&["log", &csv, "--parquet", &packed], 0);
    assert_eq!(look(&packed)["columns"], seen["columns"]);
    prints(&["log", &packed, "--csv", &again], 0);
    let numbers = |path: &str| -> Vec<Vec<Option<f64>>> {
        let text = std::fs::read_to_string(path).unwrap();
        let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
        rows.map(|row| row.split(',').map(|cell| cell.parse().ok()).collect()).collect()
    };
    assert_eq!(numbers(&csv), numbers(&again));
    // What is there is not written over.
    prints(&["soak", "--sensors", SENSORS, "--time", "1 s", "--rest", "0 s", "--log", &csv], 2);
}

#[test]
fn a_run_tells_itself_as_json_lines_and_names_a_failing_core() {
    let text = prints(
        &[
            "soak", "--blind", "--load", "integer", "--time", "20 s", "--rest", "0 s", "--trial", "0",
            "--json",
        ],
        1,
    );
    let values: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let report = values.last().unwrap();
    assert_eq!(report["ended"], "wrong");
    assert_eq!(report["failures"][0]["load"], "integer");
    assert!(report["failures"][0]["thread"].is_u64());
    assert!(values[0]["sensors"].is_object());
}

#[test]
fn a_signal_ends_it_at_once_and_the_log_is_whole() {
    let folder = scratch("signal");
    let log = folder.join("a.csv");
    let mut child = Command::new(env!("CARGO_BIN_EXE_reseat"))
        .args(["soak", "--blind", "--load", "memory", "--time", "200 s", "--rest", "0 s", "--log"])
        .arg(&log)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    // A row of load is in the file: it is at work.
    while !std::fs::read_to_string(&log).is_ok_and(|text| text.contains(",memory\n")) {
        assert!(begun.elapsed() < Duration::from_secs(60), "it never began");
        std::thread::yield_now();
    }
    let asked = Instant::now();
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
    let code = child.wait().unwrap().code();
    assert_eq!(code, Some(3));
    assert!(asked.elapsed() < Duration::from_secs(30), "far less than the 200 s it was to take");
    let text = std::fs::read_to_string(&log).unwrap();
    assert!(text.ends_with(",memory\n"), "the last row is whole");
}
