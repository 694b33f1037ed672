//! Largest errors of the structure function over many draws of the noise and many columns:
//! `cargo run --release -p physics --example layered_draws -- DRAWS COLUMNS [SEED]` prints them for the four columns of the tests, over
//! DRAWS draws each, and for COLUMNS others of their kind, over three draws each, with how much of the true curves the bands
//! hold.

#![expect(
    clippy::disallowed_methods,
    reason = "a program of its own beside the pure crate: it takes its words"
)]

use core::error::Error;

use layered_kind::{Numbers, column, held, largest_error, whole};
use layered_truth::{STACKS, step};
use physics::network::layers::resistance_at_k_w;
use physics::network::path::{Bands, HeatPathFound, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use physics::refusal::Refusal;

#[path = "../tests/it/layered_kind.rs"]
mod layered_kind;
#[path = "../tests/it/layered_truth.rs"]
mod layered_truth;

const ROWS: usize = 100_000;
const NOISE_K: f64 = 0.1;
/// As the tests hold it.
const MOST: f64 = 0.04;
const DRAWS_OF_OTHERS: u64 = 3;

fn found(stack: &[(f64, f64)], seed: u64, bands: &Bands) -> Result<HeatPathFound, Refusal> {
    let air = Air { temperature_c: Some((25.0, 0.01)), drift_k: 1e-3 };
    let [times_s, temperatures_c, powers_w] = &step(stack, ROWS, NOISE_K, seed);
    let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
    identify(&record, &air, bands)
}

/// Median, nine in ten and largest, in percent, and how many are above what is asked.
fn said(mut errors: Vec<f64>) -> String {
    errors.sort_by(f64::total_cmp);
    let at = |share: f64| 100.0 * errors[((errors.len() - 1) as f64 * share).round() as usize];
    let above = errors.iter().filter(|error| **error >= MOST).count();
    format!(
        "median {:.2} %, nine in ten below {:.2} %, largest {:.2} %; {above} of {} not below 4 %",
        at(0.5),
        at(0.9),
        at(1.0),
        errors.len()
    )
}

fn main() -> Result<(), Box<dyn Error>> {
    let numbers: Vec<u64> = std::env::args().skip(1).map(|arg| arg.parse()).collect::<Result<_, _>>()?;
    let [draws, columns, rest @ ..] = numbers.as_slice() else {
        return Err("say how many draws and how many columns".into());
    };
    let none = Bands { resamples: 0, seed: 1 };
    let error = |stack: &[(f64, f64)], found: &HeatPathFound| {
        largest_error(stack, |capacitance| resistance_at_k_w(&found.layers, capacitance))
    };
    for (place, stack) in STACKS.iter().enumerate() {
        let errors = (1..=*draws)
            .map(|seed| Ok(error(stack, &found(stack, seed, &none)?)))
            .collect::<Result<Vec<f64>, Refusal>>()?;
        println!("column {place}: {}", said(errors));
    }
    let mut kind = Numbers(rest.first().copied().unwrap_or(2026));
    let bands = Bands { resamples: 50, seed: 1 };
    let (mut errors, mut points, mut wide) = (Vec::new(), 0, Vec::new());
    for place in 0..*columns {
        let stack = column(&mut kind);
        for seed in 1..=DRAWS_OF_OTHERS {
            let found = found(&stack, place * DRAWS_OF_OTHERS + seed, &bands)?;
            errors.push(error(&stack, &found));
            points += held(&stack, &found.curve);
            let width: f64 = found.curve.iter().map(|at| at.band_k_w.1 - at.band_k_w.0).sum();
            wide.push(width / found.curve.len() as f64 / whole(&stack));
        }
    }
    if !errors.is_empty() {
        println!("{columns} others: {}", said(errors.clone()));
        println!(
            "bands hold {:.1} % of the true curves and are {:.2} % of the whole wide on average",
            points as f64 / errors.len() as f64,
            100.0 * wide.iter().sum::<f64>() / wide.len() as f64
        );
    }
    Ok(())
}
