//! Which of a machine's sensors of temperature and power are the processor's, and what the others are.
//!
//! Drivers' names and labels are the kernel's; what they mean is in its documentation of hardware monitoring.

use core::str::FromStr;

/// A person's word on what a sensor is: `package=lm75/temp1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What it is: a name of the soak log's temperatures or powers.
    pub place: String,
    /// The chip.
    pub chip: String,
    /// The sensor's label, or the kernel's name of it.
    pub sensor: String,
}

/// What a sensor of temperature may be besides `core N`.
pub const PLACES: [&str; 6] = ["package", "stages", "board", "cooler", "case air", "room"];
/// Powers: the processor's, and what comes from the wall.
const POWERS: [&str; 2] = ["power", "wall"];

impl Choice {
    /// Whether it names a sensor of power.
    pub fn is_power(&self) -> bool {
        POWERS.contains(&self.place.as_str())
    }

    /// The heading of its column.
    pub fn heading(&self) -> String {
        format!("{} {}", self.place, if self.is_power() { "W" } else { "°C" })
    }

    fn is_it(&self, chip: &str, stem: &str, label: Option<&str>) -> bool {
        self.chip == chip && (self.sensor == stem || Some(self.sensor.as_str()) == label)
    }
}

impl FromStr for Choice {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" names no sensor: write PLACE=CHIP/SENSOR, as package=chip/temp1");
        let (place, sensor) = text.split_once('=').ok_or_else(wrong)?;
        let (chip, sensor) = sensor.split_once('/').ok_or_else(wrong)?;
        let place = place.trim();
        let is_core = place.strip_prefix("core ").is_some_and(|number| number.parse::<u16>().is_ok());
        if !is_core && !PLACES.contains(&place) && !POWERS.contains(&place) {
            return Err(format!(
                "\"{place}\" is no place of a sensor: known are {}, core N for temperatures, {} for powers",
                PLACES.join(", "),
                POWERS.join(", ")
            ));
        }
        Ok(Self { place: place.to_owned(), chip: chip.trim().to_owned(), sensor: sensor.trim().to_owned() })
    }
}

/// Whether a place is the processor's own, so that a run is safe under its watch.
pub fn is_processor(place: &str) -> bool {
    place == "package" || place.strip_prefix("core ").is_some_and(|number| number.parse::<u16>().is_ok())
}

/// What a sensor of power measures: what a person says, else the processor's where its driver or label says so; none of others.
/// Where a person says which sensor has the processor's power, no other does.
///
/// # Source
/// Linux kernel, Documentation/hwmon: each driver's page lists its labels.
pub fn power_place<'c>(
    chip: &str,
    stem: &str,
    label: Option<&str>,
    choices: &'c [Choice],
) -> Option<&'c str> {
    let is_it = |choice: &&Choice| choice.is_power() && choice.is_it(chip, stem, label);
    if let Some(choice) = choices.iter().find(is_it) {
        return Some(&choice.place);
    }
    if choices.iter().any(|choice| choice.place == "power") {
        return None;
    }
    let label = label.unwrap_or("").to_ascii_lowercase();
    let of_processor = PROCESSOR_DRIVERS.contains(&chip)
        || label.split(|c: char| !c.is_ascii_alphanumeric()).any(|word| word == "cpu" || word == "package");
    of_processor.then_some("power")
}

/// Drivers that read the processor's own sensors.
const PROCESSOR_DRIVERS: [&str; 6] = [
    "fam15h_power", // names: interface
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
    let is_it = |choice: &&Choice| !choice.is_power() && choice.is_it(chip, stem, label);
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
    use super::{Choice, place, power_place};

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
    fn powers_are_told_from_temperatures() {
        let of = |chip: &str, label: &str, choices: &[&str]| {
            let choices: Vec<Choice> = choices.iter().map(|text| text.parse().unwrap()).collect();
            power_place(chip, "power1", (!label.is_empty()).then_some(label), &choices).map(str::to_owned)
        };
        assert_eq!(of("board", "CPU power", &[]).as_deref(), Some("power"));
        assert_eq!(of("fam15h_power", "", &[]).as_deref(), Some("power")); // names: interface
        assert_eq!(of("board", "IO power", &[]), None);
        assert_eq!(of("supply", "power total", &["wall=supply/power1"]).as_deref(), Some("wall"));
        assert_eq!(of("meter", "", &["power=meter/power1"]).as_deref(), Some("power"));
        // A person's word wins over a label, and a label's word is not for a temperature.
        assert_eq!(of("board", "CPU power", &["power=meter/power1"]), None);
        check("board", "CPU", &["power=board/CPU"], None);
    }

    #[test]
    fn a_persons_word_wins() {
        check("lm75", "", &["package=lm75/temp1"], Some("package"));
        check("board", "SYS", &["case air=board/SYS"], Some("case air"));
        assert!("pakage=lm75/temp1".parse::<Choice>().is_err());
        assert!("package=lm75".parse::<Choice>().is_err());
    }
}
