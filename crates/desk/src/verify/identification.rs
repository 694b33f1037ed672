//! Models of the topic `identification`.

use physics::network::identify::{Identified, identify};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "identify_step_response", run: step_response },
    Model { name: "identify_layered_column", run: layered_column },
];

/// The first two columns of a CSV file with a heading.
fn curve(inputs: &Inputs<'_>) -> Result<Vec<(f64, f64)>, ModelError> {
    let bytes = inputs.file("curve_csv")?;
    let text = core::str::from_utf8(&bytes).map_err(|error| ModelError::Refused(error.to_string()))?;
    let mut samples = Vec::new();
    for (line, number) in text.lines().zip(1..).skip(1).filter(|(line, _)| !line.trim().is_empty()) {
        let mut cells = line.split(',').map(|cell| cell.trim().parse::<f64>());
        match (cells.next(), cells.next()) {
            (Some(Ok(time)), Some(Ok(rise))) => samples.push((time, rise)),
            _ => return Err(ModelError::Refused(format!("line {number} of the curve has no two numbers"))),
        }
    }
    Ok(samples)
}

fn identified(inputs: &Inputs<'_>) -> Result<Identified, ModelError> {
    Ok(identify(&curve(inputs)?)?)
}

fn step_response(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let found = identified(inputs)?;
    let at = inputs.numbers("at_resistance_K_per_W")?;
    let capacitances: Vec<f64> = at.iter().map(|resistance| found.capacitance_at_j_k(*resistance)).collect();
    Ok(outputs([
        ("total_resistance_K_per_W", found.total_resistance_k_w().into()),
        ("structure_capacitance_J_per_K", capacitances.into()),
    ]))
}

fn layered_column(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let found = identified(inputs)?;
    let at = inputs.numbers("at_capacitance_J_per_K")?;
    let resistances: Vec<f64> = at.iter().map(|capacitance| found.resistance_at_k_w(*capacitance)).collect();
    Ok(outputs([
        ("total_resistance_K_per_W", found.total_resistance_k_w().into()),
        ("structure_resistance_K_per_W", resistances.into()),
    ]))
}
