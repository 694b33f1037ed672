//! Reads everything that was found, up to a hundred times a second: files stay open, nothing is allocated.

use crate::sensors::channel::Source;
use crate::sensors::counters::Counter;
use crate::sensors::find::{Found, PowerMeter, Thermometer};

/// What is made of a file's number.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// A value times a scale, in every row.
    Fast { scale: f64 },
    /// A value times a scale, ten times a second at most.
    Slow { scale: f64 },
    /// Microjoules, in every row: mean power, and energy since the beginning.
    Energy { counter: Counter },
    /// A power times a scale, in every row, added to the others with this column; none where one of them is not known.
    Power { scale: f64 },
    /// A counter of time: the share of the time since it was read last, the largest of all with this column.
    Share { counter: Counter, per_s: f64 },
    /// Busy and all ticks.
    Busy { last: Option<(i128, i128)> },
}

/// A file that is read.
#[derive(Debug)]
pub(crate) struct Reader {
    pub(crate) source: Source,
    pub(crate) kind: Kind,
    pub(crate) column: usize,
}

/// Most readings a second of what costs the kernel more than a register.
const SLOW_STEP_S: f64 = 0.1;

/// Reads rows.
#[derive(Debug)]
pub struct Sampler {
    headings: Vec<String>,
    thermometers: Vec<Thermometer>,
    meters: Vec<PowerMeter>,
    power_limit: Option<f64>,
    power_from: Option<String>,
    readers: Vec<Reader>,
    clocks: Vec<usize>,
    mean_clock: Option<usize>,
    energy: Option<(usize, usize)>,
    /// Column of the powers that are added up.
    powers: Option<usize>,
    slow_s: Option<f64>,
}

impl Sampler {
    /// A sampler of what was found.
    pub fn new(found: Found) -> Self {
        let place = |heading: &str| found.headings.iter().position(|known| known == heading);
        let energy = place("power W").zip(place("energy J"));
        let is_power = |one: &Reader| matches!(one.kind, Kind::Power { .. });
        let powers = place("power W").filter(|_| found.readers.iter().any(is_power));
        Self {
            energy,
            headings: found.headings,
            thermometers: found.thermometers,
            meters: found.meters,
            power_limit: found.power_limit,
            power_from: found.power_from,
            powers,
            readers: found.readers,
            clocks: found.clocks,
            mean_clock: found.mean_clock,
            slow_s: None,
        }
    }

    /// Headings of the columns, after the soak log's page.
    pub fn headings(&self) -> &[String] {
        &self.headings
    }

    /// Sensors of power, used or not.
    pub fn meters(&self) -> &[PowerMeter] {
        &self.meters
    }

    /// The thermometers.
    pub fn thermometers(&self) -> &[Thermometer] {
        &self.thermometers
    }

    /// The sustained power limit that the firmware has set, in watts.
    pub const fn power_limit(&self) -> Option<f64> {
        self.power_limit
    }

    /// What the processor's power is read from, in words.
    pub fn power_from(&self) -> Option<&str> {
        self.power_from.as_deref()
    }

    /// Reads a row at a time since the beginning; `row` is made as long as the headings.
    ///
    /// # Units
    /// Degrees Celsius, W, J, MHz, rpm, %; none where a value is not known, or is not read in this row.
    pub fn sample(&mut self, time_s: f64, row: &mut Vec<Option<f64>>) {
        row.clear();
        row.resize(self.headings.len(), None);
        let slow = self.slow_s.is_none_or(|last| time_s - last >= SLOW_STEP_S - 1e-4);
        if slow {
            self.slow_s = Some(time_s);
        }
        let (mut watts, mut joules, mut powers) = (Some(0.0), Some(0.0), Some(0.0));
        for reader in &mut self.readers {
            let Some(cell) = row.get_mut(reader.column) else { continue };
            match &mut reader.kind {
                Kind::Fast { scale } => *cell = reader.source.read().map(|raw| raw as f64 * *scale),
                Kind::Power { scale } => {
                    let read = reader.source.read().map(|raw| raw as f64 * *scale);
                    powers = powers.zip(read).map(|(sum, one)| sum + one);
                }
                Kind::Slow { scale } if slow => *cell = reader.source.read().map(|raw| raw as f64 * *scale),
                Kind::Energy { counter } => {
                    let raw = reader.source.read();
                    let rise = counter.rise(time_s, raw);
                    watts = watts.zip(rise).map(|(sum, rise)| sum + rise.by / rise.in_s * 1e-6);
                    joules = joules.zip(raw).map(|(sum, _)| sum + counter.total() * 1e-6);
                }
                Kind::Share { counter, per_s } if slow => {
                    let rise = counter.rise(time_s, reader.source.read());
                    let share = rise.map(|rise| (100.0 * rise.by / (rise.in_s * *per_s)).min(100.0));
                    *cell = share.map(|share| cell.map_or(share, |other| other.max(share))).or(*cell);
                }
                Kind::Busy { last } if slow => {
                    let now = reader.source.read().map(|raw| (raw >> 64, raw & i128::from(u64::MAX)));
                    if let (Some((busy, all)), Some((busy_then, all_then))) = (now, *last)
                        && all > all_then
                    {
                        let share = (busy - busy_then) as f64 / (all - all_then) as f64;
                        *cell = Some(100.0 * share.clamp(0.0, 1.0));
                    }
                    *last = now.or(*last);
                }
                Kind::Slow { .. } | Kind::Share { .. } | Kind::Busy { .. } => {}
            }
        }
        if let Some(cell) = self.powers.and_then(|column| row.get_mut(column)) {
            *cell = powers;
        }
        if let Some((power, energy)) = self.energy {
            if let Some(cell) = row.get_mut(power) {
                *cell = watts;
            }
            if let Some(cell) = row.get_mut(energy) {
                *cell = joules;
            }
        }
        if slow && let Some(column) = self.mean_clock {
            let clocks = self.clocks.iter().filter_map(|clock| row.get(*clock).copied().flatten());
            let (sum, count) = clocks.fold((0.0, 0), |(sum, count), clock| (sum + clock, count + 1));
            if let Some(cell) = row.get_mut(column) {
                *cell = (count > 0).then(|| sum / f64::from(count));
            }
        }
    }
}
