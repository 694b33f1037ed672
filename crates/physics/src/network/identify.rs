//! From a step response to a network and its structure function.

use crate::dot::dot;
use crate::network::cauer::{Rung, from_foster};
use crate::network::foster::Term;
use crate::network::nonneg::{ROUNDING, nonneg_least_squares};
use crate::network::symmetric::solve;
use crate::refusal::{Refusal, positive, within};

/// An identified heat path.
#[derive(Debug, Clone, PartialEq)]
pub struct Identified {
    /// Exponentials, fastest first.
    pub terms: Vec<Term>,
    /// The ladder that has them.
    pub rungs: Vec<Rung>,
}

/// Time constants looked for in each decade.
const A_DECADE: f64 = 24.0;
/// How far beyond the first and last sample time constants are looked for, in decades.
const BEYOND: f64 = 0.7;
/// Terms with less than this share of the whole are rounding.
const LEAST_SHARE: f64 = 1e-7;

/// Identifies the network behind a step response: times in seconds, rises for one watt in kelvin.
///
/// # Model
/// The response as a sum of exponentials with non-negative resistances on a fine grid of time constants
/// (the discrete form of the time-constant spectrum behind JESD51-14); neighbours on the grid are one
/// time constant between them; Gauss-Newton steps move all of them to where the misfit is least; the
/// ladder follows from the inverse eigenvalue problem. Each sample weighs by its own size, so that the
/// small early rises, in which the chip shows, count like the late ones.
///
/// # Source
/// V. Szekely, T. Van Bien, Solid-State Electronics 31, 1988; JEDEC JESD51-14, 2010; non-negative
/// exponentials: C. L. Lawson, R. J. Hanson 1974.
///
/// # Errors
/// Fewer than eight samples, times that do not rise, or rises that are not above zero.
pub fn identify(samples: &[(f64, f64)]) -> Result<Identified, Refusal> {
    within("samples", samples.len() as f64, samples.len() >= 8, "eight or more")?;
    let mut before = 0.0;
    for (time, rise) in samples {
        within("time", *time, *time > before, "later than the sample before it")?;
        before = *time;
        positive("rise", *rise)?;
    }
    let largest = samples.iter().map(|(_, rise)| *rise).fold(0.0, f64::max);
    let weights: Vec<f64> = samples.iter().map(|(_, rise)| 1.0 / rise.max(1e-5 * largest)).collect();
    let first = samples.first().map_or(1.0, |(time, _)| time.log10()) - BEYOND;
    let last = samples.last().map_or(1.0, |(time, _)| time.log10()) + BEYOND;
    // At most some hundreds: a clock counts decades, not thousands of them.
    let count = (((last - first) * A_DECADE).ceil() as usize).clamp(8, 600);
    let grid: Vec<f64> =
        (0..=count).map(|idx| 10_f64.powf(first + (last - first) * idx as f64 / count as f64)).collect();
    let columns: Vec<Vec<f64>> = grid
        .iter()
        .map(|tau| {
            samples.iter().zip(&weights).map(|((time, _), weight)| weight * rise(*time, *tau)).collect()
        })
        .collect();
    let target: Vec<f64> = samples.iter().zip(&weights).map(|((_, rise), weight)| rise * weight).collect();
    let found = nonneg_least_squares(&columns, &target, ROUNDING * dot(&target, &target).sqrt());
    let mut terms = merged(&grid, &found, LEAST_SHARE * largest);
    refine(&mut terms, samples, &weights);
    terms.sort_by(|a, b| a.time_constant_s.total_cmp(&b.time_constant_s));
    let rungs = from_foster(&terms)?;
    Ok(Identified { terms, rungs })
}

fn rise(time_s: f64, tau_s: f64) -> f64 {
    -(-time_s / tau_s).exp_m1()
}

