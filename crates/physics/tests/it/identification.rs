//! Identification from records: exact layered columns, coarse sensors, powers that are no ideal step, and what it
//! refuses to say.

use physics::network::layers::{Layer, answer_k_w, resistance_at_k_w};
use physics::network::path::{Bands, HeatPathFound, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use physics::refusal::Refusal;

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

/// Largest distance of a found structure function from the true one along the resistance, as a share of the whole.
/// A capacitance is taken as met within 5 %: where the true curve stands upright, across a joint that stores nothing,
/// no finite record tells on which side of it a capacitance lies.
fn largest_error(stack: &[(f64, f64)], found: impl Fn(f64) -> f64) -> f64 {
    let mut corners = vec![(0.0, 0.0)];
    let mut at = (0.0, 0.0);
    for (resistance, capacitance) in stack.iter().filter(|layer| layer.1 > 0.0) {
        at = (at.0 + resistance, at.1 + capacitance);
        corners.push(at);
    }
    let total: f64 = stack.iter().map(|layer| layer.0).sum();
    let (first, last) = (0.2 * corners[1].1, 0.98 * at.1);
    (0..400)
        .map(|idx| {
            let capacitance = first * (last / first).powf(f64::from(idx) / 399.0);
            let truth = corners.windows(2).find(|pair| capacitance <= pair[1].1).map_or(at.0, |pair| {
                let share = (capacitance - pair[0].1) / (pair[1].1 - pair[0].1);
                pair[0].0 + share * (pair[1].0 - pair[0].0)
            });
            let (low, high) = (found(0.95 * capacitance) - truth, found(1.05 * capacitance) - truth);
            low.max(-high).max(0.0) / total
        })
        .fold(0.0, f64::max)
}

const STILL: Air = Air { temperature_c: Some((25.0, 0.01)), drift_k: 1e-3 };

/// The published package reaches 12 % on such columns (see the benches); within 4 % here, and the whole within 0.1 %.
const CURVE_SHARE: f64 = 0.04;

#[test]
fn the_structure_function_of_layered_columns_is_found() {
    for (place, stack) in STACKS.iter().enumerate() {
        let found = found(&step(stack, 100_000, 0.1), &STILL, &NO_BANDS).unwrap();
        let total: f64 = stack.iter().map(|layer| layer.0).sum();
        assert!((found.total_k_w / total - 1.0).abs() < 1e-3, "{place}: {} of {total}", found.total_k_w);
        let error = largest_error(stack, |c| resistance_at_k_w(&found.layers, c));
        assert!(error < CURVE_SHARE, "stack {place}: {:.1} % {:?}", 100.0 * error, found.layers);
    }
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
    let log = step(stack, 3_000, 0.3);
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
    let [times_s, temperatures_c, powers_w] = &step(STACKS[0], 2_000, 0.1);
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
