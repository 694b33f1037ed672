//! Headings of a log's columns: a name, then a unit.

use quantity::dimension::{
    Dimension, DurationDim, EnergyDim, FrequencyDim, PowerDim, RatioDim, RotationSpeedDim, TemperatureDim,
    Unit,
};
use upgrade::proof::log::{Cores, Meter, Place, Share, Turning};

/// What a column holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Time,
    Temperature(Place),
    Power(Meter),
    /// Energy since some beginning; power is its slope.
    Energy,
    Clock(Cores),
    Turning(Turning),
    Share(Share),
    /// How often heat held a core down, since the system started.
    HeldTimes(u16),
    Work,
    Errors,
    Load,
}

/// A column that is read.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Heading {
    pub(super) kind: Kind,
    /// As the file writes it.
    pub(super) written: String,
    pub(super) unit: Unit,
    /// Units that a cell may name itself, and that a value may have been written in by mistake.
    pub(super) units: &'static [Unit],
    /// What a desktop computer's sensor can say, in SI.
    pub(super) plausible: (f64, f64),
    /// No unit was written, so the usual one is taken.
    pub(super) unit_taken: bool,
}

/// Another program's heading that stands for one of ours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mapping {
    /// Our heading, with or without a unit: `package °C`.
    pub ours: String,
    /// The file's heading.
    pub theirs: String,
}

impl core::str::FromStr for Mapping {
    type Err = String;

    /// `package °C=CPU temperature`: ours, an equals sign, theirs.
    fn from_str(text: &str) -> Result<Self, String> {
        let (ours, theirs) = text
            .split_once('=')
            .ok_or_else(|| format!("\"{text}\" has no equals sign: write OURS=THEIRS, as time=Zeit"))?;
        let (ours, theirs) = (ours.trim().to_owned(), theirs.trim().to_owned());
        if kind(&name_and_unit(&ours).0).is_none() {
            return Err(format!("\"{ours}\" is no column of a soak log: known are {}", NAMES.join(", ")));
        }
        Ok(Self { ours, theirs })
    }
}

/// Names of columns, for messages.
pub(super) const NAMES: [&str; 21] = [
    "time",
    "package",
    "core N",
    "stages",
    "board",
    "cooler",
    "case air",
    "room",
    "power",
    "wall",
    "energy",
    "clock",
    "fan N",
    "pump N",
    "busy",
    "held by WHAT",
    "core N held times",
    "waits for WHAT",
    "work",
    "errors",
    "load",
];

/// Headings of ours with their usual units, to choose from.
pub const OURS: [&str; 24] = [
    "time s",
    "package °C",
    "core 0 °C",
    "core 1 °C",
    "stages °C",
    "board °C",
    "cooler °C",
    "case air °C",
    "room °C",
    "power W",
    "wall W",
    "energy J",
    "clock MHz",
    "core 0 MHz",
    "fan 1 rpm",
    "pump 1 rpm",
    "busy %",
    "held by junction %",
    "held by power %",
    "held by current %",
    "held by stages %",
    "work 1/s",
    "errors",
    "load",
];

const PLAIN: Unit = Unit { symbols: &[""], factor: 1.0, offset: 0.0, printed: true };
const RATES: &[Unit] = &[
    Unit { symbols: &["1/s", "/s"], factor: 1.0, offset: 0.0, printed: true },
    Unit { symbols: &["k/s"], factor: 1e3, offset: 0.0, printed: false },
    Unit { symbols: &["M/s"], factor: 1e6, offset: 0.0, printed: false },
    Unit { symbols: &["G/s"], factor: 1e9, offset: 0.0, printed: false },
];

