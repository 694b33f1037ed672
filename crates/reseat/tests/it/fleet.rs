//! Fleets from the command line: sources of every kind, answers of every kind, one bad machine among good ones.

use std::path::PathBuf;

use columns::limits::Limits;
use columns::table::Values;
use serde_json::Value;

use crate::run::{complains, prints, run};

/// A fresh folder for one test.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("reseat-fleet-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn at(folder: &std::path::Path, name: &str) -> String {
    folder.join(name).display().to_string()
}

#[test]
fn a_district_is_planned_within_its_budget_and_hours_in_every_form() {
    let out = folder("district");
    let (csv, parquet, svg, jobs) =
        (at(&out, "plan.csv"), at(&out, "plan.parquet"), at(&out, "plan.svg"), at(&out, "jobs"));
    let words = ["fleet", "demo", "--budget", "1500 EUR", "--hours", "16", "--time-limit", "4", "--json"];
    let mut all: Vec<&str> = words.to_vec();
    all.extend(["--table", &csv, "--sheets", &jobs, "--svg", &svg]);
    let plan: Value = serde_json::from_str(&prints(&all, 0)).unwrap();
    let machines = plan["machines"].as_array().unwrap();
    let upgraded: Vec<&Value> = machines.iter().filter(|machine| machine["answer"] == "upgrade").collect();
    assert!(upgraded.len() >= 5 && upgraded.len() < machines.len());
    assert_eq!(plan["upgraded"], upgraded.len());
    assert!(plan["bench_minutes"].as_i64().unwrap() <= 16 * 60);
    let spent: f64 = plan["spent"].as_str().unwrap().trim_end_matches(" EUR").parse().unwrap();
    assert!(spent > 0.0 && spent <= 1500.0);
    // What comes out of one machine goes into the machine that says so, and never before.
    for machine in &upgraded {
        if let Some(from) = machine["processor_from"].as_str() {
            let giver = upgraded.iter().find(|giver| giver["id"] == from).unwrap();
            assert_eq!(giver["processor_to"], machine["id"]);
            let turn = |machine: &Value| machine["turn"].as_i64().unwrap();
            assert!(turn(giver) < turn(machine) || giver["opened_before_its_turn"] == true);
        }
    }
    // More money never brings less.
    let curve = plan["curve"].as_array().unwrap();
    assert!(curve.len() > 5);
    // The table has a row for each machine, and says the same as the answer.
    let text = std::fs::read_to_string(&csv).unwrap();
    assert_eq!(text.lines().count(), machines.len() + 1);
    assert_eq!(text.matches(",upgrade,").count(), upgraded.len());
    // One sheet for each job, and the list of them.
    let files = std::fs::read_dir(&jobs).unwrap().count();
    assert_eq!(files, upgraded.len() + 1);
    let list = std::fs::read_to_string(at(&out, "jobs/index.html")).unwrap();
    assert_eq!(list.matches("<li>").count(), upgraded.len());
    assert!(std::fs::read_to_string(&svg).unwrap().contains("this plan"));
    // A table that was written can be read as one: the machines of the plan are no machines' records, and that is said.
    let back = ["fleet", csv.as_str()];
    assert!(complains(&back, 2).contains("no record has a field"));
    let columns = ["fleet", "demo", "--no-reuse", "--hours", "2", "--table", &parquet];
    prints(&columns, 0);
    let table = columns::read::table(std::fs::read(&parquet).unwrap(), Limits::ORDINARY).unwrap();
    assert_eq!(table.rows(), machines.len());
    let Some(Values::Words(from)) = table.column("processor from") else { panic!("no such column") };
    assert!(from.iter().all(Option::is_none), "nothing moves where nothing may");
}

const MACHINE: &str = r#"
processor = { id = "tern-1-sedge" }
board = { id = "tidewell-plover" }
firmware = "1.40"
memory = [{ id = "quillon-2666-2x8" }]
cooler = { id = "larkspur-90" }
supply = { id = "kiln-450" }
case = { id = "hutch-small" }
"#;

const COMMON: &str = r#"
software = { system = "x", firmware_mode = "uefi", bound_keys = { disk_encryption = false, licence = false } }
setting = { room = "20..26 °C", days_a_year = 200, hours_on = "8 h", energy_price = "0.30 EUR" }
task = [{ name = "rendering", time_a_day = "2 h", serial = "20 %", parallel = "70 %", elsewhere = "10 %" }]
wishes = { hour_value = "3 EUR", board = "keep" }
"#;

