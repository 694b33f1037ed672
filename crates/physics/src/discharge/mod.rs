//! The discharge of a charged person into a part.

use crate::refusal::{Refusal, not_negative, positive};

/// A discharge through a resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// Time constant in seconds.
    pub time_constant_s: f64,
    /// Largest current in amperes.
    pub peak_a: f64,
    /// Energy in joules.
    pub energy_j: f64,
}

/// Capacitance of the human body model in farads.
///
/// # Source
/// ANSI/ESDA/JEDEC JS-001: 100 pF through 1500 ohm.
pub const BODY_CAPACITANCE_F: f64 = 100e-12;

/// Resistance of the human body model in ohms; same source.
pub const BODY_RESISTANCE_OHM: f64 = 1500.0;

/// Discharge of a capacitance at a voltage through a resistance.
///
/// # Model
/// `tau = R C`, `I = V / R`, `E = C V^2 / 2`. Inductance, which shapes the first nanoseconds, is left out.
///
/// # Errors
/// A value below zero, or a capacitance or resistance of zero.
///
/// # Example
/// ```
/// use physics::discharge::{BODY_CAPACITANCE_F, BODY_RESISTANCE_OHM, body};
/// let spark = body(1000.0, BODY_CAPACITANCE_F, BODY_RESISTANCE_OHM)?;
/// assert!((spark.energy_j - 50e-6).abs() < 1e-12);
/// # Ok::<(), physics::refusal::Refusal>(())
/// ```
pub fn body(voltage_v: f64, capacitance_f: f64, resistance_ohm: f64) -> Result<Discharge, Refusal> {
    not_negative("voltage", voltage_v)?;
    positive("capacitance", capacitance_f)?;
    positive("resistance", resistance_ohm)?;
    Ok(Discharge {
        time_constant_s: resistance_ohm * capacitance_f,
        peak_a: voltage_v / resistance_ohm,
        energy_j: 0.5 * capacitance_f * voltage_v * voltage_v,
    })
}
