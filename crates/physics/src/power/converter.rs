//! The whole converter at one load: duty, ripple, losses and temperatures, each at the others' value.

use crate::air::film::{Air, coefficient_w_m2k};
use crate::power::body::{Body, Heat, Paths, Temperatures, feedback, with_board};
use crate::power::core_loss::Core;
use crate::power::losses::{Losses, Stage, unchecked};
use crate::power::ripple::{Phases, Ripple, ripple};
use crate::refusal::{Refusal, not_negative, positive, within};

/// A multi-phase step-down converter of like stages.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Converter {
    /// Number of stages.
    pub count: f64,
    /// Voltage at its input.
    pub input_v: f64,
    /// Inductance of one stage.
    pub inductance_h: f64,
    /// Switching frequency of one stage.
    pub frequency_hz: f64,
    /// Switches and winding; resistances at 25 °C.
    pub stage: Stage,
    /// On-resistance gained for each kelvin above 25 °C, as a share.
    pub switch_per_k: f64,
    /// Core of the inductor.
    pub core: Core,
    /// Resistance of the board's copper from the inductors to the processor, all stages together.
    pub plane_ohm: f64,
    /// Droop of the output for each ampere, as the controller is set.
    pub load_line_ohm: f64,
    /// Heat path of one stage.
    pub body: Body,
}

/// What the processor draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Power of the processor.
    pub power_w: f64,
    /// Voltage that the controller is set to without load.
    pub set_v: f64,
}

/// Where the power goes, in watts, all stages together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lost {
    /// Switches and windings, at their temperature.
    pub stages: Losses,
    /// Cores.
    pub core_w: f64,
    /// The board's copper.
    pub plane_w: f64,
}

impl Lost {
    /// All together.
    pub fn total_w(&self) -> f64 {
        self.stages.total_w() + self.core_w + self.plane_w
    }

    /// Every loss with its name, in the order in which they meet the power.
    pub const fn named(&self) -> [(&'static str, f64); 10] {
        [
            ("conduction, upper switches", self.stages.high_side_w),
            ("conduction, lower switches", self.stages.low_side_w),
            ("switching overlap", self.stages.overlap_w),
            ("output charge", self.stages.output_charge_w),
            ("reverse recovery", self.stages.recovery_w),
            ("gates", self.stages.gate_w),
            ("dead time", self.stages.dead_time_w),
            ("windings", self.stages.winding_w),
            ("cores", self.core_w),
            ("copper of the board", self.plane_w),
        ]
    }
}

/// The converter at a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solved {
    /// Current to the processor.
    pub output_a: f64,
    /// Voltage at the processor.
    pub output_v: f64,
    /// Share of the time in which an upper switch is on, drops included.
    pub duty: f64,
    /// Ripple currents.
    pub ripple: Ripple,
    /// Losses.
    pub lost: Lost,
    /// Temperatures.
    pub temperatures: Temperatures,
    /// Power at the input.
    pub input_w: f64,
    /// Share of each kelvin that comes back as heat; at one the heat runs away.
    pub feedback: f64,
}

impl Solved {
    /// Output power over input power.
    pub fn efficiency(&self) -> f64 {
        1.0 - self.lost.total_w() / self.input_w
    }

    /// Mean current of one stage.
    pub fn stage_a(&self, count: f64) -> f64 {
        self.output_a / count
    }

    /// Peak current of one inductor.
    pub fn peak_a(&self, count: f64) -> f64 {
        self.output_a / count + 0.5 * self.ripple.phase_a
    }
}

