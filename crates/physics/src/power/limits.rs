//! Inverse questions: how much power, how long, how warm, how little air, and which limit binds.

use crate::air::film::Air;
use crate::power::body::Temperatures;
use crate::power::burst::{From, after_unchecked};
use crate::power::converter::{Converter, Load, PowerError, Solved};
use crate::refusal::{not_negative, positive, within};

/// What must not be passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Junction of a switch, in °C.
    pub junction_c: f64,
    /// Inductor, in °C.
    pub inductor_c: f64,
    /// Board, in °C.
    pub board_c: f64,
    /// Mean current of one stage.
    pub stage_a: f64,
    /// Peak current of one inductor, beyond which its core saturates.
    pub peak_a: f64,
}

/// Which limit is nearest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Nearest {
    /// Junction of the upper switches.
    UpperSwitch,
    /// Junction of the lower switches.
    LowerSwitch,
    /// Inductors.
    Inductor,
    /// Board around the stages.
    Board,
    /// Mean current of a stage.
    StageCurrent,
    /// Peak current of an inductor.
    Saturation,
    /// The heat runs away.
    Runaway,
}

impl Nearest {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::UpperSwitch => "temperature of the upper switches",
            Self::LowerSwitch => "temperature of the lower switches",
            Self::Inductor => "temperature of the inductors",
            Self::Board => "temperature of the board",
            Self::StageCurrent => "current of a stage",
            Self::Saturation => "peak current of an inductor",
            Self::Runaway => "thermal runaway",
        }
    }
}

impl Limits {
    /// The limits, if a machine in this air can be within them.
    ///
    /// # Errors
    /// A temperature that the air already has, or a current that is not above zero.
    pub fn checked(&self, air: &Air) -> Result<Self, PowerError> {
        for (name, limit) in [
            ("limit of the junction", self.junction_c),
            ("limit of the inductor", self.inductor_c),
            ("limit of the board", self.board_c),
        ] {
            within(name, limit, limit > air.celsius, "above the temperature of the air")?;
        }
        positive("limit of a stage's current", self.stage_a)?;
        positive("limit of an inductor's peak current", self.peak_a)?;
        Ok(*self)
    }

    /// Largest used share of any limit, temperatures counted from the air; at most one is within.
    pub fn used(&self, solved: &Solved, count: f64, air_c: f64) -> (f64, Nearest) {
        let warm = self.warmth(&solved.temperatures, air_c);
        let stage = (solved.stage_a(count) / self.stage_a, Nearest::StageCurrent);
        let peak = (solved.peak_a(count) / self.peak_a, Nearest::Saturation);
        [stage, peak].into_iter().fold(warm, larger)
    }

    fn warmth(&self, t: &Temperatures, air_c: f64) -> (f64, Nearest) {
        let share = |celsius: f64, limit_c: f64| (celsius - air_c) / (limit_c - air_c);
        [
            (share(t.lower_c, self.junction_c), Nearest::LowerSwitch),
            (share(t.inductor_c, self.inductor_c), Nearest::Inductor),
            (share(t.board_c, self.board_c), Nearest::Board),
        ]
        .into_iter()
        .fold((share(t.upper_c, self.junction_c), Nearest::UpperSwitch), larger)
    }
}

fn larger(one: (f64, Nearest), other: (f64, Nearest)) -> (f64, Nearest) {
    if other.0 > one.0 { other } else { one }
}

/// How far from one a used share may lie for a root to be found; a watt in a hundred thousand.
const CLOSE: f64 = 1e-6;
/// Most steps of a root search; it needs about ten.
const MOST_STEPS: usize = 100;

