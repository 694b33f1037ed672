//! What a fit of the stations and what was known of them beforehand say together, and what a reading beside the log adds.

use physics::network::stations::{Prior, STATIONS, Station, Stations};
use physics::network::symmetric::solve;

/// The inverse of a symmetric matrix of the stations' size; none where it has none.
fn inverse(matrix: &[f64]) -> Option<Vec<f64>> {
    let mut out = vec![0.0; STATIONS * STATIONS];
    for column in 0..STATIONS {
        let mut unit = vec![0.0; STATIONS];
        unit[column] = 1.0;
        for (row, value) in solve(matrix.to_vec(), unit)?.into_iter().enumerate() {
            out[row * STATIONS + column] = value;
        }
    }
    Some(out)
}

fn times(matrix: &[f64], vector: &[f64]) -> Vec<f64> {
    matrix.chunks(STATIONS).map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum()).collect()
}

/// The stations where the log's own word counts for less, by as much as it leaves unexplained: what was known beforehand keeps its
/// word, and no station is less certain than it was before the log.
///
/// # Model
/// The fit's precision less that of the priors is the log's own; it is divided by the square of the misfit, and both are joined
/// again. Where the stations explain the log nothing changes.
///
/// # Source
/// Products of normal densities: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms, 2003, ch. 24; from memory. That a
/// likelihood which leaves too much is flattened by its misfit: common practice, no source.
pub fn tempered(found: Stations, priors: &[Prior; STATIONS]) -> Stations {
    let square = found.misfit.max(1.0).powi(2);
    let sharp: Vec<f64> = found.covariance.iter().map(|cell| cell / square).collect();
    let joined = || {
        let whole = inverse(&sharp)?;
        let middles: Vec<f64> = priors.iter().map(|prior| prior.middle.ln()).collect();
        let own = |place: usize| priors[place].spread.powi(-2);
        let told = times(&whole, &found.logs);
        let mut precision = vec![0.0; STATIONS * STATIONS];
        let mut pulled = vec![0.0; STATIONS];
        for row in 0..STATIONS {
            for column in 0..STATIONS {
                let known = if row == column { own(row) } else { 0.0 };
                let cell = row * STATIONS + column;
                precision[cell] = (whole[cell] - known) / square + known;
            }
            let known = own(row) * middles[row];
            pulled[row] = (told[row] - known) / square + known;
        }
        let covariance = inverse(&precision)?;
        let sound = (0..STATIONS).all(|place| {
            let variance = covariance[place * STATIONS + place];
            variance > 0.0 && variance.is_finite()
        });
        sound.then(|| (times(&covariance, &pulled), covariance))
    };
    match joined() {
        Some((logs, covariance)) => Stations { logs, covariance, ..found },
        None => found,
    }
}

/// Times alone tell the cooler from the case's air no better than this, by the spread of the logarithm of their ratio: what the case's metal
/// stores, how it hangs on its air, and what heat leaves by the board are not known well enough.
///
/// # Source
/// The scatter on the bench of machines drawn on their own (`docs/proof.md`), seeds 200 to 215 of the machines the reader was made with.
const SPLIT_SPREAD: f64 = 0.9;

/// The stations where nothing but times tells the cooler from the case's air: their sum stays as well known as it is, their ratio does not.
pub fn unsplit(found: Stations) -> Stations {
    let (sink, air) = (found.of(Station::Sink).0, found.of(Station::CaseAir).0);
    let whole = sink + air;
    if !(whole > 0.0 && whole.is_finite()) {
        return found;
    }
    // Along this way the sum stays: what the one gains the other loses.
    let way = |place: usize| match place {
        at if at == Station::Sink as usize => air / whole,
        at if at == Station::CaseAir as usize => -sink / whole,
        _ => 0.0,
    };
    let covariance = found
        .covariance
        .iter()
        .enumerate()
        .map(|(cell, value)| {
            value + SPLIT_SPREAD * SPLIT_SPREAD * way(cell / STATIONS) * way(cell % STATIONS)
        })
        .collect();
    Stations { covariance, ..found }
}

/// Logarithms of cooler and air whose ratio is as drawn and whose sum is that of the straight line through the estimates: far from the
/// estimates the sum of two logarithms' powers would run away.
pub fn with_sum(found: &Stations, (sink, air): (f64, f64)) -> (f64, f64) {
    let (sink_0, air_0) = (found.logs[Station::Sink as usize], found.logs[Station::CaseAir as usize]);
    let share = 1.0 / (1.0 + (air_0 - sink_0).exp());
    let sum = (sink_0.exp() + air_0.exp()).ln() + share * (sink - sink_0) + (1.0 - share) * (air - air_0);
    let ratio = air - sink;
    (sum - ratio.exp().ln_1p(), sum - (-ratio).exp().ln_1p())
}

