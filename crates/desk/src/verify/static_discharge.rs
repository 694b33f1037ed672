//! Models of the topic `static`.

use physics::discharge::body;
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[Model { name: "body_discharge", run: discharge }];

fn discharge(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let spark =
        body(inputs.number("voltage_V")?, inputs.number("capacitance_F")?, inputs.number("resistance_ohm")?)?;
    Ok(outputs([
        ("time_constant_s", spark.time_constant_s.into()),
        ("peak_A", spark.peak_a.into()),
        ("energy_J", spark.energy_j.into()),
    ]))
}
