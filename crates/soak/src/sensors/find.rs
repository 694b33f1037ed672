//! What can be read on this machine, or in a tree that stands for it.

use std::collections::BTreeSet;

use survey::root::{Root, Unread};

use crate::sensors::channel::{Source, Text};
use crate::sensors::choice::{Choice, is_processor, place, power_place};
use crate::sensors::counters::Counter;
use crate::sensors::sampler::{Kind, Reader};

/// A temperature sensor.
#[derive(Debug, Clone, PartialEq)]
pub struct Thermometer {
    /// Its heading in the log.
    pub heading: String,
    /// Column of a row.
    pub column: usize,
    /// What it is: a name of the soak log's temperatures; none where nobody has said and the driver does not tell.
    pub place: Option<String>,
    /// Its chip and the kernel's name of it, by which a person may say what it is; none for a thermal zone.
    pub named: Option<(String, String)>,
    /// Whether it is the processor's own, so that a run may rest on it.
    pub of_processor: bool,
    /// Critical temperature that the machine reports, in degrees Celsius.
    pub critical: Option<f64>,
    /// Highest normal temperature that the machine reports.
    pub highest: Option<f64>,
}

/// What was found.
#[derive(Debug, Default)]
pub struct Found {
    /// Headings of the columns.
    pub headings: Vec<String>,
    /// Thermometers.
    pub thermometers: Vec<Thermometer>,
    /// The sustained power limit that the firmware has set, in watts.
    pub power_limit: Option<f64>,
    /// What the processor's power is read from, in words; none where it is not read.
    pub power_from: Option<String>,
    /// Sensors of power, used or not.
    pub meters: Vec<PowerMeter>,
    /// What is there and cannot be used, in sentences.
    pub notes: Vec<String>,
    pub(crate) readers: Vec<Reader>,
    pub(crate) clocks: Vec<usize>,
    pub(crate) mean_clock: Option<usize>,
}

/// A sensor of power on a board, in a supply or a processor.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerMeter {
    /// The chip.
    pub chip: String,
    /// The kernel's name of it.
    pub stem: String,
    /// What it was taken for; none where it is not read.
    pub place: Option<String>,
    /// What it said when it was found, in watts.
    pub watts: Option<f64>,
}

/// Most chips, sensors and processors that are looked at.
const MOST: usize = 1024;

/// A name as it may stand in a heading.
fn plain(name: &str) -> String {
    name.chars()
        .map(|c| if c.is_control() || matches!(c, ',' | ';' | '"' | '°') { ' ' } else { c })
        .take(40)
        .collect()
}

impl Found {
    fn column(&mut self, heading: &str) -> usize {
        if let Some(column) = self.headings.iter().position(|known| known == heading) {
            return column;
        }
        self.headings.push(heading.to_owned());
        self.headings.len() - 1
    }

    /// A heading that no column has yet: this one, or with what tells it apart.
    fn fresh(&self, wanted: &str, unit: &str, apart: &str) -> String {
        let first = format!("{wanted} {unit}");
        if !self.headings.contains(&first) {
            return first;
        }
        let second = format!("{apart} {unit}");
        let mut heading = second.clone();
        let mut more = 2;
        while self.headings.contains(&heading) {
            heading = format!("{apart} no. {more} {unit}");
            more += 1;
        }
        heading
    }

    fn read(&mut self, root: &Root, path: &str, text: Text, kind: Kind, heading: &str) -> Option<usize> {
        let file = match root.open(path) {
            Ok(file) => file,
            Err(Unread::Forbidden) => {
                self.notes.push(format!("/{path} is there, but not for this user"));
                return None;
            }
            Err(_) => return None,
        };
        let source = Source::new(file, text);
        source.read()?;
        let column = self.column(heading);
        self.readers.push(Reader { source, kind, column });
        Some(column)
    }
}

/// Processors by the first thread of each core: the system's number, and the core's.
pub fn cores(root: &Root) -> Vec<(usize, usize)> {
    const BASE: &str = "sys/devices/system/cpu";
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for name in root.list(BASE).into_iter().take(MOST) {
        let Some(cpu) = name.strip_prefix("cpu").and_then(|number| number.parse().ok()) else { continue };
        let number = |file: &str| root.number(&format!("{BASE}/{name}/topology/{file}"));
        let core = number("core_id").unwrap_or(cpu as u64);
        let package = number("physical_package_id").unwrap_or(0);
        if seen.insert((package, core)) {
            out.push((cpu, usize::try_from(core).unwrap_or(cpu)));
        }
    }
    out
}