/// The stations when one of them was read beside the log: its natural logarithm with its standard uncertainty.
///
/// # Source
/// Conditioning of a normal density on one reading, as above.
pub fn given(found: Stations, station: Station, log: f64, uncertainty: f64) -> Stations {
    let place = station as usize;
    let cell =
        |row: usize, column: usize| found.covariance.get(row * STATIONS + column).copied().unwrap_or(0.0);
    let whole = cell(place, place) + uncertainty * uncertainty;
    if !(whole > 0.0 && log.is_finite()) {
        return found;
    }
    let off = log - found.logs.get(place).copied().unwrap_or(log);
    let gain: Vec<f64> = (0..STATIONS).map(|row| cell(row, place) / whole).collect();
    let logs = found.logs.iter().zip(&gain).map(|(log, gain)| log + gain * off).collect();
    let covariance = (0..STATIONS * STATIONS)
        .map(|at| cell(at / STATIONS, at % STATIONS) - gain[at / STATIONS] * cell(place, at % STATIONS))
        .collect();
    Stations { logs, covariance, ..found }
}

#[cfg(test)]
mod tests {
    use physics::network::stations::{Prior, STATIONS, Station, Stations};

    use super::{SPLIT_SPREAD, given, tempered, unsplit, with_sum};

    const PRIORS: [Prior; STATIONS] = [Prior { middle: 1.0, spread: 0.5 }; STATIONS];

    fn found(misfit: f64) -> Stations {
        let mut covariance = vec![0.0; STATIONS * STATIONS];
        for place in 0..STATIONS {
            // The log alone knows each to 0.3: joined with 0.5 beforehand, by the precisions' sum.
            covariance[place * STATIONS + place] =
                misfit.max(1.0).powi(2) / (0.3_f64.powi(-2) + 0.5_f64.powi(-2));
        }
        let joined = 0.4 * 0.3_f64.powi(-2) / (0.3_f64.powi(-2) + 0.5_f64.powi(-2));
        Stations { logs: vec![joined; STATIONS], covariance, left_k: 0.0, misfit, curve: Vec::new() }
    }

    #[test]
    fn a_log_that_is_explained_keeps_its_word() {
        let plain = found(0.8);
        let out = tempered(plain.clone(), &PRIORS);
        for (one, other) in
            out.logs.iter().chain(&out.covariance).zip(plain.logs.iter().chain(&plain.covariance))
        {
            assert!((one - other).abs() < 1e-9);
        }
    }

    #[test]
    fn a_log_that_is_not_counts_for_less_and_never_for_worse_than_nothing() {
        // By hand: 0.3 widened threefold is 0.9; joined with 0.5 about zero the middle is 0.4 * 0.9^-2 / (0.9^-2 + 0.5^-2).
        let out = tempered(found(3.0), &PRIORS);
        let precision = 0.9_f64.powi(-2) + 0.5_f64.powi(-2);
        assert!((out.logs[0] - 0.4 * 0.9_f64.powi(-2) / precision).abs() < 1e-9, "{}", out.logs[0]);
        assert!((out.of(Station::Inner).1 - precision.powf(-0.5)).abs() < 1e-9);
        let (_, spread) = tempered(found(1e3), &PRIORS).of(Station::Paste);
        assert!((spread - 0.5).abs() < 1e-3, "{spread}");
    }

    #[test]
    fn cooler_and_air_keep_their_sum_and_lose_their_ratio() {
        let plain = found(0.5);
        let out = unsplit(plain.clone());
        let n = STATIONS;
        let (sink, air) = (Station::Sink as usize, Station::CaseAir as usize);
        // Both are equal here, so the sum's logarithm has half of each: by hand its variance is the same as before.
        let sum = |of: &Stations| {
            0.25 * (of.covariance[sink * n + sink] + of.covariance[air * n + air])
                + 0.5 * of.covariance[sink * n + air]
        };
        assert!((sum(&out) - sum(&plain)).abs() < 1e-12);
        let ratio = |of: &Stations| {
            of.covariance[sink * n + sink] + of.covariance[air * n + air]
                - 2.0 * of.covariance[sink * n + air]
        };
        assert!((ratio(&out) - ratio(&plain) - SPLIT_SPREAD.powi(2)).abs() < 1e-12);
        let (one, other) = with_sum(&plain, (plain.logs[sink] + 1.0, plain.logs[air] - 1.0));
        assert!((one.exp() + other.exp() - 2.0 * plain.logs[sink].exp()).abs() < 1e-9);
        assert!((one - other - 2.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_read_beside_the_log_moves_what_hangs_together_with_it() {
        let mut plain = found(1.0);
        let (sink, air) = (Station::Sink as usize, Station::CaseAir as usize);
        let variance = plain.covariance[sink * STATIONS + sink];
        // Their sum is known, not their parts.
        plain.covariance[sink * STATIONS + air] = -0.95 * variance;
        plain.covariance[air * STATIONS + sink] = -0.95 * variance;
        let out = given(plain.clone(), Station::CaseAir, plain.logs[air] + 0.2, 1e-3);
        assert!((out.logs[air] - plain.logs[air] - 0.2).abs() < 1e-3);
        assert!((out.logs[sink] - plain.logs[sink] + 0.19).abs() < 1e-3);
        assert!(out.of(Station::Sink).1 < 0.4 * plain.of(Station::Sink).1);
        assert_eq!(out.logs[Station::Paste as usize], plain.logs[Station::Paste as usize]);
    }
}
