//! A record of temperature and power, thinned to the bins that tell something.

use crate::refusal::{Refusal, not_negative, within};

/// A record: rows of time, temperature and power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record<'r> {
    /// When it begins, in seconds; the first row stands at this time or later.
    pub begins_s: f64,
    /// Power before it began, long enough that nothing moved, in watts.
    pub power_before_w: f64,
    /// Times in seconds, rising.
    pub times_s: &'r [f64],
    /// Temperatures in °C.
    pub temperatures_c: &'r [f64],
    /// Mean power since the row before, in watts.
    pub powers_w: &'r [f64],
}

/// Neighbouring rows at one power, as one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bin {
    /// Time since the bin before ended until this one ends, in seconds.
    pub length_s: f64,
    /// Mean time of its rows since the bin before ended, in seconds, and the variance of their times.
    pub mean_s: f64,
    /// Variance of the rows' times in square seconds.
    pub variance_s2: f64,
    /// Mean power in watts.
    pub power_w: f64,
    /// Mean temperature in °C.
    pub temperature_c: f64,
    /// Rows in it.
    pub rows: f64,
}

/// A record in bins, and what its sensor is like.
#[derive(Debug, Clone, PartialEq)]
pub struct Binned {
    /// Bins in the order of time.
    pub bins: Vec<Bin>,
    /// Scatter of one row about its neighbours, in kelvin.
    pub scatter_k: f64,
    /// Smallest step the sensor makes, in kelvin; zero where it shows none.
    pub step_k: f64,
    /// Shortest time from a change of power to the row after it, in seconds; the whole record where there is none.
    pub shortest_s: f64,
    /// From the first change of power to the end, in seconds.
    pub span_s: f64,
}

/// A change of power by this share of its whole range begins a new run.
const STEP_SHARE: f64 = 0.12;
/// A bin is as long as this share of the time since its run began.
const GROWTH: f64 = 0.1;

/// Thins a record.
///
/// # Model
/// Within a run of nearly equal power the temperature changes over times as long as the run has lasted, so
/// rows closer together than a tenth of that are averaged. A change of power begins a new run; a change that
/// takes several rows is several runs of one row each.
///
/// # Errors
/// Columns of unequal length, fewer than eight rows, times that do not rise, values that are not finite.
pub fn binned(record: &Record<'_>) -> Result<Binned, Refusal> {
    let rows = record.times_s.len();
    within("rows", rows as f64, rows >= 8, "eight or more")?;
    let equal = record.temperatures_c.len() == rows && record.powers_w.len() == rows;
    within("rows", rows as f64, equal, "as many in each column")?;
    not_negative("power before", record.power_before_w)?;
    let mut last = record.begins_s;
    let (mut low, mut high) = (record.power_before_w, record.power_before_w);
    for (idx, ((time, temperature), power)) in
        record.times_s.iter().zip(record.temperatures_c).zip(record.powers_w).enumerate()
    {
        let rises = *time > last || (idx == 0 && *time == last);
        within("time", *time, rises && time.is_finite(), "later than the row before")?;
        within("temperature", *temperature, temperature.is_finite(), "a number")?;
        not_negative("power", *power)?;
        last = *time;
        low = low.min(*power);
        high = high.max(*power);
    }
    let step_w = (STEP_SHARE * (high - low)).max(f64::MIN_POSITIVE);
    let mut bins = Vec::with_capacity(512);
    let mut run = Run { began_s: record.begins_s, power_w: record.power_before_w };
    let mut open = Open::at(record.begins_s);
    let mut before = record.begins_s;
    let mut first_change = None;
    let mut shortest = f64::INFINITY;
    for ((time, temperature), power) in record.times_s.iter().zip(record.temperatures_c).zip(record.powers_w)
    {
        let changed = (power - run.power_w).abs() > step_w;
        let full = open.rows > 0.0 && time - open.begins_s > GROWTH * (time - run.began_s);
        if changed || full {
            open.close(&mut bins);
            open = Open::at(before);
        }
        if changed {
            run = Run { began_s: before, power_w: *power };
            shortest = shortest.min(time - before);
            first_change.get_or_insert(before);
        }
        open.add(*time, *temperature, *power, time - before);
        before = *time;
    }
    open.close(&mut bins);
    Ok(Binned {
        scatter_k: scatter(record.temperatures_c),
        step_k: step(record.temperatures_c),
        shortest_s: shortest.min(before - record.begins_s).max(1e-9),
        span_s: before - first_change.unwrap_or(record.begins_s),
        bins,
    })
}

struct Run {
    began_s: f64,
    power_w: f64,
}

struct Open {
    begins_s: f64,
    ends_s: f64,
    rows: f64,
    time: f64,
    square: f64,
    temperature: f64,
    energy: f64,
}

impl Open {
    const fn at(begins_s: f64) -> Self {
        Self { begins_s, ends_s: begins_s, rows: 0.0, time: 0.0, square: 0.0, temperature: 0.0, energy: 0.0 }
    }

    fn add(&mut self, time: f64, temperature: f64, power: f64, long_s: f64) {
        let since = time - self.begins_s;
        self.rows += 1.0;
        self.time += since;
        self.square += since * since;
        self.temperature += temperature;
        self.energy += power * long_s;
        self.ends_s = time;
    }

    fn close(&self, bins: &mut Vec<Bin>) {
        if self.rows == 0.0 {
            return;
        }
        let length_s = self.ends_s - self.begins_s;
        let mean_s = self.time / self.rows;
        bins.push(Bin {
            length_s,
            mean_s,
            variance_s2: (self.square / self.rows - mean_s * mean_s).max(0.0),
            power_w: if length_s > 0.0 { self.energy / length_s } else { 0.0 },
            temperature_c: self.temperature / self.rows,
            rows: self.rows,
        });
    }
}

/// Scatter of one row, from the middle of what three neighbours are off a straight line.
fn scatter(values: &[f64]) -> f64 {
    // Some thousands of places spread over the record tell it as well as all of them.
    let stride = (values.len() / 4096).max(1);
    let mut off: Vec<f64> = values
        .windows(3)
        .step_by(stride)
        .filter_map(|three| match three {
            [a, b, c] => Some((a - 2.0 * b + c).abs()),
            _ => None,
        })
        .collect();
    let middle = off.len() / 2;
    if off.is_empty() {
        return 0.0;
    }
    let (_, median, _) = off.select_nth_unstable_by(middle, f64::total_cmp);
    // Six variances in a second difference; 0.6745 is the median of a normal deviate's size.
    *median / (0.6745 * 6.0_f64.sqrt())
}

/// The sensor's step: the smallest change there is, if most changes are whole multiples of it.
fn step(values: &[f64]) -> f64 {
    let stride = (values.len() / 4096).max(1);
    let changes: Vec<f64> = values
        .windows(2)
        .step_by(stride)
        .filter_map(|two| match two {
            [a, b] if a != b => Some((b - a).abs()),
            _ => None,
        })
        .collect();
    let least = changes.iter().copied().fold(f64::INFINITY, f64::min);
    let whole = changes.iter().filter(|change| {
        let times = *change / least;
        (times - times.round()).abs() < 0.02
    });
    let many = changes.len() >= 8 && whole.count() * 10 > changes.len() * 9;
    if many && least > 1e-4 { least } else { 0.0 }
}
