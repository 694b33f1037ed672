//! The demo's soak logs: the editing computer before its upgrade, after it, and after one with too little paste.

use core::fmt::Write as _;
use std::path::Path;

use intake::library::ReadLibrary;
use quantity::dimension::{Dimension, FrequencyDim, RotationSpeedDim};
use quantity::measure::Quantity;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::proof::expected::expected;
use upgrade::proof::log::{Place, Share, SoakLog, Turning};

use crate::soak_bench::changes;
use crate::soak_bench::run::{Ladder, Sensors, run};
use crate::soak_bench::truth::{Draw, sound, with_fault};

/// Writes them into a folder.
pub(crate) fn write(folder: &str, library: &ReadLibrary, machine: &Machine) {
    let parts = ["tern-2-rush", "holloway-120", "skerry-fine"];
    for (name, ids, fault, seed, room) in [
        ("demo-before", &[][..], "dried-paste", 21, 21.6),
        ("demo-after", &parts[..], "nothing", 22, 23.8),
        ("demo-little-paste", &parts[..], "poor-contact", 23, 22.4),
    ] {
        let changes = if ids.is_empty() { Changes::default() } else { changes(library, ids) };
        let proposal = Proposal { now: machine, changes, library: &library.library };
        let expected = expected(&proposal);
        let mut draw = Draw(seed);
        let mut truth = with_fault(sound(&proposal, &expected, &mut draw), fault, &mut draw);
        truth.room_c = room;
        if fault == "poor-contact" {
            // Little enough that nobody could miss it.
            truth.paste_k_w = 0.26;
        }
        let sensors = Sensors {
            rows_a_second: 2.0,
            step_k: 1.0,
            noise_k: 0.25,
            case_air: false,
            drift_k: 0.3,
            meter: 1.0,
            worse: None,
        };
        let log = run(&truth, &sensors, &machine.name, &mut Ladder::of(&truth), &mut draw);
        std::fs::write(Path::new(folder).join(format!("{name}.csv")), csv(&log)).unwrap();
    }
}

fn cell(value: Option<f64>, digits: usize) -> String {
    value.map_or_else(String::new, |value| {
        let text = format!("{value:.digits$}");
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    })
}

fn in_unit<D: Dimension>(value: Option<Quantity<D>>, symbol: &str) -> Option<f64> {
    let unit = D::UNITS.iter().find(|unit| unit.symbols.contains(&symbol))?;
    Some(unit.from_si(value?.si()))
}

/// The log as `docs/soak-log.md` has it; one core's temperature column for each core.
fn csv(log: &SoakLog) -> String {
    let mut out = String::new();
    let about = &log.about;
    let _ = writeln!(out, "# machine: {}", about.machine.as_deref().unwrap());
    let _ = writeln!(out, "# load: {}", about.load.as_deref().unwrap());
    let _ = writeln!(out, "# room: {}", about.room.get().unwrap().rounded(3));
    let _ = writeln!(out, "# power limit: {}", about.power_limit.unwrap());
    let _ = writeln!(out, "# sensor step: {}", about.sensor_step.unwrap());
    let mut columns: Vec<(String, Vec<String>)> =
        vec![("time s".to_owned(), log.times.iter().map(|time| cell(Some(time.si()), 2)).collect())];
    for track in &log.temperatures {
        let name = match &track.what {
            Place::Package => "package °C".to_owned(),
            Place::Core(core) => format!("core {core} °C"),
            Place::Stages => "stages °C".to_owned(),
            _ => continue,
        };
        columns.push((
            name,
            track.values.iter().map(|value| cell(value.map(|value| value.celsius()), 2)).collect(),
        ));
    }
    columns.push((
        "power W".to_owned(),
        log.power().unwrap().iter().map(|power| cell(power.map(|p| p.si()), 2)).collect(),
    ));
    for track in &log.clocks {
        let values =
            track.values.iter().map(|value| cell(in_unit::<FrequencyDim>(*value, "MHz"), 0)).collect();
        columns.push(("clock MHz".to_owned(), values));
    }
    for track in &log.turning {
        let Turning::Fan(fan) = track.what else { continue };
        let values =
            track.values.iter().map(|value| cell(in_unit::<RotationSpeedDim>(*value, "rpm"), 0)).collect();
        columns.push((format!("fan {fan} rpm"), values));
    }
    for track in &log.shares {
        let name = match track.what {
            Share::Busy => "busy %",
            Share::HeldByJunction => "held by junction %",
            Share::HeldByPower => "held by power %",
            _ => "held by stages %",
        };
        let values =
            track.values.iter().map(|value| cell(value.map(|value| 100.0 * value.si()), 0)).collect();
        columns.push((name.to_owned(), values));
    }
    let load =
        |load: &Option<u16>| load.map_or_else(String::new, |load| log.load_names[usize::from(load)].clone());
    columns.push(("load".to_owned(), log.loads.iter().map(load).collect()));
    columns.push(("work 1/s".to_owned(), log.work_per_s.iter().map(|work| cell(*work, 0)).collect()));
    columns.push(("errors".to_owned(), log.errors.iter().map(|errors| cell(*errors, 0)).collect()));
    let names: Vec<&str> = columns.iter().map(|(name, _)| name.as_str()).collect();
    let _ = writeln!(out, "{}", names.join(","));
    for row in 0..log.times.len() {
        let cells: Vec<&str> = columns.iter().map(|(_, values)| values[row].as_str()).collect();
        let _ = writeln!(out, "{}", cells.join(","));
    }
    out
}
