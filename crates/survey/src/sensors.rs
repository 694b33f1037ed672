//! Sensors and energy counters that the kernel shows.

use crate::root::Root;

/// What a sensor measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SensorKind {
    /// Temperature in thousandths of a degree Celsius.
    Temperature,
    /// Speed of a fan in revolutions per minute.
    Fan,
    /// Voltage in millivolts.
    Voltage,
    /// Power in microwatts.
    Power,
}

impl SensorKind {
    const ALL: [(&'static str, Self); 4] =
        [("temp", Self::Temperature), ("fan", Self::Fan), ("in", Self::Voltage), ("power", Self::Power)];

    /// A raw value with its unit.
    pub fn text(self, raw: i64) -> String {
        let raw = raw as f64;
        match self {
            Self::Temperature => format!("{:.1} °C", raw / 1e3),
            Self::Fan => format!("{raw:.0} rpm"),
            Self::Voltage => format!("{:.2} V", raw / 1e3),
            Self::Power => format!("{:.1} W", raw / 1e6),
        }
    }
}

/// One sensor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sensor {
    /// Chip or driver.
    pub chip: String,
    /// Label, where there is one; else the kernel's file.
    pub label: String,
    /// What it measures.
    pub kind: SensorKind,
    /// Raw value, in the kernel's unit.
    pub raw: Option<i64>,
}

/// The sensors.
pub fn sensors(root: &Root) -> Vec<Sensor> {
    const BASE: &str = "sys/class/hwmon";
    let mut out = Vec::new();
    for folder in root.list(BASE).into_iter().take(64) {
        let at = |file: &str| format!("{BASE}/{folder}/{file}");
        let Some(chip) = root.text(&at("name")) else { continue };
        for file in root.list(&format!("{BASE}/{folder}")).into_iter().take(512) {
            let Some(stem) = file.strip_suffix("_input") else { continue };
            let letters = stem.trim_end_matches(|c: char| c.is_ascii_digit());
            let Some((_, kind)) = SensorKind::ALL.iter().find(|(word, _)| *word == letters) else { continue };
            let label = root.text(&at(&format!("{stem}_label"))).filter(|label| !label.is_empty());
            let raw = root.text(&at(&file)).and_then(|text| text.parse().ok());
            out.push(Sensor {
                chip: chip.clone(),
                label: label.unwrap_or_else(|| stem.to_owned()),
                kind: *kind,
                raw,
            });
        }
    }
    out
}

/// Names of the zones whose energy the kernel counts.
pub fn energy_zones(root: &Root) -> Vec<String> {
    const BASE: &str = "sys/class/powercap";
    root.list(BASE)
        .into_iter()
        .take(64)
        .filter_map(|zone| root.text(&format!("{BASE}/{zone}/name")))
        .collect()
}
