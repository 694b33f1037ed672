//! Nonlinear fits against certified answers.
//!
//! Source: NIST/ITL Statistical Reference Datasets, nonlinear regression (`reference/data/nist-regression.json` says how the
//! files were taken over); certified to eleven digits in extended precision, so independent of any double precision
//! fit. Tolerances as its users state them: four digits from the far start, six from the near one.

use physics::regression::least_squares::{End, least_squares};

/// A model: parameters and x to y.
type Model = fn(&[f64], f64) -> f64;

fn ratio(b: &[f64], x: f64) -> f64 {
    (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1.0 + x * (b[4] + x * (b[5] + x * b[6])))
}

const MODELS: [(&str, Model); 8] = [
    ("Misra1a", |b, x| b[0] * (1.0 - (-b[1] * x).exp())),
    ("DanWood", |b, x| b[0] * x.powf(b[1])),
    ("Chwirut2", |b, x| (-b[0] * x).exp() / (b[1] + b[2] * x)),
    ("Hahn1", ratio),
    ("MGH09", |b, x| b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3])),
    ("Thurber", ratio),
    ("Rat42", |b, x| b[0] / (1.0 + (b[1] - b[2] * x).exp())),
    ("Eckerle4", |b, x| b[0] / b[1] * (-0.5 * ((x - b[2]) / b[1]).powi(2)).exp()),
];

const END: End = End { most_steps: 2000, at_rest: 1e-14 };
const FAR: f64 = 1e-4;
const NEAR: f64 = 1e-6;

fn numbers(value: &serde_json::Value) -> Vec<f64> {
    value.as_array().into_iter().flatten().filter_map(serde_json::Value::as_f64).collect()
}

#[test]
fn certified_parameters_are_reached_from_both_starts() {
    let all: serde_json::Value =
        serde_json::from_str(include_str!("../../../../reference/data/nist-regression.json")).unwrap();
    let sets = all["datasets"].as_array().unwrap();
    assert_eq!(sets.len(), MODELS.len());
    for set in sets {
        let name = set["dataset"].as_str().unwrap();
        let (_, model) = MODELS.iter().find(|(known, _)| *known == name).unwrap();
        let (x, y, certified) = (numbers(&set["x"]), numbers(&set["y"]), numbers(&set["certified"]));
        for (start, tolerance) in set["starts"].as_array().unwrap().iter().zip([FAR, NEAR]) {
            let fit = least_squares(&numbers(start), END, |b| {
                x.iter().zip(&y).map(|(x, y)| model(b, *x) - y).collect()
            })
            .unwrap();
            for (found, expected) in fit.parameters.iter().zip(&certified) {
                let off = (found / expected - 1.0).abs();
                assert!(
                    off < tolerance,
                    "{name} from {start}: {found} is no {expected} after {} steps",
                    fit.steps
                );
            }
        }
    }
}
