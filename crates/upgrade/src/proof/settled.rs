//! What a log says at the end of its main load, when everything has settled.

use core::ops::Range;

use quantity::dimension::{FrequencyDim, PowerDim, RatioDim, RotationSpeedDim, TemperatureDim};
use quantity::measure::Quantity;

use crate::proof::log::{Cores, Meter, Place, Share, SoakLog, Track, Turning};
use crate::proof::path::Estimate;
use crate::proof::still::living;
use crate::proof::stretch::outside_dips;

/// Share of the load's time that counts as settled, and the fewest rows of it.
const LAST_SHARE: f64 = 0.3;
const LEAST_ROWS: usize = 8;
/// Blocks whose means are compared: their scatter is the uncertainty.
const BLOCKS: usize = 6;

/// Rows at the end of a stretch in which everything has settled, without those in which the load dipped.
fn last_rows(log: &SoakLog, rows: &Range<usize>) -> Vec<usize> {
    let seconds = |row: usize| log.times.get(row).map_or(0.0, |time| time.si());
    let (first, last) = (seconds(rows.start), seconds(rows.end.saturating_sub(1)));
    let from_s = last - LAST_SHARE * (last - first);
    let from = rows.clone().find(|row| seconds(*row) >= from_s).unwrap_or(rows.start);
    let last = from.min(rows.end.saturating_sub(LEAST_ROWS)).max(rows.start)..rows.end;
    let steady = outside_dips(log, &last);
    // Where it dips all the time, what is left is no worse than the rest.
    if steady.len() < LEAST_ROWS { last.collect() } else { steady }
}

/// Mean of a track over rows, with the uncertainty that its blocks and its steps leave.
fn mean<D>(values: Option<&[Option<Quantity<D>>]>, rows: &[usize]) -> Option<Estimate<D>> {
    let values = values?;
    let known: Vec<f64> = rows
        .iter()
        .filter_map(|row| values.get(*row).copied().flatten())
        .map(|value| value.si())
        .filter(|value| value.is_finite())
        .collect();
    if known.len() * 2 < rows.len() || known.is_empty() {
        return None;
    }
    let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len().max(1) as f64;
    let whole = mean(&known);
    let size = known.len().div_ceil(BLOCKS);
    let blocks: Vec<f64> = known.chunks(size).map(mean).collect();
    let count = blocks.len() as f64;
    let between = blocks.iter().map(|block| (block - whole).powi(2)).sum::<f64>() / count.max(1.0);
    let by_blocks = (between / (count - 1.0).max(1.0)).sqrt();
    // A sensor with steps repeats its fault while what it measures stands still.
    let step = least_step(&known);
    Some(Estimate::of_si(whole, by_blocks.hypot(0.2 * step)))
}

fn least_step(values: &[f64]) -> f64 {
    let steps = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).filter(|step| *step > 1e-9);
    let least = steps.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

/// Everything that has settled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settled {
    /// Processor's temperature.
    pub junction: Option<Estimate<TemperatureDim>>,
    /// Air that the cooler takes.
    pub case_air: Option<Estimate<TemperatureDim>>,
    /// Room.
    pub room: Option<Estimate<TemperatureDim>>,
    /// Power stages.
    pub stages: Option<Estimate<TemperatureDim>>,
    /// Processor's power.
    pub power: Option<Estimate<PowerDim>>,
    /// Power from the wall.
    pub wall: Option<Estimate<PowerDim>>,
    /// Mean clock of all cores.
    pub clock: Option<Estimate<FrequencyDim>>,
    /// The cooler's fan.
    pub fan: Option<Estimate<RotationSpeedDim>>,
    /// The pump.
    pub pump: Option<Estimate<RotationSpeedDim>>,
    /// Shares of the time for which something held the clock down.
    pub held: Vec<(Share, Estimate<RatioDim>)>,
    /// Temperatures of single cores, by their numbers.
    pub cores: Vec<(u16, Estimate<TemperatureDim>)>,
    /// Work done in a second.
    pub work_per_s: Option<(f64, f64)>,
}

/// What has settled at the end of some rows.
pub fn settled(log: &SoakLog, stretch: &Range<usize>) -> Settled {
    let rows = last_rows(log, stretch);
    let place = |place: &Place| mean(Track::of(&log.temperatures, place), &rows);
    let turning = |what: &Turning| mean(Track::of(&log.turning, what), &rows);
    let clock = mean(Track::of(&log.clocks, &Cores::All), &rows).or_else(|| {
        let single: Vec<_> = log
            .clocks
            .iter()
            .filter(|track| matches!(track.what, Cores::One(_)))
            .filter_map(|track| mean(Some(&track.values), &rows))
            .collect();
        let count = single.len() as f64;
        (!single.is_empty()).then(|| {
            let sum: f64 = single.iter().map(|one| one.value.si()).sum();
            let spread: f64 = single.iter().map(|one| one.uncertainty_si().powi(2)).sum::<f64>().sqrt();
            Estimate::of_si(sum / count, spread / count)
        })
    });
    let held = [Share::HeldByJunction, Share::HeldByPower, Share::HeldByCurrent, Share::HeldByStages]
        .into_iter()
        .filter_map(|share| Some((share, mean(Track::of(&log.shares, &share), &rows)?)))
        .collect();
    let cores = log
        .temperatures
        .iter()
        .filter_map(|track| match track.what {
            Place::Core(core) => Some((core, mean(Some(&living(log, &track.values)), &rows)?)),
            _ => None,
        })
        .collect();
    let hottest = log.hottest().map(|hottest| living(log, &hottest));
    Settled {
        junction: mean(hottest.as_deref(), &rows),
        case_air: place(&Place::CaseAir),
        room: place(&Place::Room),
        stages: place(&Place::Stages),
        power: mean(log.power(), &rows),
        wall: mean(Track::of(&log.powers, &Meter::Wall), &rows),
        clock,
        fan: turning(&Turning::Fan(1)),
        pump: turning(&Turning::Pump(1)),
        held,
        cores,
        work_per_s: work(log, &rows),
    }
}

/// Mean work in a second and its standard uncertainty.
fn work(log: &SoakLog, rows: &[usize]) -> Option<(f64, f64)> {
    let values: Vec<Option<Quantity<RatioDim>>> =
        log.work_per_s.iter().map(|value| value.map(Quantity::from_si)).collect();
    let found = mean(Some(&values), rows)?;
    (found.value.si() > 0.0).then(|| (found.value.si(), found.uncertainty_si()))
}
