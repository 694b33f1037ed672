//! Models of the topic `operating-point`.

use physics::point::clock::{ClockedChip, Ends, highest};
use physics::point::leakage::{Chip, settle};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "leakage_fixed_point", run: fixed_point },
    Model { name: "sustained_frequency", run: frequency },
];

fn fixed_point(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let settled = settle(&Chip {
        dynamic_w: inputs.number("dynamic_W")?,
        leakage_w: inputs.number("leakage_at_reference_W")?,
        reference_c: inputs.number("reference_C")?,
        scale_k: inputs.number("leakage_scale_K")?,
        ambient_c: inputs.number("ambient_C")?,
        resistance_k_w: inputs.number("resistance_K_per_W")?,
    })?;
    Ok(outputs([
        ("stable_exists", settled.stable.is_some().into()),
        ("stable_C", settled.stable.map(|(celsius, _)| celsius).into()),
        ("total_W", settled.stable.map(|(_, watts)| watts).into()),
        ("unstable_C", settled.unstable_c.into()),
        ("critical_resistance_K_per_W", settled.critical_resistance_k_w.into()),
        ("critical_ambient_C", settled.critical_ambient_c.into()),
        ("critical_dynamic_W", settled.critical_dynamic_w.into()),
    ]))
}

fn frequency(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let chip = ClockedChip {
        capacitance_w_v2ghz: inputs.number("switched_capacitance_W_per_V2GHz")?,
        voltage_at_zero_v: inputs.number("voltage_at_zero_V")?,
        voltage_slope_v_ghz: inputs.number("voltage_slope_V_per_GHz")?,
        leakage_w: inputs.number("leakage_at_reference_W")?,
        reference_v: inputs.number("reference_V")?,
        reference_c: inputs.number("reference_C")?,
        scale_k: inputs.number("leakage_scale_K")?,
        ambient_c: inputs.number("ambient_C")?,
        resistance_k_w: inputs.number("resistance_K_per_W")?,
    };
    let (ghz, ends) = highest(&chip, inputs.number("junction_limit_C")?)?;
    let word = match ends {
        Ends::JunctionLimit => "junction_limit",
        Ends::Runaway => "runaway",
    };
    Ok(outputs([("limit", word.into()), ("frequency_GHz", ghz.into())]))
}
