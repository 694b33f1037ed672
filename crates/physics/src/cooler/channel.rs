//! Air that enters the channel between two fins: developing laminar flow.

use core::f64::consts::PI;

use crate::refusal::{Refusal, positive};

/// Air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Density.
    pub density_kg_m3: f64,
    /// Dynamic viscosity.
    pub viscosity_pa_s: f64,
    /// Conductivity.
    pub conductivity_w_mk: f64,
    /// Prandtl number.
    pub prandtl: f64,
}

/// A channel between two fins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// Gap between the fins.
    pub gap_m: f64,
    /// Height of the fins.
    pub height_m: f64,
    /// Length along the air's way.
    pub length_m: f64,
    /// Speed of the air in the channel.
    pub speed_m_s: f64,
}

/// Heat transfer and friction of a channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChannelFlow {
    /// Film coefficient against the air's local mean temperature.
    pub film_local_mean_w_m2k: f64,
    /// Film coefficient against the air's temperature at the inlet.
    pub film_inlet_w_m2k: f64,
    /// Pressure lost to friction.
    pub friction_drop_pa: f64,
}

/// Friction factor times Reynolds number on the square root of the area, developed.
fn developed(eps: f64) -> f64 {
    12.0 / (eps.sqrt() * (1.0 + eps) * (1.0 - 192.0 * eps / PI.powi(5) * (PI / (2.0 * eps)).tanh()))
}

/// Flow in a channel.
///
/// # Model
/// Local-mean film: Muzychka and Yovanovich, even wall temperature, mean over the length. Inlet film:
/// Teertstra et al., parallel plates; its low-flow limit is the air becoming as warm as the fin, so no
/// term for warming air may be added to it. Entry and exit losses are left out of the pressure.
///
/// # Source
/// Y. S. Muzychka, M. M. Yovanovich, J. Heat Transfer 126, 54-61, 2004; P. Teertstra et al., J. Electronics
/// Manufacturing 10(4), 253-261, 2000; constants from memory, both agree through NTU within 3 %.
///
/// # Errors
/// A value that is not above zero.
pub fn flow(channel: &Channel, air: &Air) -> Result<ChannelFlow, Refusal> {
    for (name, value) in [
        ("gap", channel.gap_m),
        ("height", channel.height_m),
        ("length", channel.length_m),
        ("speed", channel.speed_m_s),
        ("density", air.density_kg_m3),
        ("viscosity", air.viscosity_pa_s),
        ("conductivity", air.conductivity_w_mk),
        ("Prandtl number", air.prandtl),
    ] {
        positive(name, value)?;
    }
    let area = channel.gap_m * channel.height_m;
    let perimeter = 2.0 * (channel.gap_m + channel.height_m);
    let side = area.sqrt();
    let reynolds = air.density_kg_m3 * channel.speed_m_s * side / air.viscosity_pa_s;
    let heat_length = channel.length_m / (side * reynolds * air.prandtl);
    let flow_length = channel.length_m / (side * reynolds);
    let eps = channel.gap_m / channel.height_m;
    let friction = developed(eps);

    let (c1, c2, c3, c4, gamma) = (3.24, 1.5, 0.409, 2.0, 0.1);
    let f_pr = 0.564 / (1.0 + (1.664 * air.prandtl.powf(1.0 / 6.0)).powf(4.5)).powf(2.0 / 9.0);
    let blend = 2.27 + 1.65 * air.prandtl.cbrt();
    let entry = c4 * f_pr / heat_length.sqrt();
    let thermal = (c2 * c3 * (friction / heat_length).cbrt()).powi(5);
    let late = (c1 * friction / (8.0 * PI.sqrt() * eps.powf(gamma))).powi(5);
    let nusselt = (entry.powf(blend) + (thermal + late).powf(blend / 5.0)).powf(1.0 / blend);

    let apparent = (3.44 / flow_length.sqrt()).hypot(friction);
    let drop = 4.0 * (apparent / reynolds) * channel.length_m / (4.0 * area / perimeter)
        * air.density_kg_m3
        * channel.speed_m_s.powi(2)
        / 2.0;

    let star = air.density_kg_m3 * channel.speed_m_s * channel.gap_m / air.viscosity_pa_s * channel.gap_m
        / channel.length_m;
    let low = star * air.prandtl / 2.0;
    let high = 0.664 * star.sqrt() * air.prandtl.cbrt() * (1.0 + 3.65 / star.sqrt()).sqrt();
    let inlet = (low.powi(-3) + high.powi(-3)).powf(-1.0 / 3.0);
    Ok(ChannelFlow {
        film_local_mean_w_m2k: nusselt * air.conductivity_w_mk / side,
        film_inlet_w_m2k: inlet * air.conductivity_w_mk / channel.gap_m,
        friction_drop_pa: drop,
    })
}