/// Used share of the limits at a load; runaway uses more than any.
///
/// # Errors
/// A load out of range.
pub fn used(
    converter: &Converter,
    load: &Load,
    air: &Air,
    limits: &Limits,
) -> Result<(f64, Nearest), PowerError> {
    match converter.solve_unchecked(load, air) {
        Ok(solved) => Ok(limits.used(&solved, converter.count, air.celsius)),
        Err(PowerError::Runaway { .. } | PowerError::LoadLine { .. }) => {
            Ok((f64::INFINITY, Nearest::Runaway))
        }
        // So much current that the drops leave no output: beyond every limit as well.
        Err(PowerError::Refused(refusal)) if refusal.name == "duty" => Ok((f64::INFINITY, Nearest::Runaway)),
        Err(error) => Err(error),
    }
}

/// Largest processor power held for ever, in watts, and the limit that binds there.
///
/// # Model
/// The used share of the limits grows with power; its crossing of one is bracketed and found by false
/// position with the retained end halved. Zero where the converter is past a limit without any load.
///
/// # Source
/// M. Dowell, P. Jarratt, A modified regula falsi method, BIT 11 (1971) 168-174.
///
/// # Errors
/// A converter, voltage, air or limit out of range.
pub fn largest_sustained(
    converter: &Converter,
    set_v: f64,
    air: &Air,
    limits: &Limits,
) -> Result<(f64, Nearest), PowerError> {
    check(converter, air, limits)?;
    positive("processor voltage", set_v)?;
    let most_w = limits.stage_a * converter.count * set_v;
    root(most_w, |power_w| used(converter, &Load { power_w, set_v }, air, limits))
}

/// Largest processor power held for `seconds` after a steady `before_w`, and the limit that binds.
///
/// # Errors
/// As [`largest_sustained`], and a time below zero.
pub fn largest_burst(
    converter: &Converter,
    set_v: f64,
    air: &Air,
    limits: &Limits,
    before_w: f64,
    seconds: f64,
) -> Result<(f64, Nearest), PowerError> {
    check(converter, air, limits)?;
    positive("processor voltage", set_v)?;
    not_negative("burst time", seconds)?;
    let start = converter.solve_unchecked(&Load { power_w: before_w, set_v }, air)?.temperatures;
    let from = From { start, film_at: start };
    largest_burst_from(converter, set_v, air, limits, &from, seconds)
}

/// [`largest_burst`] from known temperatures, for inputs that are known to be good.
///
/// # Errors
/// A voltage that is not above zero.
pub fn largest_burst_from(
    converter: &Converter,
    set_v: f64,
    air: &Air,
    limits: &Limits,
    from: &From,
    seconds: f64,
) -> Result<(f64, Nearest), PowerError> {
    let most_w = limits.stage_a * converter.count * set_v;
    root(most_w, |power_w| burst_used(converter, from, &Load { power_w, set_v }, air, limits, seconds))
}

/// Used share of the limits after a burst of `seconds` from known temperatures.
///
/// # Errors
/// A load out of range.
pub fn burst_used(
    converter: &Converter,
    from: &From,
    burst: &Load,
    air: &Air,
    limits: &Limits,
    seconds: f64,
) -> Result<(f64, Nearest), PowerError> {
    let end = match after_unchecked(converter, from, burst, air, seconds) {
        Ok(end) => end,
        Err(PowerError::Refused(refusal)) if refusal.name == "duty" => {
            return Ok((f64::INFINITY, Nearest::StageCurrent));
        }
        Err(PowerError::LoadLine { .. }) => return Ok((f64::INFINITY, Nearest::StageCurrent)),
        Err(error) => return Err(error),
    };
    let (output_a, output_v) = converter.output(burst)?;
    let warm = limits.warmth(&end, air.celsius);
    let mean_a = output_a / converter.count;
    let guess = Temperatures::all(end.hottest_c().min(limits.junction_c));
    let ripple_a = converter.at(output_a, output_v, &guess)?.phases.phase_ripple_a();
    let stage = (mean_a / limits.stage_a, Nearest::StageCurrent);
    let peak = ((mean_a + 0.5 * ripple_a) / limits.peak_a, Nearest::Saturation);
    Ok([stage, peak].into_iter().fold(warm, larger))
}

