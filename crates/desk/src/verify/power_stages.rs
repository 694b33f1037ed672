//! Models of the topic `power-stages`.

use physics::power::losses::{Stage, losses as lose};
use physics::power::open_loop::{OpenLoop, settled};
use physics::power::ripple::{Phases, ripple as ripples};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "buck_ripple", run: ripple },
    Model { name: "buck_losses", run: losses },
    Model { name: "buck_open_loop", run: open_loop },
];

fn phases(inputs: &Inputs<'_>) -> Result<Phases, ModelError> {
    Ok(Phases {
        count: inputs.number("phases")?,
        input_v: inputs.number("input_V")?,
        output_v: inputs.number("output_V")?,
        inductance_h: inputs.number("inductance_H")?,
        frequency_hz: inputs.number("switching_frequency_Hz")?,
    })
}

fn ripple(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let ripple = ripples(&phases(inputs)?, inputs.number("output_current_A")?)?;
    Ok(outputs([
        ("phase_ripple_A", ripple.phase_a.into()),
        ("total_ripple_A", ripple.total_a.into()),
        ("input_capacitor_rms_A", ripple.input_rms_a.into()),
    ]))
}

fn losses(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let phases = phases(inputs)?;
    let stage = Stage {
        high_side_ohm: inputs.number("high_side_resistance_ohm")?,
        low_side_ohm: inputs.number("low_side_resistance_ohm")?,
        winding_ohm: inputs.number("winding_resistance_ohm")?,
        rise_s: inputs.number("rise_time_s")?,
        fall_s: inputs.number("fall_time_s")?,
        high_side_gate_c: inputs.number("high_side_gate_charge_C")?,
        low_side_gate_c: inputs.number("low_side_gate_charge_C")?,
        drive_v: inputs.number("drive_V")?,
        dead_rise_s: inputs.number("dead_time_rise_s")?,
        dead_fall_s: inputs.number("dead_time_fall_s")?,
        body_diode_v: inputs.number("body_diode_V")?,
        high_side_output_c: inputs.number("high_side_output_charge_C")?,
        low_side_output_c: inputs.number("low_side_output_charge_C")?,
        recovery_c: inputs.number("recovery_charge_C")?,
    };
    let output_a = inputs.number("output_current_A")?;
    let losses = lose(&phases, &stage, output_a)?;
    Ok(outputs([
        ("high_side_conduction_W", losses.high_side_w.into()),
        ("low_side_conduction_W", losses.low_side_w.into()),
        ("winding_W", losses.winding_w.into()),
        ("overlap_W", losses.overlap_w.into()),
        ("output_charge_W", losses.output_charge_w.into()),
        ("recovery_W", losses.recovery_w.into()),
        ("gate_W", losses.gate_w.into()),
        ("dead_time_W", losses.dead_time_w.into()),
        ("total_W", losses.total_w().into()),
        ("efficiency", losses.efficiency(phases.output_v * output_a).into()),
    ]))
}

fn open_loop(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let circuit = OpenLoop {
        count: inputs.number("phases")?,
        input_v: inputs.number("input_V")?,
        duty: inputs.number("duty")?,
        inductance_h: inputs.number("inductance_H")?,
        frequency_hz: inputs.number("switching_frequency_Hz")?,
        high_side_ohm: inputs.number("high_side_resistance_ohm")?,
        low_side_ohm: inputs.number("low_side_resistance_ohm")?,
        winding_ohm: inputs.number("winding_resistance_ohm")?,
        capacitor_ohm: inputs.number("capacitor_series_resistance_ohm")?,
    };
    let settled = settled(&circuit, inputs.number("load_current_A")?)?;
    Ok(outputs([
        ("output_V", settled.output_v.into()),
        ("phase_ripple_A", settled.phase_ripple_a.into()),
        ("total_ripple_A", settled.total_ripple_a.into()),
        ("efficiency", settled.efficiency.into()),
    ]))
}
