//! Losses of all phases at given resistances: one operating point, temperatures already known.

use crate::power::ripple::Phases;
use crate::refusal::{Refusal, not_negative, positive};

/// What one phase is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// On-resistance of the upper switch.
    pub high_side_ohm: f64,
    /// On-resistance of the lower switch.
    pub low_side_ohm: f64,
    /// Resistance of the inductor's winding.
    pub winding_ohm: f64,
    /// Time in which current and voltage overlap when the upper switch turns on.
    pub rise_s: f64,
    /// The same when it turns off.
    pub fall_s: f64,
    /// Gate charge of the upper switch.
    pub high_side_gate_c: f64,
    /// Gate charge of the lower switch.
    pub low_side_gate_c: f64,
    /// Voltage that drives the gates.
    pub drive_v: f64,
    /// Dead time before the upper switch turns on.
    pub dead_rise_s: f64,
    /// Dead time after it turns off.
    pub dead_fall_s: f64,
    /// Forward voltage of the lower switch's body diode.
    pub body_diode_v: f64,
    /// Output charge of the upper switch.
    pub high_side_output_c: f64,
    /// Output charge of the lower switch.
    pub low_side_output_c: f64,
    /// Reverse recovery charge of the body diode.
    pub recovery_c: f64,
}

impl Stage {
    /// The stage, if every figure means something.
    ///
    /// # Errors
    /// A value below zero, or no drive voltage.
    pub fn checked(&self) -> Result<Self, Refusal> {
        for (name, value) in [
            ("high-side resistance", self.high_side_ohm),
            ("low-side resistance", self.low_side_ohm),
            ("winding resistance", self.winding_ohm),
            ("rise time", self.rise_s),
            ("fall time", self.fall_s),
            ("high-side gate charge", self.high_side_gate_c),
            ("low-side gate charge", self.low_side_gate_c),
            ("dead time before", self.dead_rise_s),
            ("dead time after", self.dead_fall_s),
            ("body diode voltage", self.body_diode_v),
            ("high-side output charge", self.high_side_output_c),
            ("low-side output charge", self.low_side_output_c),
            ("recovery charge", self.recovery_c),
        ] {
            not_negative(name, value)?;
        }
        positive("drive voltage", self.drive_v)?;
        Ok(*self)
    }
}

/// Losses of all phases in watts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Losses {
    /// Conduction of the upper switches.
    pub high_side_w: f64,
    /// Conduction of the lower switches.
    pub low_side_w: f64,
    /// Windings.
    pub winding_w: f64,
    /// Overlap of current and voltage.
    pub overlap_w: f64,
    /// Output charge.
    pub output_charge_w: f64,
    /// Reverse recovery.
    pub recovery_w: f64,
    /// Gates.
    pub gate_w: f64,
    /// Body diodes in the dead times.
    pub dead_time_w: f64,
}

impl Losses {
    /// All together.
    pub fn total_w(&self) -> f64 {
        self.high_side_w
            + self.low_side_w
            + self.winding_w
            + self.overlap_w
            + self.output_charge_w
            + self.recovery_w
            + self.gate_w
            + self.dead_time_w
    }

    /// Output power over input power.
    pub fn efficiency(&self, output_w: f64) -> f64 {
        output_w / (output_w + self.total_w())
    }
}

/// Losses of `phases` made of `stage` that carry `output_a` together.
///
/// # Model
/// Forced continuous conduction with the ideal duty; mean square current of a triangle on a mean.
/// Per phase, I = load / N, peak and valley I ± ripple / 2: conduction `D J2 R` above and
/// `(1 - D - (t1 + t2) f) J2 R` below; winding `J2 R`; overlap `Vin f (max(valley, 0) tr + peak tf) / 2`;
/// output charge `Vin f (Q + Q) / 2`; recovery `Vin f Q`; gates `Vdrv f (Q + Q)`; dead time
/// `Vsd f (|valley| t1 + peak t2)`. Left out: core loss, ringing, parasitic inductance.
///
/// # Source
/// Application note 64AN035E Rev. 002, Efficiency of Buck Converter, 2021, terms 1 to 9.
///
/// # Errors
/// A circuit that cannot work, or a value below zero.
pub fn losses(phases: &Phases, stage: &Stage, output_a: f64) -> Result<Losses, Refusal> {
    let phases = phases.checked()?;
    not_negative("output current", output_a)?;
    stage.checked()?;
    Ok(unchecked(&phases, stage, output_a))
}

/// [`losses`] for inputs that are known to be good: what solvers call many times.
pub fn unchecked(phases: &Phases, stage: &Stage, output_a: f64) -> Losses {
    let n = phases.count;
    let f = phases.frequency_hz;
    let duty = phases.duty();
    let mean_a = output_a / n;
    let ripple_a = phases.phase_ripple_a();
    let (peak_a, valley_a) = (mean_a + ripple_a / 2.0, mean_a - ripple_a / 2.0);
    let mean_square = mean_a * mean_a + ripple_a * ripple_a / 12.0;
    let dead_share = (stage.dead_rise_s + stage.dead_fall_s) * f;
    Losses {
        high_side_w: n * duty * mean_square * stage.high_side_ohm,
        low_side_w: n * (1.0 - duty - dead_share).max(0.0) * mean_square * stage.low_side_ohm,
        winding_w: n * mean_square * stage.winding_ohm,
        overlap_w: n * 0.5 * phases.input_v * f * (valley_a.max(0.0) * stage.rise_s + peak_a * stage.fall_s),
        output_charge_w: n * 0.5 * phases.input_v * f * (stage.high_side_output_c + stage.low_side_output_c),
        recovery_w: n * phases.input_v * f * stage.recovery_c,
        gate_w: n * stage.drive_v * f * (stage.high_side_gate_c + stage.low_side_gate_c),
        dead_time_w: n
            * stage.body_diode_v
            * f
            * (valley_a.abs() * stage.dead_rise_s + peak_a * stage.dead_fall_s),
    }
}