/// Why a converter has no steady state at a load.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PowerError {
    /// An input means nothing.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// Each kelvin makes more heat than it carries away.
    #[error(
        "the stages run away: at {power_w:.0} W each kelvin makes {feedback:.2} times the heat that it carries off; take less power, or give them more air or a heatsink"
    )]
    Runaway {
        /// Power of the processor.
        power_w: f64,
        /// Share of each kelvin that comes back as heat.
        feedback: f64,
    },
    /// The load line leaves too little voltage for the power.
    #[error(
        "a load line of {load_line_ohm} ohm cannot deliver {power_w:.0} W from {set_v:.3} V: at most {most_w:.0} W"
    )]
    LoadLine {
        /// Droop for each ampere.
        load_line_ohm: f64,
        /// Power asked for.
        power_w: f64,
        /// Voltage without load.
        set_v: f64,
        /// Most that it delivers.
        most_w: f64,
    },
}

/// Resistance of copper gained for each kelvin, as a share of that at 20 °C.
///
/// # Source
/// IEC 60028:1925, International standard of resistance for copper (0.00393 at 20 °C).
pub const COPPER_PER_K: f64 = 0.003_93;

/// Temperature at which the resistances of a [`Stage`] hold.
pub const REFERENCE_C: f64 = 25.0;

/// Steps of the fixed point before it is given up; it needs about six.
const MOST_STEPS: usize = 60;

impl Converter {
    /// The converter, if every figure means something.
    ///
    /// # Errors
    /// No stages or a part of one, a value out of its range, or not a number.
    pub fn checked(self) -> Result<Self, Refusal> {
        let whole = self.count.fract() == 0.0 && (1.0..=64.0).contains(&self.count);
        within("stages", self.count, whole, "a whole number from 1 to 64")?;
        positive("input voltage", self.input_v)?;
        positive("inductance", self.inductance_h)?;
        positive("switching frequency", self.frequency_hz)?;
        not_negative("rise of on-resistance", self.switch_per_k)?;
        not_negative("resistance of the board's copper", self.plane_ohm)?;
        not_negative("load line", self.load_line_ohm)?;
        self.stage.checked()?;
        self.core.checked()?;
        self.body.checked()?;
        Ok(self)
    }

    /// Current and voltage at the processor for its power.
    ///
    /// # Errors
    /// A power below zero, a voltage that is not above zero, or more power than the load line delivers.
    pub fn output(&self, load: &Load) -> Result<(f64, f64), PowerError> {
        not_negative("processor power", load.power_w)?;
        positive("processor voltage", load.set_v)?;
        if self.load_line_ohm == 0.0 {
            return Ok((load.power_w / load.set_v, load.set_v));
        }
        let left = load.set_v * load.set_v - 4.0 * self.load_line_ohm * load.power_w;
        if left < 0.0 {
            return Err(PowerError::LoadLine {
                load_line_ohm: self.load_line_ohm,
                power_w: load.power_w,
                set_v: load.set_v,
                most_w: load.set_v * load.set_v / (4.0 * self.load_line_ohm),
            });
        }
        let output_v = 0.5 * (load.set_v + left.sqrt());
        Ok((load.power_w / output_v, output_v))
    }