#[test]
fn a_folder_of_everything_gives_every_machine_an_answer() {
    let pool = folder("pool");
    let write = |name: &str, bytes: &[u8]| std::fs::write(pool.join(name), bytes).unwrap();
    write("alpha.toml", format!("name = \"Alpha\"\n{MACHINE}").as_bytes());
    write("beta.toml", format!("name = \"Beta\"\n{MACHINE}").as_bytes());
    write(
        "gamma.toml",
        format!("name = \"Gamma\"\n{}", MACHINE.replace("tern-1-sedge", "no-such-part")).as_bytes(),
    );
    write("delta.toml", b"name = \"Delta\"\nprocessor = { id = \"tern");
    write("again.toml", format!("id = \"alpha\"\nname = \"Alpha again\"\n{MACHINE}").as_bytes());
    write("half.tar.gz", &[0x1f, 0x8b, 8, 0, 1, 2, 3]);
    write("half.parquet", b"PAR1 and then the power went");
    write("notes.txt", b"not a machine");
    let capture = concat!(env!("CARGO_MANIFEST_DIR"), "/../survey/tests/data/bench.tar.gz");
    std::fs::copy(capture, pool.join("bench.tar.gz")).unwrap();
    let other = folder("beside");
    std::fs::write(other.join("common.toml"), COMMON).unwrap();
    let (pool, common, problems) =
        (pool.display().to_string(), at(&other, "common.toml"), at(&other, "problems.csv"));
    let output = run(&["fleet", &pool, "--common", &common, "--problems", &problems, "--json"]);
    // The captured machine has readings that nobody took; the answer for it is open.
    assert_eq!(output.status.code(), Some(3), "{}", String::from_utf8_lossy(&output.stderr));
    let plan: Value = serde_json::from_slice(&output.stdout).unwrap();
    let answers: Vec<(&str, &str)> = plan["machines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|machine| (machine["id"].as_str().unwrap(), machine["answer"].as_str().unwrap()))
        .collect();
    // Files in the order of their names: "again" says it is alpha before alpha itself is read.
    assert_eq!(answers, [("alpha", "upgrade"), ("bench", "cannot tell"), ("beta", "upgrade")]);
    let open = &plan["machines"][1]["what_settles_it"];
    assert!(open.as_str().unwrap().len() > 10, "{open}");
    let refused: Vec<&str> =
        plan["refused"].as_array().unwrap().iter().map(|one| one["from"].as_str().unwrap()).collect();
    let ends: Vec<bool> = ["alpha.toml", "delta.toml", "gamma.toml", "half.tar.gz"]
        .iter()
        .map(|name| refused.iter().any(|from| from.ends_with(name)))
        .collect();
    assert_eq!((refused.len(), ends), (4, vec![true; 4]), "{refused:?}");
    assert!(plan["remarks"].to_string().contains("half.parquet"));
    assert!(plan["passed_over"].to_string().contains("notes.txt"));
    let told = String::from_utf8(output.stderr).unwrap();
    for part in
        ["no-such-part", "was read from", "no whole Parquet file", "3 machines were read, 4 were refused"]
    {
        assert!(told.contains(part), "{part}: {told}");
    }
    let list = std::fs::read_to_string(&problems).unwrap();
    assert!(list.lines().count() > 5 && list.contains("no-such-part"));
}

#[test]
fn machines_come_from_columns_files_too() {
    let out = folder("columns");
    let words = |cells: &[&str]| {
        Values::Words(cells.iter().map(|cell| (!cell.is_empty()).then(|| (*cell).to_owned())).collect())
    };
    let column =
        |name: &str, cells: &[&str]| columns::table::Column { name: name.to_owned(), values: words(cells) };
    let table = columns::table::Table {
        notes: Vec::new(),
        columns: vec![
            column("id", &["one", "two", "three"]),
            column("processor.id", &["tern-1-sedge", "tern-1-sedge", "nothing-such"]),
            column("board.id", &["tidewell-plover"; 3]),
            column("firmware", &["1.40"; 3]),
            column("memory.id", &["quillon-2666-2x8"; 3]),
            column("cooler.id", &["larkspur-90"; 3]),
            column("supply.id", &["kiln-450"; 3]),
            column("case.id", &["hutch-small"; 3]),
            columns::table::Column {
                name: "setting.days_a_year".to_owned(),
                values: Values::Whole(vec![Some(180), Some(180), None]),
            },
        ],
    };
    let (file, common) = (at(&out, "machines.parquet"), at(&out, "common.toml"));
    std::fs::write(&file, columns::write::table(&table).unwrap()).unwrap();
    std::fs::write(&common, COMMON).unwrap();
    let text = prints(&["fleet", &file, "--common", &common, "--goal", "hours", "--budget", "300 EUR"], 0);
    assert!(text.contains("2 machines in 1 groups") || text.contains("2 machines in 1 group"), "{text}");
    assert!(text.contains("1 more could not be read"), "{text}");
}

#[test]
fn words_that_make_no_sense_are_told() {
    for (words, part) in [
        (vec!["fleet", "demo", "--budget", "much"], "budget much"),
        (vec!["fleet", "demo", "--stock", "tern-2-rush"], "PART=COUNT"),
        (vec!["fleet", "demo", "--stock", "tern-2-rsh=3"], "no such part"),
        (vec!["fleet", "demo", "--hours=-1"], "hours -1"),
        (vec!["fleet", "/nowhere/at/all"], "/nowhere/at/all"),
    ] {
        let told = complains(&words, 2);
        assert!(told.contains(part), "{words:?}: {told}");
    }
}