fn temperatures_and_fans(root: &Root, choices: &[Choice], found: &mut Found) {
    const BASE: &str = "sys/class/hwmon";
    let (mut fans, mut pumps): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for folder in root.list(BASE).into_iter().take(64) {
        let at = |file: &str| format!("{BASE}/{folder}/{file}");
        let Some(chip) = root.text(&at("name")) else { continue };
        for file in root.list(&format!("{BASE}/{folder}")).into_iter().take(MOST) {
            let Some(stem) = file.strip_suffix("_input") else { continue };
            let label = root.text(&at(&format!("{stem}_label"))).filter(|label| !label.is_empty());
            let degrees = |what: &str| {
                let text = root.text(&at(&format!("{stem}_{what}")))?;
                Some(text.parse::<i64>().ok()? as f64 / 1e3)
            };
            if stem.starts_with("temp") {
                let place = place(&chip, stem, label.as_deref(), choices);
                let own = plain(&format!("{chip} {}", label.as_deref().unwrap_or(stem)));
                let heading = found.fresh(place.as_deref().unwrap_or(&own), "°C", &own);
                let Some(column) =
                    found.read(root, &at(&file), Text::Number, Kind::Fast { scale: 1e-3 }, &heading)
                else {
                    continue;
                };
                found.thermometers.push(Thermometer {
                    heading,
                    column,
                    of_processor: place.as_deref().is_some_and(is_processor),
                    place,
                    named: Some((chip.clone(), stem.to_owned())),
                    critical: degrees("crit"),
                    highest: degrees("max"),
                });
            } else if stem.starts_with("fan") {
                let label = label.unwrap_or_default().to_ascii_lowercase();
                if label.contains("pump") {
                    pumps.push(at(&file));
                } else if label.contains("cpu") {
                    fans.insert(0, at(&file));
                } else {
                    fans.push(at(&file));
                }
            }
        }
    }
    for (kind, paths) in [("fan", fans), ("pump", pumps)] {
        for (place, path) in paths.iter().enumerate() {
            let heading = format!("{kind} {} rpm", place + 1);
            found.read(root, path, Text::Number, Kind::Slow { scale: 1.0 }, &heading);
        }
    }
}

/// Zones of the kernel's thermal framework that are the processor's, where no chip told.
fn zones(root: &Root, found: &mut Found) {
    const BASE: &str = "sys/class/thermal";
    const OF_PROCESSOR: [&str; 4] = [
        "x86_pkg_temp", // names: interface
        "cpu-thermal",  // names: interface
        "cpu_thermal",  // names: interface
        "soc-thermal",  // names: interface
    ];
    if found.thermometers.iter().any(|one| one.of_processor) {
        return;
    }
    for zone in root.list(BASE).into_iter().take(64) {
        let at = |file: &str| format!("{BASE}/{zone}/{file}");
        if !root.text(&at("type")).is_some_and(|kind| OF_PROCESSOR.contains(&kind.as_str())) {
            continue;
        }
        let heading = found.fresh("package", "°C", &plain(&zone));
        let Some(column) = found.read(root, &at("temp"), Text::Number, Kind::Fast { scale: 1e-3 }, &heading)
        else {
            continue;
        };
        let critical = (0..16)
            .find(|trip| root.text(&at(&format!("trip_point_{trip}_type"))).as_deref() == Some("critical"))
            .and_then(|trip| root.text(&at(&format!("trip_point_{trip}_temp")))?.parse::<i64>().ok());
        found.thermometers.push(Thermometer {
            heading,
            column,
            of_processor: true,
            place: Some("package".to_owned()),
            named: None,
            critical: critical.map(|raw| raw as f64 / 1e3),
            highest: None,
        });
    }
}