/// What a name means. `core 3` is a temperature or a clock: the unit tells.
fn kind(name: &str) -> Option<Kind> {
    let (first, number) = match name.rsplit_once(' ') {
        Some((first, last)) => (first, last.parse::<u16>().ok()),
        None => (name, None),
    };
    Some(match (name, first, number) {
        ("time", ..) => Kind::Time,
        ("package", ..) => Kind::Temperature(Place::Package),
        ("stages", ..) => Kind::Temperature(Place::Stages),
        ("board", ..) => Kind::Temperature(Place::Board),
        ("cooler", ..) => Kind::Temperature(Place::Cooler),
        ("case air", ..) => Kind::Temperature(Place::CaseAir),
        ("room", ..) => Kind::Temperature(Place::Room),
        ("power", ..) => Kind::Power(Meter::Package),
        ("wall", ..) => Kind::Power(Meter::Wall),
        ("energy", ..) => Kind::Energy,
        ("clock", ..) => Kind::Clock(Cores::All),
        ("fan", ..) => Kind::Turning(Turning::Fan(1)),
        ("pump", ..) => Kind::Turning(Turning::Pump(1)),
        ("busy", ..) => Kind::Share(Share::Busy),
        ("held by junction", ..) => Kind::Share(Share::HeldByJunction),
        ("held by power", ..) => Kind::Share(Share::HeldByPower),
        ("held by current", ..) => Kind::Share(Share::HeldByCurrent),
        ("held by stages", ..) => Kind::Share(Share::HeldByStages),
        ("waits for processor", ..) => Kind::Share(Share::WaitsForProcessor),
        ("waits for memory", ..) => Kind::Share(Share::WaitsForMemory),
        ("waits for disk", ..) => Kind::Share(Share::WaitsForDisk),
        ("work", ..) => Kind::Work,
        ("errors", ..) => Kind::Errors,
        ("load", ..) => Kind::Load,
        _ if name.ends_with(" held times") => {
            Kind::HeldTimes(name.strip_prefix("core ")?.strip_suffix(" held times")?.parse().ok()?)
        }
        (_, "core", Some(core)) => Kind::Temperature(Place::Core(core)),
        (_, "fan", Some(fan)) => Kind::Turning(Turning::Fan(fan)),
        (_, "pump", Some(pump)) => Kind::Turning(Turning::Pump(pump)),
        _ => return None,
    })
}

/// `package °C`, `package [°C]`, `package (°C)` taken apart; what is no unit of anything stays in the name.
fn name_and_unit(heading: &str) -> (String, String) {
    let heading = heading.trim();
    let known = |unit: &str| {
        !unit.is_empty()
            && (unit_of(RATES, unit).is_some()
                || [
                    DurationDim::UNITS,
                    TemperatureDim::UNITS,
                    PowerDim::UNITS,
                    EnergyDim::UNITS,
                    FrequencyDim::UNITS,
                    RotationSpeedDim::UNITS,
                    RatioDim::UNITS,
                ]
                .into_iter()
                .any(|units| unit_of(units, unit).is_some()))
    };
    // A blank first: in "work k/s" the stroke belongs to the unit.
    for sign in [' ', '[', '(', '/', ','] {
        let Some((name, last)) = heading.rsplit_once(sign) else { continue };
        let unit = last.trim().trim_matches(['[', ']', '(', ')']);
        if known(unit) {
            let name = name.trim().trim_end_matches(['[', '(', ',']).trim();
            return (name.to_owned(), unit.to_owned());
        }
    }
    (heading.to_owned(), String::new())
}

pub(super) fn unit_of(units: &'static [Unit], symbol: &str) -> Option<Unit> {
    units.iter().find(|unit| unit.symbols.contains(&symbol)).copied()
}

/// Why a heading is not read.
pub(super) enum NotRead {
    /// Nothing of ours: left out, since logs carry much else.
    Unknown,
    /// One of ours with a unit that it cannot have.
    Unit { unit: String, known: String },
}

