//! The clock a chip holds for ever below its junction limit.

use crate::refusal::{Refusal, finite, not_negative, positive, within};

/// A chip on a voltage line, behind one thermal resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockedChip {
    /// Switched capacitance in watts per square volt and gigahertz.
    pub capacitance_w_v2ghz: f64,
    /// Voltage at zero clock.
    pub voltage_at_zero_v: f64,
    /// Volts per gigahertz.
    pub voltage_slope_v_ghz: f64,
    /// Leakage at the reference voltage and temperature.
    pub leakage_w: f64,
    /// Reference voltage.
    pub reference_v: f64,
    /// Reference temperature.
    pub reference_c: f64,
    /// Rise that makes leakage e times larger.
    pub scale_k: f64,
    /// Air.
    pub ambient_c: f64,
    /// Junction to air.
    pub resistance_k_w: f64,
}

/// What ends the climb of the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// The junction limit.
    JunctionLimit,
    /// Leakage and temperature run away before the limit is met.
    Runaway,
}

/// Fastest clock looked for, in gigahertz.
const FASTEST_GHZ: f64 = 60.0;

impl ClockedChip {
    /// Voltage at a clock.
    pub fn volts(&self, ghz: f64) -> f64 {
        self.voltage_at_zero_v + self.voltage_slope_v_ghz * ghz
    }

    /// Power of switching at a clock.
    pub fn dynamic_w(&self, ghz: f64) -> f64 {
        self.capacitance_w_v2ghz * self.volts(ghz).powi(2) * ghz
    }

    /// Leakage at a clock's voltage and a temperature.
    pub fn leakage_w(&self, ghz: f64, junction_c: f64) -> f64 {
        self.leakage_w * self.volts(ghz) / self.reference_v
            * ((junction_c - self.reference_c) / self.scale_k).exp()
    }

    fn checked(&self) -> Result<(), Refusal> {
        positive("switched capacitance", self.capacitance_w_v2ghz)?;
        positive("voltage at zero", self.voltage_at_zero_v)?;
        not_negative("voltage slope", self.voltage_slope_v_ghz)?;
        positive("leakage", self.leakage_w)?;
        positive("reference voltage", self.reference_v)?;
        finite("reference temperature", self.reference_c)?;
        positive("leakage scale", self.scale_k)?;
        finite("ambient temperature", self.ambient_c)?;
        positive("thermal resistance", self.resistance_k_w)?;
        Ok(())
    }
}

/// The highest clock that settles at or below the junction limit, and what ends the climb.
///
/// # Model
/// At the limit the heat carried equals the heat made; that root counts only if the loop gain there is
/// below one. Otherwise the point is on the unstable branch, and the clock of the tangency
/// (`A = 1/e`) binds, at a temperature below the limit.
///
/// # Errors
/// Inputs out of range, or a chip that runs away at any clock.
pub fn highest(chip: &ClockedChip, junction_limit_c: f64) -> Result<(f64, Ends), Refusal> {
    chip.checked()?;
    within(
        "junction limit",
        junction_limit_c,
        junction_limit_c > chip.ambient_c,
        "above the air's temperature",
    )?;
    let carried_w = (junction_limit_c - chip.ambient_c) / chip.resistance_k_w;
    let at_limit = rising_root(|ghz| chip.dynamic_w(ghz) + chip.leakage_w(ghz, junction_limit_c) - carried_w);
    if let Some(ghz) = at_limit {
        let gain = chip.resistance_k_w * chip.leakage_w(ghz, junction_limit_c) / chip.scale_k;
        if gain < 1.0 {
            return Ok((ghz, Ends::JunctionLimit));
        }
    }
    let tangency = rising_root(|ghz| {
        let leak = chip.resistance_k_w * chip.leakage_w * chip.volts(ghz) / chip.reference_v / chip.scale_k;
        leak.ln()
            + (chip.ambient_c + chip.resistance_k_w * chip.dynamic_w(ghz) - chip.reference_c) / chip.scale_k
            + 1.0
    });
    let refusal = Refusal {
        name: "thermal resistance",
        found: chip.resistance_k_w,
        expected: "small enough for the chip not to run away at rest",
    };
    tangency.map(|ghz| (ghz, Ends::Runaway)).ok_or(refusal)
}

/// Where a rising function passes zero between zero and [`FASTEST_GHZ`]; none if it starts above.
fn rising_root(f: impl Fn(f64) -> f64) -> Option<f64> {
    if f(0.0) >= 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, FASTEST_GHZ);
    // 80 halvings of 60 GHz end below the spacing of doubles.
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}
