//! A fan against the resistance of what it blows through.

use crate::refusal::{Refusal, not_negative, positive};

/// A fan whose pressure falls in a straight line from shut to free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fan {
    /// Pressure with the outlet shut.
    pub shut_pressure_pa: f64,
    /// Flow in the open.
    pub free_flow_m3_s: f64,
}

/// What the air has to pass: pressure `a Q + b Q^2`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistance {
    /// a.
    pub linear_pa_s_m3: f64,
    /// b.
    pub quadratic_pa_s2_m6: f64,
}

impl Fan {
    /// The fan at another speed: flow with the speed, pressure with its square.
    #[must_use]
    pub fn at_speed(self, ratio: f64) -> Self {
        Self {
            shut_pressure_pa: self.shut_pressure_pa * ratio * ratio,
            free_flow_m3_s: self.free_flow_m3_s * ratio,
        }
    }
}

/// Flow and pressure where fan and resistance meet.
///
/// # Model
/// The positive root of `b Q^2 + (a + p0/Qmax) Q - p0`, in the form that does not cancel for small b.
///
/// # Errors
/// A fan that does not blow, or a negative resistance.
pub fn operating_point(fan: &Fan, system: &Resistance) -> Result<(f64, f64), Refusal> {
    positive("shut pressure", fan.shut_pressure_pa)?;
    positive("free flow", fan.free_flow_m3_s)?;
    let a = not_negative("linear resistance", system.linear_pa_s_m3)?;
    let b = not_negative("quadratic resistance", system.quadratic_pa_s2_m6)?;
    let slope = a + fan.shut_pressure_pa / fan.free_flow_m3_s;
    let root = (slope * slope + 4.0 * b * fan.shut_pressure_pa).sqrt();
    let flow = 2.0 * fan.shut_pressure_pa / (slope + root);
    Ok((flow, a * flow + b * flow * flow))
}

/// Change of a fan's sound level at another speed, in decibels: `50 log10(n2 / n1)`.
///
/// # Source
/// Fan laws, common practice, no source.
///
/// # Errors
/// A ratio that is not above zero.
pub fn sound_change_db(speed_ratio: f64) -> Result<f64, Refusal> {
    positive("speed ratio", speed_ratio)?;
    Ok(50.0 * speed_ratio.log10())
}