/// Sensors of power on boards, supplies and processors: those of the processor are added up.
fn powers(root: &Root, choices: &[Choice], found: &mut Found) {
    const BASE: &str = "sys/class/hwmon";
    let is_counted = found.power_from.is_some();
    for folder in root.list(BASE).into_iter().take(64) {
        let at = |file: &str| format!("{BASE}/{folder}/{file}");
        let Some(chip) = root.text(&at("name")) else { continue };
        let files = root.list(&format!("{BASE}/{folder}"));
        let mut stems: Vec<&str> = files
            .iter()
            .take(MOST)
            .filter_map(|file| file.strip_suffix("_input").or_else(|| file.strip_suffix("_average")))
            .filter(|stem| stem.strip_prefix("power").is_some_and(|number| number.parse::<u16>().is_ok()))
            .collect();
        stems.dedup();
        for stem in stems {
            let label = root.text(&at(&format!("{stem}_label"))).filter(|label| !label.is_empty());
            // What a chip measures now; some only tell a mean.
            let files = [format!("{stem}_input"), format!("{stem}_average")];
            let Some(file) = files.iter().find(|file| root.has(&at(file))) else { continue };
            let place = power_place(&chip, stem, label.as_deref(), choices)
                .filter(|place| *place != "power" || !is_counted);
            found.meters.push(PowerMeter {
                chip: chip.clone(),
                stem: stem.to_owned(),
                place: place.map(str::to_owned),
                watts: root.text(&at(file)).and_then(|text| Some(text.parse::<i64>().ok()? as f64 / 1e6)),
            });
            let Some(place) = place else { continue };
            let kind =
                if place == "power" { Kind::Power { scale: 1e-6 } } else { Kind::Fast { scale: 1e-6 } };
            if found.read(root, &at(file), Text::Number, kind, &format!("{place} W")).is_some()
                && place == "power"
            {
                let own = plain(&format!("{chip} {}", label.as_deref().unwrap_or(stem)));
                found.power_from = Some(match found.power_from.take() {
                    None => format!("the sensor {own}"),
                    Some(others) => format!("{others} and {own}"),
                });
            }
        }
    }
}

/// Energy that packages count, and the limit the firmware set.
fn energy(root: &Root, choices: &[Choice], found: &mut Found) {
    // A person's word on where the power is read wins.
    let is_said = choices.iter().any(|choice| choice.place == "power");
    const BASE: &str = "sys/class/powercap";
    let mut seen = BTreeSet::new();
    for zone in root.list(BASE).into_iter().take(64) {
        let at = |file: &str| format!("{BASE}/{zone}/{file}");
        let Some(name) = root.text(&at("name")).filter(|name| name.starts_with("package")) else { continue };
        if seen.contains(&name) {
            continue;
        }
        let counter = Counter::new(root.number(&at("max_energy_range_uj")));
        if !is_said
            && found.read(root, &at("energy_uj"), Text::Number, Kind::Energy { counter }, "power W").is_some()
        {
            found.column("energy J");
            found.power_from.get_or_insert_with(|| "the processor's own counter of energy".to_owned());
            seen.insert(name);
        }
        if root.text(&at("constraint_0_name")).as_deref() == Some("long_term") {
            let watts = root.number(&at("constraint_0_power_limit_uw")).map(|raw| raw as f64 / 1e6);
            found.power_limit = found.power_limit.or(watts.filter(|watts| (1.0..2_000.0).contains(watts)));
        }
    }
}

fn clocks(root: &Root, found: &mut Found) {
    for (cpu, core) in cores(root) {
        let base = format!("sys/devices/system/cpu/cpu{cpu}");
        let heading = found.fresh(&format!("core {core}"), "MHz", &format!("thread {cpu}"));
        let path = format!("{base}/cpufreq/scaling_cur_freq");
        if let Some(column) = found.read(root, &path, Text::Number, Kind::Slow { scale: 1e-3 }, &heading) {
            found.clocks.push(column);
        }
        for file in ["core_throttle_total_time_ms", "package_throttle_total_time_ms"] {
            let path = format!("{base}/thermal_throttle/{file}");
            let kind = Kind::Share { counter: Counter::new(None), per_s: 1e3 };
            found.read(root, &path, Text::Number, kind, "held by junction %");
        }
        let path = format!("{base}/thermal_throttle/core_throttle_count");
        found.read(root, &path, Text::Number, Kind::Slow { scale: 1.0 }, &format!("core {core} held times"));
    }
    if !found.clocks.is_empty() {
        found.mean_clock = Some(found.column("clock MHz"));
    }
}

/// Everything that can be read, each file opened.
pub fn find(root: &Root, choices: &[Choice]) -> Found {
    let mut found = Found::default();
    temperatures_and_fans(root, choices, &mut found);
    zones(root, &mut found);
    energy(root, choices, &mut found);
    powers(root, choices, &mut found);
    clocks(root, &mut found);
    found.read(root, "proc/stat", Text::Times, Kind::Busy { last: None }, "busy %");
    for (file, heading) in
        [("cpu", "waits for processor %"), ("memory", "waits for memory %"), ("io", "waits for disk %")]
    {
        let kind = Kind::Share { counter: Counter::new(None), per_s: 1e6 };
        found.read(root, &format!("proc/pressure/{file}"), Text::Stall, kind, heading);
    }
    for choice in choices {
        if !found.headings.contains(&choice.heading()) {
            found.notes.push(format!("there is no sensor {} of a chip {} here", choice.sensor, choice.chip));
        }
    }
    found
}