/// Warmest air in °C in which a load is held for ever; `None` where no air is cold enough (-40 °C).
///
/// # Errors
/// A converter, load, air or limit out of range.
pub fn warmest_air(
    converter: &Converter,
    load: &Load,
    air: &Air,
    limits: &Limits,
) -> Result<Option<f64>, PowerError> {
    check(converter, air, limits)?;
    let coldest_limit = limits.junction_c.min(limits.inductor_c).min(limits.board_c);
    let holds = |celsius: f64| Ok(used(converter, load, &Air { celsius, ..*air }, limits)?.0 <= 1.0);
    let (cold, warm) = (-40.0, (coldest_limit - 0.01).min(120.0));
    last_that_holds(cold, warm, holds)
}

/// Slowest air in m/s that holds a load for ever: zero where still air does, `None` where 30 m/s does not.
///
/// # Errors
/// A converter, load, air or limit out of range.
pub fn slowest_air(
    converter: &Converter,
    load: &Load,
    air: &Air,
    limits: &Limits,
) -> Result<Option<f64>, PowerError> {
    check(converter, air, limits)?;
    let holds = |speed_m_s: f64| Ok(used(converter, load, &Air { speed_m_s, ..*air }, limits)?.0 <= 1.0);
    last_that_holds(30.0, 0.0, holds)
}

/// The place nearest to `far` that still holds, between `near`, which is the kinder end, and `far`; none where
/// `near` itself does not hold.
fn last_that_holds(
    near: f64,
    far: f64,
    holds: impl Fn(f64) -> Result<bool, PowerError>,
) -> Result<Option<f64>, PowerError> {
    if holds(far)? {
        return Ok(Some(far));
    }
    if !holds(near)? {
        return Ok(None);
    }
    let (mut near, mut far) = (near, far);
    // 24 halvings of 160 K end below a hundred-thousandth.
    for _ in 0..24 {
        let middle = 0.5 * (near + far);
        if holds(middle)? { near = middle } else { far = middle }
    }
    Ok(Some(near))
}

fn check(converter: &Converter, air: &Air, limits: &Limits) -> Result<(), PowerError> {
    converter.checked()?;
    air.checked()?;
    limits.checked(air)?;
    Ok(())
}

/// Where the used share of the limits, growing with power, crosses one.
fn root(
    most_w: f64,
    mut used: impl FnMut(f64) -> Result<(f64, Nearest), PowerError>,
) -> Result<(f64, Nearest), PowerError> {
    let (share, nearest) = used(0.0)?;
    if share >= 1.0 {
        return Ok((0.0, nearest));
    }
    let (mut low, mut low_gap) = (0.0, share - 1.0);
    let (share, mut nearest) = used(most_w)?;
    let (mut high, mut high_gap) = (most_w, share - 1.0);
    // The current of a stage bounds the power from above, but for a load line's lower voltage.
    if high_gap <= 0.0 {
        return Ok((high, nearest));
    }
    let mut kept = None;
    for _ in 0..MOST_STEPS {
        let middle = if high_gap.is_finite() {
            high - high_gap * (high - low) / (high_gap - low_gap)
        } else {
            0.5 * (low + high)
        };
        let (share, now) = used(middle)?;
        let gap = share - 1.0;
        if gap.abs() < CLOSE || high - low < 1e-9 * most_w {
            return Ok((middle, now));
        }
        // An end that stays twice is halved, so that it moves.
        if gap > 0.0 {
            (high, high_gap, nearest) = (middle, gap, now);
            low_gap *= if kept == Some(Kept::Low) { 0.5 } else { 1.0 };
            kept = Some(Kept::Low);
        } else {
            (low, low_gap) = (middle, gap);
            high_gap *= if kept == Some(Kept::High) { 0.5 } else { 1.0 };
            kept = Some(Kept::High);
        }
    }
    Ok((low, nearest))
}

/// Which end of a bracket stayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kept {
    Low,
    High,
}