/// What a heading means; another program's by the mapping.
pub(super) fn heading(written: &str, mapping: &[Mapping]) -> Result<Heading, NotRead> {
    let written = written.trim().trim_start_matches('\u{feff}');
    let (own_name, own_unit) = name_and_unit(written);
    let mapped = mapping.iter().find(|entry| entry.theirs == written || entry.theirs == own_name);
    let (name, unit) = match mapped {
        Some(entry) => {
            let (name, unit) = name_and_unit(&entry.ours);
            (name, if unit.is_empty() { own_unit } else { unit })
        }
        // The file's own heading of that name stands back where another one was mapped to it.
        None if mapping.iter().any(|entry| name_and_unit(&entry.ours).0 == own_name) => {
            return Err(NotRead::Unknown);
        }
        None => (own_name, own_unit),
    };
    let clock = unit_of(FrequencyDim::UNITS, &unit).is_some();
    let kind = match kind(&name) {
        Some(Kind::Temperature(Place::Core(core))) if clock => Kind::Clock(Cores::One(core)),
        Some(kind) => kind,
        None if matches!(unit.as_str(), "°C" | "degC") => Kind::Temperature(Place::Other(name)),
        None => return Err(NotRead::Unknown),
    };
    // The first unit is the usual one, which is taken where none is written.
    let (units, usual, plausible): (&'static [Unit], &str, (f64, f64)) = match &kind {
        Kind::Time => (DurationDim::UNITS, "s", (-1e12, 1e12)),
        Kind::Temperature(_) => (TemperatureDim::UNITS, "°C", (233.15, 423.15)),
        Kind::Power(_) => (PowerDim::UNITS, "W", (0.0, 3_000.0)),
        Kind::Energy => (EnergyDim::UNITS, "J", (0.0, 1e15)),
        Kind::Clock(_) => (FrequencyDim::UNITS, "MHz", (0.0, 2e10)),
        Kind::Turning(_) => (RotationSpeedDim::UNITS, "rpm", (0.0, 3_200.0)),
        Kind::Share(_) => (RatioDim::UNITS, "%", (-1e-9, 1.0 + 1e-6)),
        Kind::Work => (RATES, "1/s", (0.0, f64::MAX)),
        Kind::Errors | Kind::HeldTimes(_) => (&[PLAIN], "", (0.0, f64::MAX)),
        Kind::Load => (&[PLAIN], "", (0.0, 0.0)),
    };
    let unit_taken = unit.is_empty() && !usual.is_empty();
    let symbol = if unit.is_empty() { usual } else { unit.as_str() };
    let Some(found) = unit_of(units, symbol) else {
        let known: Vec<&str> = units.iter().filter_map(|unit| unit.symbols.first().copied()).collect();
        return Err(NotRead::Unit { unit, known: known.join(", ") });
    };
    Ok(Heading { kind, written: written.to_owned(), unit: found, units, plausible, unit_taken })
}

#[cfg(test)]
mod tests {
    use super::{Heading, Kind, Mapping, OURS, heading};
    use upgrade::proof::log::{Cores, Place};

    fn read(written: &str, mapping: &[&str]) -> Option<Heading> {
        let mapping: Vec<Mapping> = mapping.iter().map(|text| text.parse().unwrap()).collect();
        heading(written, &mapping).ok()
    }

    #[test]
    fn a_unit_tells_a_cores_clock_from_its_temperature() {
        assert_eq!(read("core 3 MHz", &[]).unwrap().kind, Kind::Clock(Cores::One(3)));
        assert_eq!(read("core 3 °C", &[]).unwrap().kind, Kind::Temperature(Place::Core(3)));
    }

    #[test]
    fn another_programs_heading_is_mapped_and_keeps_its_unit() {
        let time = read("Zeit [ms]", &["time=Zeit"]).unwrap();
        assert_eq!((time.kind, time.unit.factor, time.unit_taken), (Kind::Time, 1e-3, false));
        assert!(read("Zeit", &["time=Zeit"]).unwrap().unit_taken);
        assert_eq!(
            read("Sensor 7", &["package °C=Sensor 7"]).unwrap().kind,
            Kind::Temperature(Place::Package)
        );
    }

    #[test]
    fn every_heading_to_choose_from_is_one() {
        for ours in OURS {
            assert!(
                read("theirs", &[&format!("{ours}=theirs")]).is_some_and(|one| !one.unit_taken),
                "{ours}"
            );
        }
    }

    #[test]
    fn a_mapping_to_nothing_of_ours_is_refused() {
        assert!("tiem=Zeit".parse::<Mapping>().is_err());
        assert!("time".parse::<Mapping>().is_err());
    }
}
