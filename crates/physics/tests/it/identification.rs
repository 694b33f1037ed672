//! Identification from records: exact layered columns, coarse sensors, powers that are no ideal step, and what it
//! refuses to say.

use physics::network::layers::{Layer, answer_k_w, resistance_at_k_w};
use physics::network::path::{Bands, HeatPathFound, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use physics::refusal::Refusal;

use crate::layered_kind::{Numbers, column, held, largest_error, whole};
use crate::layered_truth::{Noise, STACKS, step, terms};

const NO_BANDS: Bands = Bands { resamples: 0, seed: 1 };

fn found(
    [times_s, temperatures_c, powers_w]: &[Vec<f64>; 3],
    air: &Air,
    bands: &Bands,
) -> Result<HeatPathFound, Refusal> {
    let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
    identify(&record, air, bands)
}

const STILL: Air = Air { temperature_c: Some((25.0, 0.01)), drift_k: 1e-3 };

/// Asked of a record of 100,000 rows; the published package reaches 12 % on such columns (see the benches).
const CURVE_SHARE: f64 = 0.04;
const ROWS: usize = 100_000;

/// Error of the whole and largest error of the curve, as shares of the whole.
fn errors(stack: &[(f64, f64)], seed: u64) -> Result<(f64, f64), Refusal> {
    let found = found(&step(stack, ROWS, 0.1, seed), &STILL, &NO_BANDS)?;
    let error = largest_error(stack, |c| resistance_at_k_w(&found.layers, c));
    Ok((found.total_k_w / whole(stack) - 1.0, error))
}

#[test]
fn the_structure_function_of_layered_columns_is_found_in_any_draw_of_the_noise() {
    for (place, stack) in STACKS.iter().enumerate() {
        for seed in 1..=5 {
            let (total, error) = errors(stack, seed).unwrap();
            assert!(total.abs() < 1e-3, "{place} {seed}: {total}");
            assert!(error < CURVE_SHARE, "stack {place}, draw {seed}: {:.1} %", 100.0 * error);
        }
    }
}

/// Of two dozen other columns one may be further off: there the record tells two paths apart by less than its noise.
const FURTHER_OFF: usize = 1;

#[test]
fn other_columns_of_the_kind_are_found_too() {
    let mut numbers = Numbers(2026);
    let mut further = Vec::new();
    let columns = 24;
    for seed in 1..=columns {
        let stack = column(&mut numbers);
        let (total, error) = errors(&stack, seed).unwrap();
        assert!(total.abs() < 2e-3, "{seed}: {total}");
        if error >= CURVE_SHARE {
            further.push((seed, error));
        }
    }
    assert!(further.len() <= FURTHER_OFF, "{further:?}");
    assert!(further.iter().all(|(_, error)| *error < 0.1), "{further:?}");
}

/// Of the points of true curves the bands, made for nine in ten, hold at least so many in a hundred.
const HELD: usize = 80;

#[test]
fn bands_hold_what_they_say() {
    let mut numbers = Numbers(77);
    let bands = Bands { resamples: 40, seed: 1 };
    let columns = 12;
    let mut held_points = 0;
    for seed in 1..=columns {
        let stack = column(&mut numbers);
        let found = found(&step(&stack, 20_000, 0.1, seed), &STILL, &bands).unwrap();
        held_points += held(&stack, &found.curve);
    }
    assert!(held_points > HELD * 12, "{held_points} of {}", columns * 100);
}

#[test]
fn a_single_layer_answers_as_the_slab_does() {
    // Carslaw and Jaeger: a slab over a face of fixed temperature answers R tanh(a)/a, a = sqrt(s R C).
    let layer = Layer { resistance_k_w: 0.2, capacitance_j_k: 30.0 };
    for rate in [1e-3, 0.1, 10.0] {
        let a = (rate * 0.2 * 30.0_f64).sqrt();
        let z = answer_k_w(&[layer], rate, &mut [[0.0; 2]; 1]);
        assert!((z - 0.2 * a.tanh() / a).abs() < 1e-12);
    }
}

#[test]
fn slopes_are_those_of_finite_differences() {
    let layers: Vec<Layer> = [(0.05, 0.1), (0.02, 12.0), (0.2, 1.0)]
        .map(|(resistance_k_w, capacitance_j_k)| Layer { resistance_k_w, capacitance_j_k })
        .to_vec();
    for rate in [0.01, 1.0, 50.0] {
        let mut slopes = [[0.0; 2]; 3];
        let z = answer_k_w(&layers, rate, &mut slopes);
        for (idx, slope) in slopes.iter().enumerate() {
            let step = 1e-6_f64;
            let mut one = layers.clone();
            one[idx].resistance_k_w *= step.exp();
            let mut other = layers.clone();
            other[idx].capacitance_j_k *= step.exp();
            let mut unused = [[0.0; 2]; 3];
            let by_r = (answer_k_w(&one, rate, &mut unused) - z) / step;
            let by_c = (answer_k_w(&other, rate, &mut unused) - z) / step;
            assert!((by_r - slope[0]).abs() < 1e-6 * z && (by_c - slope[1]).abs() < 1e-6 * z, "{rate} {idx}");
        }
    }
}

/// A machine's own log: two minutes at rest, a ramp of two seconds to full power, ten minutes, ten minutes at rest; two
/// rows a second, whole kelvins, the room warming by 1.5 K.
fn coarse_log(stack: &[(f64, f64)]) -> [Vec<f64>; 3] {
    let terms = terms(stack);
    let mut states = vec![8.0; terms.len()];
    let mut noise = Noise(3);
    let mut out = [Vec::new(), Vec::new(), Vec::new()];
    for row in 1..=2640 {
        let time = f64::from(row) * 0.5;
        let power = match time {
            t if t <= 120.0 => 8.0,
            t if t <= 122.0 => 8.0 + 92.0 * (t - 120.0) / 2.0,
            t if t <= 722.0 => 100.0 + noise.next(1.0),
            _ => 8.0,
        };
        let mut rise = 0.0;
        for (state, term) in states.iter_mut().zip(&terms) {
            *state = power + (*state - power) * (-0.5 / term.time_constant_s).exp();
            rise += term.resistance_k_w * *state;
        }
        out[0].push(time);
        out[1].push((25.0 + 1.5 * time / 1320.0 + rise + noise.next(0.15)).round());
        out[2].push(power);
    }
    out
}

#[test]
fn whole_kelvins_a_ramp_and_a_drifting_room_leave_the_whole_within_three_per_cent() {
    for stack in STACKS {
        let log = coarse_log(stack);
        let [times_s, temperatures_c, powers_w] = &log;
        let record = Record { begins_s: 0.0, power_before_w: 8.0, times_s, temperatures_c, powers_w };
        let found = identify(&record, &Air { temperature_c: None, drift_k: 2.0 }, &NO_BANDS).unwrap();
        let total: f64 = stack.iter().map(|layer| layer.0).sum();
        assert!((found.total_k_w / total - 1.0).abs() < 0.03, "{} of {total}", found.total_k_w);
        assert_eq!(found.step_k, 1.0);
        // Half a second sees nothing of the die: that much is said to be unknown.
        assert!(found.too_fast_k_w > 0.5 * stack[0].0, "{}", found.too_fast_k_w);
    }
}

#[test]
fn bands_hold_the_truth_and_follow_the_seed() {
    let stack = STACKS[1];
    let log = step(stack, 3_000, 0.3, 1);
    let bands = Bands { resamples: 30, seed: 7 };
    let one = found(&log, &STILL, &bands).unwrap();
    assert_eq!(one, found(&log, &STILL, &bands).unwrap());
    let total: f64 = stack.iter().map(|layer| layer.0).sum();
    let (low, high) = one.total_band_k_w;
    assert!(low <= high && low < total * 1.002 && high > total * 0.998, "{low} {total} {high}");
    assert!(
        one.curve.iter().all(|at| at.band_k_w.0 <= at.resistance_k_w && at.resistance_k_w <= at.band_k_w.1)
    );
    assert!(one.curve.iter().any(|at| at.band_k_w.1 - at.band_k_w.0 > 1e-4));
}

#[test]
fn air_that_nothing_tells_is_no_guess() {
    let [times_s, temperatures_c, powers_w] = &step(STACKS[0], 2_000, 0.1, 1);
    let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
    let air = Air { temperature_c: None, drift_k: 1.0 };
    let refusal = identify(&record, &air, &NO_BANDS).unwrap_err();
    assert!(refusal.to_string().contains("rest"), "{refusal}");
}

#[test]
fn records_that_tell_nothing_are_refused() {
    let times: Vec<f64> = (1..40).map(f64::from).collect();
    let flat = vec![30.0; 39];
    let powers = vec![0.0; 39];
    let try_with = |times_s: &[f64], powers_w: &[f64]| {
        let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c: &flat, powers_w };
        identify(&record, &STILL, &NO_BANDS)
    };
    assert!(try_with(&times, &powers).is_err());
    assert!(try_with(&times[..5], &powers).is_err());
    let mut back = times.clone();
    back[20] = 3.0;
    assert!(try_with(&back, &vec![10.0; 39]).is_err());
    assert!(try_with(&times, &vec![f64::NAN; 39]).is_err());
}