    /// Duty, losses at 25 °C and heat of one stage while the parts have these temperatures.
    ///
    /// # Errors
    /// A duty outside 0 to 1: the drops leave no output.
    pub(crate) fn at(&self, output_a: f64, output_v: f64, t: &Temperatures) -> Result<At, Refusal> {
        let mean_a = output_a / self.count;
        let upper = 1.0 + self.switch_per_k * (t.upper_c - REFERENCE_C);
        let lower = 1.0 + self.switch_per_k * (t.lower_c - REFERENCE_C);
        let copper = 1.0 + COPPER_PER_K * (t.inductor_c - REFERENCE_C);
        let (upper_ohm, lower_ohm) = (self.stage.high_side_ohm * upper, self.stage.low_side_ohm * lower);
        let board_ohm = self.plane_ohm * (1.0 + COPPER_PER_K * (t.board_c - REFERENCE_C));
        let behind_v = output_v + output_a * board_ohm + mean_a * self.stage.winding_ohm * copper;
        let duty = (behind_v + mean_a * lower_ohm) / (self.input_v - mean_a * (upper_ohm - lower_ohm));
        within(
            "duty",
            duty,
            duty > 0.0 && duty < 1.0,
            "between 0 and 1: the input voltage must exceed output and drops",
        )?;
        let phases = Phases {
            count: self.count,
            input_v: self.input_v,
            output_v: duty * self.input_v,
            inductance_h: self.inductance_h,
            frequency_hz: self.frequency_hz,
        };
        let losses = unchecked(&phases, &self.stage, output_a);
        let core_w = self.core.loss_w(self.inductance_h, self.frequency_hz, phases.phase_ripple_a());
        let plane_w = output_a * output_a * self.plane_ohm / self.count;
        let each = 1.0 / self.count;
        // A conduction loss P at 25 °C is P (1 + a (T - 25)): at 0 °C it is P (1 - 25 a).
        let conducting =
            [losses.high_side_w * each, losses.low_side_w * each, losses.winding_w * each, plane_w];
        let per_k = [self.switch_per_k, self.switch_per_k, COPPER_PER_K, COPPER_PER_K];
        let gate_w = 0.5 * losses.gate_w;
        let other = [
            (losses.overlap_w + losses.output_charge_w + losses.recovery_w + gate_w) * each,
            (losses.dead_time_w + gate_w) * each,
            core_w,
            0.0,
        ];
        let mut heat = Heat { at_zero_w: [0.0; 4], slope_w_k: [0.0; 4] };
        for idx in 0..4 {
            heat.slope_w_k[idx] = conducting[idx] * per_k[idx];
            heat.at_zero_w[idx] = other[idx] + conducting[idx] - heat.slope_w_k[idx] * REFERENCE_C;
        }
        let lost = Lost {
            stages: Losses {
                high_side_w: losses.high_side_w * upper,
                low_side_w: losses.low_side_w * lower,
                winding_w: losses.winding_w * copper,
                ..losses
            },
            core_w: core_w * self.count,
            plane_w: output_a * output_a * board_ohm,
        };
        Ok(At { duty, phases, lost, heat })
    }

    /// Paths of heat while inductor and board are this warm.
    pub(crate) fn paths(&self, air: &Air, t: &Temperatures) -> Paths {
        let body = &self.body;
        let film =
            |face_c: f64| coefficient_w_m2k(air, body.flow_length_m, face_c - air.celsius, body.emissivity);
        Paths {
            upper: 1.0 / body.upper_k_w,
            lower: 1.0 / body.lower_k_w,
            inductor: 1.0 / body.inductor_k_w,
            inductor_air: body.inductor_area_m2 * film(t.inductor_c),
            board_air: body.board_area_m2 * film(t.board_c),
        }
    }

    /// The converter at a load, in this air.
    ///
    /// # Model
    /// Duty with the resistive drops; losses of [`crate::power::losses`] with on-resistance and
    /// copper at their own temperature; core loss; the board's copper. Temperatures by a guarded fixed
    /// point: the heat is a straight line in temperature, the outer nodes follow from the board's, and
    /// the board's is bracketed and found. Runaway is where no board temperature balances.
    /// Left out: unequal sharing between stages, parasitic inductance, ringing, the controller.
    ///
    /// # Errors
    /// A circuit, load or air out of range, more than the load line delivers, or runaway.
    ///
    /// # Example
    /// See `docs/power-path.md` and the tests of this crate.
    pub fn solve(&self, load: &Load, air: &Air) -> Result<Solved, PowerError> {
        self.checked()?;
        air.checked()?;
        self.solve_unchecked(load, air)
    }