/// Neighbours on the grid as one term: resistances added, time constants averaged by them.
fn merged(grid: &[f64], found: &[f64], least: f64) -> Vec<Term> {
    let mut terms: Vec<Term> = Vec::new();
    let mut last_idx = usize::MAX;
    for (idx, (tau, resistance)) in grid.iter().zip(found).enumerate() {
        if *resistance <= least {
            continue;
        }
        match terms.last_mut() {
            Some(term) if last_idx != usize::MAX && idx - last_idx <= 1 => {
                let total = term.resistance_k_w + resistance;
                let log = (term.time_constant_s.ln() * term.resistance_k_w + tau.ln() * resistance) / total;
                *term = Term { resistance_k_w: total, time_constant_s: log.exp() };
            }
            _ => terms.push(Term { resistance_k_w: *resistance, time_constant_s: *tau }),
        }
        last_idx = idx;
    }
    terms
}

/// Moves resistances and time constants, both by their logarithms, to the least misfit.
fn refine(terms: &mut Vec<Term>, samples: &[(f64, f64)], weights: &[f64]) {
    let misfit = |terms: &[Term]| -> f64 {
        samples
            .iter()
            .zip(weights)
            .map(|((time, measured), weight)| {
                let model: f64 =
                    terms.iter().map(|term| term.resistance_k_w * rise(*time, term.time_constant_s)).sum();
                (weight * (measured - model)).powi(2)
            })
            .sum()
    };
    let mut here = misfit(terms);
    let mut damping = 1e-4;
    for _ in 0..60 {
        let size = 2 * terms.len();
        let mut normal = vec![0.0; size * size];
        let mut right = vec![0.0; size];
        for ((time, measured), weight) in samples.iter().zip(weights) {
            let mut row = Vec::with_capacity(size);
            let mut model = 0.0;
            for term in terms.iter() {
                let x = time / term.time_constant_s;
                let part = term.resistance_k_w * rise(*time, term.time_constant_s);
                model += part;
                row.push(weight * part);
                row.push(-weight * term.resistance_k_w * x * (-x).exp());
            }
            let left = weight * (measured - model);
            for (i, a) in row.iter().enumerate() {
                right[i] += a * left;
                for (cell, b) in normal[i * size..(i + 1) * size].iter_mut().zip(&row) {
                    *cell += a * b;
                }
            }
        }
        let mut improved = false;
        for _ in 0..12 {
            let mut damped = normal.clone();
            for cell in damped.iter_mut().step_by(size + 1) {
                *cell = *cell * (1.0 + damping) + 1e-30;
            }
            let Some(step) = solve(damped, right.clone()) else { break };
            let moved: Vec<Term> = terms
                .iter()
                .zip(step.chunks(2))
                .map(|(term, step)| Term {
                    resistance_k_w: term.resistance_k_w * step[0].clamp(-1.0, 1.0).exp(),
                    time_constant_s: term.time_constant_s * step[1].clamp(-1.0, 1.0).exp(),
                })
                .collect();
            let there = misfit(&moved);
            if there < here {
                improved = there < here * (1.0 - 1e-9);
                *terms = moved;
                here = there;
                damping = (damping * 0.1).max(1e-12);
                break;
            }
            damping *= 10.0;
        }
        if !improved {
            break;
        }
    }
}

impl Identified {
    /// Resistance from the heated node to the air.
    pub fn total_resistance_k_w(&self) -> f64 {
        self.terms.iter().map(|term| term.resistance_k_w).sum()
    }

    /// Capacitance met up to a resistance from the heated node, the ladder read as lumps: each capacitance
    /// stands at the start of its resistance.
    pub fn capacitance_at_j_k(&self, resistance_k_w: f64) -> f64 {
        let mut passed = 0.0;
        let mut sum = 0.0;
        for rung in &self.rungs {
            if passed > resistance_k_w {
                break;
            }
            sum += rung.capacitance_j_k;
            passed += rung.resistance_k_w;
        }
        sum
    }
}
