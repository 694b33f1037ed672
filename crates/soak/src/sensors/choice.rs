//! Which of a machine's temperature sensors are the processor's, and what the others are.
//!
//! Drivers' names and labels are the kernel's; what they mean is in its documentation of hardware monitoring.

use core::str::FromStr;

/// A person's word on what a sensor is: `package=lm75/temp1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What it is: a name of the soak log's temperatures.
    pub place: String,
    /// The chip.
    pub chip: String,
    /// The sensor's label, or the kernel's name of it.
    pub sensor: String,
}

/// What a sensor may be besides `core N`.
pub const PLACES: [&str; 6] = ["package", "stages", "board", "cooler", "case air", "room"];

impl FromStr for Choice {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" names no sensor: write PLACE=CHIP/SENSOR, as package=chip/temp1");
        let (place, sensor) = text.split_once('=').ok_or_else(wrong)?;
        let (chip, sensor) = sensor.split_once('/').ok_or_else(wrong)?;
        let place = place.trim();
        let is_core = place.strip_prefix("core ").is_some_and(|number| number.parse::<u16>().is_ok());
        if !is_core && !PLACES.contains(&place) {
            return Err(format!(
                "\"{place}\" is no place of a sensor: known are {}, core N",
                PLACES.join(", ")
            ));
        }
        Ok(Self { place: place.to_owned(), chip: chip.trim().to_owned(), sensor: sensor.trim().to_owned() })
    }
}

/// Whether a place is the processor's own, so that a run is safe under its watch.
pub fn is_processor(place: &str) -> bool {
    place == "package" || place.strip_prefix("core ").is_some_and(|number| number.parse::<u16>().is_ok())
}

/// Drivers that read the processor's own sensors.
const PROCESSOR_DRIVERS: [&str; 5] = [
    "coretemp",     // names: interface
    "k10temp",      // names: interface
    "zenpower",     // names: interface
    "cpu_thermal",  // names: interface
    "scpi_sensors", // names: interface
];

/// What a sensor is, as far as its driver and label tell; none where they do not.
///
/// # Source
/// Linux kernel, Documentation/hwmon: each driver's page lists its labels.
pub fn place(chip: &str, stem: &str, label: Option<&str>, choices: &[Choice]) -> Option<String> {
    let is_it = |choice: &&Choice| {
        choice.chip == chip && (choice.sensor == stem || Some(choice.sensor.as_str()) == label)
    };
    if let Some(choice) = choices.iter().find(is_it) {
        return Some(choice.place.clone());
    }
    let label = label.unwrap_or("").to_ascii_lowercase();
    if PROCESSOR_DRIVERS.contains(&chip) {
        if let Some(core) = label.strip_prefix("core ").and_then(|number| number.parse::<u16>().ok()) {
            return Some(format!("core {core}"));
        }
        // A die's own reading wins over one that has an offset for the fan's sake; the caller keeps the first.
        let whole = label.starts_with("package") || label == "tdie" || label == "tctl" || label.is_empty();
        return whole.then(|| "package".to_owned());
    }
    let has = |words: &[&str]| words.iter().any(|word| label.contains(word));
    if has(&["vrm", "mos"]) {
        return Some("stages".to_owned());
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{Choice, place};

    fn check(chip: &str, label: &str, choices: &[&str], want: Option<&str>) {
        let choices: Vec<Choice> = choices.iter().map(|text| text.parse().unwrap()).collect();
        let label = (!label.is_empty()).then_some(label);
        assert_eq!(place(chip, "temp1", label, &choices).as_deref(), want, "{chip} {label:?}");
    }

    #[test]
    fn the_processors_own_sensors_are_known() {
        check("coretemp", "Package id 0", &[], Some("package")); // names: interface
        check("coretemp", "Core 12", &[], Some("core 12")); // names: interface
        check("k10temp", "Tctl", &[], Some("package")); // names: interface
        check("k10temp", "Tccd1", &[], None); // names: interface
        check("board", "VRM MOS", &[], Some("stages"));
        check("drive", "Composite", &[], None);
    }

    #[test]
    fn a_persons_word_wins() {
        check("lm75", "", &["package=lm75/temp1"], Some("package"));
        check("board", "SYS", &["case air=board/SYS"], Some("case air"));
        assert!("pakage=lm75/temp1".parse::<Choice>().is_err());
        assert!("package=lm75".parse::<Choice>().is_err());
    }
}
