//! A soak log's values: tracks over common times, each cell known or not.

use quantity::dimension::{
    Duration, DurationDim, FrequencyDim, Power, PowerDim, RatioDim, RotationSpeedDim, Temperature,
    TemperatureDifference, TemperatureDim,
};
use quantity::measure::Quantity;
use quantity::reading::Figure;

/// Where a temperature is taken.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The hottest place of the processor, as it reports it.
    Package,
    /// One core, by its number.
    Core(u16),
    /// The power stages.
    Stages,
    /// The board.
    Board,
    /// The cooler's base.
    Cooler,
    /// The air in the case, where the cooler takes it.
    CaseAir,
    /// The room.
    Room,
    /// A sensor whose place the log does not say.
    Other(String),
}

/// Where power is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meter {
    /// The whole processor.
    Package,
    /// At the wall.
    Wall,
}

/// Whose clock it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cores {
    /// Mean of all.
    All,
    /// One core, by its number.
    One(u16),
}

/// What turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turning {
    /// A fan, by its number.
    Fan(u16),
    /// A pump, by its number.
    Pump(u16),
}

/// A share of the time between two rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Share {
    /// The cores were busy.
    Busy,
    /// The junction's limit held the clock down.
    HeldByJunction,
    /// A power limit held the clock down.
    HeldByPower,
    /// A current limit held the clock down.
    HeldByCurrent,
    /// The power stages' own warning held the clock down.
    HeldByStages,
    /// Some task waited for a processor.
    WaitsForProcessor,
    /// Some task waited for memory to be freed.
    WaitsForMemory,
    /// Some task waited for a disk.
    WaitsForDisk,
}

/// One column: a value for each time, where there is one.
#[derive(Debug, Clone, PartialEq)]
pub struct Track<K, D> {
    /// What it is of.
    pub what: K,
    /// Values, one for each time.
    pub values: Vec<Option<Quantity<D>>>,
}

/// What stands above the table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// The machine.
    pub machine: Option<String>,
    /// The load that ran.
    pub load: Option<String>,
    /// The room's temperature.
    pub room: Figure<TemperatureDim>,
    /// When it began, as written.
    pub start: Option<String>,
    /// The sustained power limit that the firmware had set.
    pub power_limit: Option<Power>,
    /// Air that the cooler takes, read by a thermometer at the end of the main load.
    pub case_air: Option<Temperature>,
    /// The step of the temperature sensors.
    pub sensor_step: Option<TemperatureDifference>,
    /// Whatever else is said, in the order of the file.
    pub other: Vec<(String, String)>,
}

/// A soak log. Every track is as long as `times`, which rise.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SoakLog {
    /// What stands above the table.
    pub about: About,
    /// Time of each row since the log began.
    pub times: Vec<Duration>,
    /// Temperatures.
    pub temperatures: Vec<Track<Place, TemperatureDim>>,
    /// Powers: mean since the row before.
    pub powers: Vec<Track<Meter, PowerDim>>,
    /// Clocks.
    pub clocks: Vec<Track<Cores, FrequencyDim>>,
    /// Fans and pumps.
    pub turning: Vec<Track<Turning, RotationSpeedDim>>,
    /// Shares of the time since the row before.
    pub shares: Vec<Track<Share, RatioDim>>,
    /// Name of the load in each row, as a place in `load_names`; empty where the log has no such column.
    pub loads: Vec<Option<u16>>,
    /// Names of loads.
    pub load_names: Vec<String>,
    /// Units of work done in a second, of the load that ran; empty where the log has no such column.
    pub work_per_s: Vec<Option<f64>>,
    /// Wrong results so far; empty where the log has no such column.
    pub errors: Vec<Option<f64>>,
    /// Headings of columns that are nothing of these, as the file writes them.
    pub unread: Vec<String>,
}

impl<K: PartialEq, D> Track<K, D> {
    /// The values of one of several tracks.
    pub fn of<'t>(tracks: &'t [Self], what: &K) -> Option<&'t [Option<Quantity<D>>]> {
        tracks.iter().find(|track| track.what == *what).map(|track| track.values.as_slice())
    }
}

impl SoakLog {
    /// The temperature that stands for the processor: the package's, else the hottest core of each row, else
    /// nothing.
    pub fn hottest(&self) -> Option<Vec<Option<Quantity<TemperatureDim>>>> {
        if let Some(package) = Track::of(&self.temperatures, &Place::Package) {
            return Some(package.to_vec());
        }
        let cores: Vec<_> =
            self.temperatures.iter().filter(|track| matches!(track.what, Place::Core(_))).collect();
        (!cores.is_empty()).then(|| {
            (0..self.times.len())
                .map(|row| {
                    cores
                        .iter()
                        .filter_map(|track| track.values.get(row).copied().flatten())
                        .max_by(Quantity::total_cmp)
                })
                .collect()
        })
    }

    /// The processor's power.
    pub fn power(&self) -> Option<&[Option<Quantity<PowerDim>>]> {
        Track::of(&self.powers, &Meter::Package)
    }

    /// How long it is.
    pub fn length(&self) -> Quantity<DurationDim> {
        match (self.times.first(), self.times.last()) {
            (Some(first), Some(last)) => *last - *first,
            _ => Quantity::from_si(0.0),
        }
    }
}
