//! What is read from a tree whose values are known, also when sensors vanish, freeze and jump.

use soak::guard::{Ended, Guard, Watched};
use soak::run::plan::{Refused, Watch, watched};
use soak::sensors::limit::Basis;
use soak::sensors::sampler::Sampler;

use crate::tree::Tree;

const PACKAGE: &str = "sys/class/hwmon/hwmon0/temp1_input";
const CORE: &str = "sys/class/hwmon/hwmon0/temp2_input";

fn cell(sampler: &Sampler, row: &[Option<f64>], heading: &str) -> Option<f64> {
    let column = sampler.headings().iter().position(|known| known == heading);
    assert!(column.is_some(), "no {heading} among {:?}", sampler.headings());
    row[column.unwrap()]
}

#[test]
fn every_reading_has_its_heading_and_unit() {
    let tree = Tree::bench();
    let mut sampler = tree.sampler(&[]);
    let mut row = Vec::new();
    sampler.sample(0.0, &mut row);
    tree.set("sys/class/powercap/zone:0/energy_uj", "6671149");
    tree.set("proc/stat", "cpu  130 0 130 840 0 0 0 0 0 0\n");
    tree.set("sys/devices/system/cpu/cpu2/thermal_throttle/core_throttle_total_time_ms", "25");
    tree.set("proc/pressure/io", "some avg10=0.00 avg60=0.00 avg300=0.00 total=11000\n");
    sampler.sample(0.1, &mut row);
    for (heading, want) in [
        ("package °C", 41.0),
        ("core 0 °C", 39.0),
        ("board System  rear °C", 31.5),
        // The cooler's fan first, whatever number the board gives it.
        ("fan 1 rpm", 910.0),
        ("fan 2 rpm", 640.0),
        ("pump 1 rpm", 2700.0),
        ("core 3 MHz", 3003.0),
        ("clock MHz", 3001.5),
        // 262143.328851 J are a full turn: 0.328851 J and 6.671149 J in a tenth of a second.
        ("energy J", 7.0),
        ("power W", 70.0),
        ("busy %", 60.0),
        ("held by junction %", 25.0),
        ("waits for disk %", 10.0),
    ] {
        let found = cell(&sampler, &row, heading).unwrap();
        assert!((found - want).abs() < 1e-9, "{heading}: {found}, expected {want}");
    }
    assert_eq!(sampler.power_limit(), Some(65.0));
}

#[test]
fn without_an_energy_counter_power_comes_from_sensors_of_power() {
    let files = [
        ("sys/class/hwmon/hwmon0/name", "board"),
        ("sys/class/hwmon/hwmon0/power1_label", "CPU core"),
        ("sys/class/hwmon/hwmon0/power1_input", "41500000"),
        ("sys/class/hwmon/hwmon0/power2_label", "CPU rest"),
        // A chip that tells a mean only; its limits are no readings.
        ("sys/class/hwmon/hwmon0/power2_average", "8250000"),
        ("sys/class/hwmon/hwmon0/power2_average_max", "99000000"),
        ("sys/class/hwmon/hwmon0/power3_label", "Graphics"),
        ("sys/class/hwmon/hwmon0/power3_input", "120000000"),
        ("sys/class/hwmon/hwmon1/name", "supply"),
        ("sys/class/hwmon/hwmon1/power1_input", "203000000"),
    ];
    let row_of = |tree: &Tree, choices: &[&str]| {
        let mut sampler = tree.sampler(choices);
        let mut row = Vec::new();
        sampler.sample(0.0, &mut row);
        let cells = ["power W", "wall W"].map(|heading| {
            sampler.headings().iter().position(|known| known == heading).map(|column| row[column])
        });
        (cells, sampler.power_from().map(str::to_owned))
    };
    let tree = Tree::new(&files);
    // One that nobody named is not read, and still told with what it says.
    let sampler = tree.sampler(&[]);
    let supply = sampler.meters().iter().find(|one| one.chip == "supply").unwrap();
    assert_eq!((supply.stem.as_str(), &supply.place, supply.watts), ("power1", &None, Some(203.0)));
    let (cells, from) = row_of(&tree, &["wall=supply/power1"]);
    assert_eq!(cells, [Some(Some(49.75)), Some(Some(203.0))]);
    assert_eq!(from.as_deref(), Some("the sensor board CPU core and board CPU rest"));
    // One of the two is gone: half of the power would be no power.
    tree.set("sys/class/hwmon/hwmon0/power2_average", "");
    let mut sampler = tree.sampler(&["power=supply/power1"]);
    let mut row = Vec::new();
    sampler.sample(0.0, &mut row);
    assert_eq!(cell(&sampler, &row, "power W"), Some(203.0), "a person's word wins");
    let lost = Tree::new(&files);
    let mut sampler = lost.sampler(&[]);
    lost.set("sys/class/hwmon/hwmon0/power2_average", "");
    sampler.sample(0.0, &mut row);
    assert_eq!(cell(&sampler, &row, "power W"), None);
    // Where energy is counted, sensors of power say nothing more of the processor.
    let counted = Tree::bench();
    for (path, text) in files {
        counted.set(&path.replace("hwmon0", "hwmon5").replace("hwmon1", "hwmon6"), text);
    }
    let (cells, from) = row_of(&counted, &[]);
    assert_eq!((cells[0], from.as_deref()), (Some(None), Some("the processor's own counter of energy")));
}