    /// [`Self::solve`] for a converter and air that are known to be good: what searches call many times.
    ///
    /// # Errors
    /// A load out of range, more than the load line delivers, or runaway.
    pub fn solve_unchecked(&self, load: &Load, air: &Air) -> Result<Solved, PowerError> {
        let (output_a, output_v) = self.output(load)?;
        let (t, feedback) = self.settle(output_a, output_v, air)?.ok_or_else(|| {
            let warm = Temperatures::all(air.celsius + 100.0);
            let share = self
                .at(output_a, output_v, &warm)
                .map_or(1.0, |at| feedback(&self.paths(air, &warm), &at.heat));
            PowerError::Runaway { power_w: load.power_w, feedback: share.max(1.0) }
        })?;
        let at = self.at(output_a, output_v, &t)?;
        let total_w = at.lost.total_w();
        let ripple = if output_a > 0.0 {
            ripple(&at.phases, output_a)?
        } else {
            Ripple { phase_a: at.phases.phase_ripple_a(), total_a: 0.0, input_rms_a: 0.0 }
        };
        Ok(Solved {
            output_a,
            output_v,
            duty: at.duty,
            ripple,
            lost: at.lost,
            temperatures: t,
            input_w: load.power_w + total_w,
            feedback,
        })
    }

    /// Steady temperatures and their feedback; `None` where the heat runs away.
    ///
    /// The board's gain of heat is straight in its temperature but for the films, which take more than
    /// their share as it warms: it is concave and begins above zero, so it crosses zero once or never.
    /// The crossing is bracketed and found by secants, halving where one leaves the bracket; duty and the
    /// inductor's film follow from the temperatures of the step before.
    fn settle(
        &self,
        output_a: f64,
        output_v: f64,
        air: &Air,
    ) -> Result<Option<(Temperatures, f64)>, Refusal> {
        let mut t = Temperatures::all(air.celsius + FIRST_RISE_K);
        let (mut cold_c, mut warm_c) = (air.celsius, f64::INFINITY);
        let mut board_c = air.celsius + FIRST_RISE_K;
        let mut before: Option<(f64, f64)> = None;
        let mut share = 0.0;
        for _ in 0..MOST_STEPS {
            let at = self.at(output_a, output_v, &t)?;
            let paths = self.paths(air, &Temperatures { board_c, ..t });
            let Some((next, gain)) = with_board(&paths, &at.heat, air.celsius, board_c) else {
                return Ok(None);
            };
            let moved =
                next.list().iter().zip(t.list()).fold(0.0_f64, |most, (a, b)| most.max((a - b).abs()));
            t = next;
            share = feedback(&paths, &at.heat);
            if gain.abs() < 1e-7 * paths.board_air && moved < 1e-5 {
                return Ok(Some((t, share)));
            }
            if gain > 0.0 {
                cold_c = board_c
            } else {
                warm_c = board_c
            }
            let slope = match before {
                Some((at_c, its)) if (its - gain) * (board_c - at_c) > 0.0 => (its - gain) / (board_c - at_c),
                _ => paths.board_air * (1.0 - share).max(0.05),
            };
            before = Some((board_c, gain));
            let step_c = board_c + gain / slope;
            board_c = if step_c > cold_c && step_c < warm_c {
                step_c.min(board_c + 2.0 * (board_c - air.celsius) + 10.0)
            } else if warm_c.is_finite() {
                0.5 * (cold_c + warm_c)
            } else {
                board_c + 10.0
            };
            if board_c > NOTHING_SURVIVES_C {
                return Ok(None);
            }
        }
        // A millikelvin is enough where rounding keeps the last digits moving.
        Ok((warm_c - cold_c < 1e-3).then_some((t, share)))
    }
}

/// Rise of the board at which the search for its temperature begins.
const FIRST_RISE_K: f64 = 30.0;

/// Beyond this no part lives: the heat is said to run away.
const NOTHING_SURVIVES_C: f64 = 2_000.0;

/// A converter at given temperatures.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At {
    pub(crate) duty: f64,
    pub(crate) phases: Phases,
    pub(crate) lost: Lost,
    pub(crate) heat: Heat,
}
