//! Models of the topic `identification`.

use physics::network::identify::{Identified, identify};
use physics::network::layers::resistance_at_k_w;
use physics::network::path::{self, Bands};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "identify_step_response", run: step_response },
    Model { name: "identify_layered_column", run: layered_column },
    Model { name: "identify_sensor_log", run: sensor_log },
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

/// A record that begins with a step of power from nothing, at time zero.
const fn from_rest<'r>(times_s: &'r [f64], temperatures_c: &'r [f64], powers_w: &'r [f64]) -> Record<'r> {
    Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w }
}

/// Power of the step that a curve of kelvins per watt is told as, in watts.
const STEP_W: f64 = 100.0;

/// A column of layers from its step response, as the heat path of a log is found; a ladder of lumps is only a staircase about
/// it. Where a metal ends and a joint begins the curve is all but a jump: a percent of the capacitance decides on which side of
/// the joint a corner comes to lie.
fn layered_column(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let samples = curve(inputs)?;
    let times_s: Vec<f64> = samples.iter().map(|(time, _)| *time).collect();
    let temperatures_c: Vec<f64> = samples.iter().map(|(_, rise)| STEP_W * rise).collect();
    let powers_w = vec![STEP_W; times_s.len()];
    let record = from_rest(&times_s, &temperatures_c, &powers_w);
    let air = Air { temperature_c: Some((0.0, 1e-6)), drift_k: 1e-6 };
    let found = path::identify(&record, &air, &Bands { resamples: 0, seed: 0 })?;
    let at = inputs.numbers("at_capacitance_J_per_K")?;
    let resistances: Vec<f64> =
        at.iter().map(|capacitance| resistance_at_k_w(&found.layers, *capacitance)).collect();
    Ok(outputs([
        ("total_resistance_K_per_W", found.total_k_w.into()),
        ("structure_resistance_K_per_W", resistances.into()),
    ]))
}

/// How well a start temperature is known that a file gives as one number, in kelvin.
const START_K: f64 = 0.05;
/// How far the air drifts in such a log, in kelvin: one number stands for all of it, as well as it is written. Air that is left
/// free to drift takes up what an unfinished rise leaves open: at 0.3 K the totals of the ladder's logs come out 1.4 % high.
const DRIFT_K: f64 = 0.05;

/// Columns of a CSV file by their headings.
fn columns(text: &str, wanted: [&str; 3]) -> Result<[Vec<f64>; 3], ModelError> {
    let refused = |what: String| Err(ModelError::Refused(what));
    let mut lines = text.lines();
    let headings: Vec<&str> = lines.next().unwrap_or("").split(',').map(str::trim).collect();
    let mut places = [0; 3];
    for (place, name) in places.iter_mut().zip(wanted) {
        match headings.iter().position(|heading| *heading == name) {
            Some(found) => *place = found,
            None => return refused(format!("the log has no column \"{name}\"")),
        }
    }
    let mut out = [const { Vec::new() }; 3];
    for (line, number) in lines.zip(2..).filter(|(line, _)| !line.trim().is_empty()) {
        let cells: Vec<&str> = line.split(',').collect();
        for (column, place) in out.iter_mut().zip(places) {
            match cells.get(place).and_then(|cell| cell.trim().parse::<f64>().ok()) {
                Some(value) => column.push(value),
                None => return refused(format!("line {number} of the log has no number in column {place}")),
            }
        }
    }
    Ok(out)
}

/// A sensor's log that begins with a step of power from nothing, at time zero. Where no start temperature is
/// given the whole resistance has no answer: everything faster than the first row is then one with the air.
fn sensor_log(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let bytes = inputs.file("log_csv")?;
    let text = core::str::from_utf8(&bytes).map_err(|error| ModelError::Refused(error.to_string()))?;
    let names =
        [inputs.text("time_column")?, inputs.text("temperature_column")?, inputs.text("power_column")?];
    let [times_s, temperatures_c, powers_w] = columns(text, names)?;
    let record = from_rest(&times_s, &temperatures_c, &powers_w);
    let Ok(start_c) = inputs.number("start_temperature_C") else {
        return Ok(outputs([("total_resistance_K_per_W", Value::Null)]));
    };
    let air = Air { temperature_c: Some((start_c, START_K)), drift_k: DRIFT_K };
    let found = path::identify(&record, &air, &Bands { resamples: 0, seed: 0 })?;
    Ok(outputs([
        ("total_resistance_K_per_W", found.total_k_w.into()),
        ("faster_than_first_row_K_per_W", found.too_fast_k_w.into()),
    ]))
}
