//! A converter with resistive switches and a fixed duty: what a circuit simulator can check.

use crate::power::ripple::interleaved_a;
use crate::refusal::{Refusal, not_negative, positive, within};

/// A converter without control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenLoop {
    /// Number of phases.
    pub count: f64,
    /// Input voltage.
    pub input_v: f64,
    /// Share of the time in which the upper switch is on.
    pub duty: f64,
    /// Inductance of one phase.
    pub inductance_h: f64,
    /// Switching frequency of one phase.
    pub frequency_hz: f64,
    /// On-resistance of the upper switch.
    pub high_side_ohm: f64,
    /// On-resistance of the lower switch.
    pub low_side_ohm: f64,
    /// Resistance of the inductor's winding.
    pub winding_ohm: f64,
    /// Series resistance of the output capacitors.
    pub capacitor_ohm: f64,
}

/// What comes out of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// Output voltage.
    pub output_v: f64,
    /// Peak to peak current in one inductor.
    pub phase_ripple_a: f64,
    /// Peak to peak of all together.
    pub total_ripple_a: f64,
    /// Output power over input power.
    pub efficiency: f64,
}

/// Settled state at a load.
///
/// # Model
/// `Re = D Rhs + (1 - D) Rls + DCR`; `Vout = D Vin - I/N Re`; ripple with the drop of the on-time;
/// conduction losses of the triangle, and of the ripple in the capacitors. The capacitors are taken
/// as large.
///
/// # Errors
/// A duty outside 0 to 1, no phases, or a value out of range.
pub fn settled(circuit: &OpenLoop, load_a: f64) -> Result<Settled, Refusal> {
    let whole = circuit.count.fract() == 0.0 && (1.0..=64.0).contains(&circuit.count);
    within("phases", circuit.count, whole, "a whole number from 1 to 64")?;
    within("duty", circuit.duty, circuit.duty > 0.0 && circuit.duty < 1.0, "between 0 and 1")?;
    positive("input voltage", circuit.input_v)?;
    positive("inductance", circuit.inductance_h)?;
    positive("switching frequency", circuit.frequency_hz)?;
    not_negative("high-side resistance", circuit.high_side_ohm)?;
    not_negative("low-side resistance", circuit.low_side_ohm)?;
    not_negative("winding resistance", circuit.winding_ohm)?;
    not_negative("capacitor resistance", circuit.capacitor_ohm)?;
    positive("load", load_a)?;
    let mean_a = load_a / circuit.count;
    let path_ohm = circuit.duty * circuit.high_side_ohm
        + (1.0 - circuit.duty) * circuit.low_side_ohm
        + circuit.winding_ohm;
    let output_v = circuit.duty * circuit.input_v - mean_a * path_ohm;
    within("load", load_a, output_v > 0.0, "small enough to leave an output voltage")?;
    let across_v = circuit.input_v - mean_a * (circuit.high_side_ohm + circuit.winding_ohm) - output_v;
    let phase_ripple_a = across_v * circuit.duty / (circuit.frequency_hz * circuit.inductance_h);
    let total_ripple_a = interleaved_a(
        circuit.count,
        circuit.input_v,
        circuit.duty,
        circuit.inductance_h,
        circuit.frequency_hz,
    );
    let lost_w = circuit.count * (mean_a * mean_a + phase_ripple_a * phase_ripple_a / 12.0) * path_ohm
        + circuit.capacitor_ohm * total_ripple_a * total_ripple_a / 12.0;
    let output_w = output_v * load_a;
    Ok(Settled { output_v, phase_ripple_a, total_ripple_a, efficiency: output_w / (output_w + lost_w) })
}