#[test]
fn what_costs_much_is_read_ten_times_a_second_at_most() {
    let tree = Tree::bench();
    let mut sampler = tree.sampler(&[]);
    let mut row = Vec::new();
    let clocks = (0..100).filter(|tick| {
        sampler.sample(f64::from(*tick) / 100.0, &mut row);
        assert!(cell(&sampler, &row, "package °C").is_some());
        cell(&sampler, &row, "clock MHz").is_some()
    });
    assert_eq!(clocks.count(), 10);
}

#[test]
fn limits_come_from_the_machine() {
    let tree = Tree::bench();
    let found = watched(&tree.sampler(&[]), None, Watch::Sensors).unwrap();
    let told: Vec<_> =
        found.iter().map(|(one, limit)| (one.heading.as_str(), limit.celsius, limit.basis)).collect();
    assert_eq!(told, [("package °C", 95.0, Basis::Critical), ("core 0 °C", 95.0, Basis::Critical)]);
    assert!(matches!(watched(&tree.sampler(&[]), Some(99.0), Watch::Sensors), Err(Refused::Limit(_))));
}

#[test]
fn without_a_sensor_of_the_processor_a_run_is_refused_unless_a_person_says_so() {
    let board = Tree::new(&[
        ("sys/class/hwmon/hwmon0/name", "lm75"),
        ("sys/class/hwmon/hwmon0/temp1_input", "25500"),
    ]);
    assert_eq!(watched(&board.sampler(&[]), None, Watch::Sensors), Err(Refused::NoSensor));
    assert_eq!(watched(&board.sampler(&[]), None, Watch::Blind), Ok(Vec::new()));
    let told = watched(&board.sampler(&["package=lm75/temp1"]), None, Watch::Sensors).unwrap();
    assert_eq!((told[0].1.celsius, told[0].1.basis), (85.0, Basis::Assumed));
}

/// Rows ten times a second, without waiting for them, under load from 1 s on; `change` says what the files hold.
fn ended(tree: &Tree, until_s: f64, change: impl Fn(f64)) -> Option<(f64, Ended)> {
    let mut sampler = tree.sampler(&[]);
    let sensors: Vec<Watched> =
        watched(&sampler, None, Watch::Sensors).unwrap().into_iter().map(|(one, _)| one).collect();
    let mut guard = Guard::new(sensors);
    let mut row = Vec::new();
    (0..(until_s * 10.0) as u32).find_map(|tick| {
        let time_s = f64::from(tick) / 10.0;
        change(time_s);
        sampler.sample(time_s, &mut row);
        Some((time_s, guard.look(time_s, &row, if time_s < 1.0 { 0.0 } else { 1.0 })?))
    })
}

fn warming(time_s: f64) -> String {
    let kelvin = 40.0 * (1.0 - (-(time_s - 1.0).max(0.0) / 10.0).exp());
    format!("{}000", (38.0 + kelvin).round())
}

#[test]
fn sensors_that_vanish_freeze_and_jump_end_a_run() {
    let healthy = Tree::bench();
    let both = |tree: &Tree, time_s: f64| {
        tree.set(PACKAGE, &warming(time_s));
        tree.set(CORE, &warming(time_s));
    };
    assert_eq!(ended(&healthy, 60.0, |time_s| both(&healthy, time_s)), None);

    let vanishing = Tree::bench();
    let (time_s, why) = ended(&vanishing, 60.0, |time_s| {
        both(&vanishing, time_s);
        if time_s >= 10.0 {
            vanishing.set(CORE, "");
        }
    })
    .unwrap();
    assert!(matches!(&why, Ended::Lost { sensor, .. } if sensor == "core 0 °C"), "{why:?}");
    assert!(time_s <= 11.1, "{time_s}");

    let frozen = Tree::bench();
    let (time_s, why) = ended(&frozen, 60.0, |time_s| frozen.set(PACKAGE, &warming(time_s))).unwrap();
    assert!(matches!(&why, Ended::Frozen { sensor, .. } if sensor == "core 0 °C"), "{why:?}");
    assert!(time_s < 10.0, "{time_s}");

    let jumping = Tree::bench();
    let (time_s, why) = ended(&jumping, 60.0, |time_s| {
        both(&jumping, time_s);
        if time_s >= 10.0 {
            jumping.set(PACKAGE, "126000");
        }
    })
    .unwrap();
    assert!(matches!(&why, Ended::Limit { sensor, celsius: 126.0, .. } if sensor == "package °C"), "{why:?}");
    assert_eq!(time_s, 10.0);
}
