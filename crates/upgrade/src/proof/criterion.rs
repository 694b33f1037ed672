//! Criteria: what was measured after the work against what the plan said of this very machine.

use quantity::dimension::{Dimension, TemperatureDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::Figure;
use quantity::text::significant;

use crate::proof::expected::Expected;
use crate::proof::log::SoakLog;
use crate::proof::path::Estimate;
use crate::proof::settled::Settled;
use crate::proof::soak::SoakRead;

/// Whether a criterion holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Pass,
    /// It does not.
    Fail,
    /// The log or the record does not tell.
    CannotTell,
}

impl Verdict {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::CannotTell => "cannot tell",
        }
    }

    /// One character that stands for it beside the words; never colour alone.
    pub const fn mark(self) -> char {
        match self {
            Self::Pass => '=',
            Self::Fail => 'x',
            Self::CannotTell => '?',
        }
    }
}

/// Whether the proof rests on a criterion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Without it nothing is proven.
    Decides,
    /// It says more, and can fail the proof, but may stay open.
    Beside,
}

/// A criterion.
#[derive(Debug, Clone, PartialEq)]
pub struct Criterion {
    /// What it is about.
    pub what: &'static str,
    /// What was measured.
    pub measured: String,
    /// What the plan said.
    pub planned: String,
    /// Whether it holds.
    pub verdict: Verdict,
    /// Whether the proof rests on it.
    pub weight: Weight,
    /// What is missing where it cannot be told.
    pub missing: Option<String>,
}

/// Which end of the plan's interval must not be passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bound {
    /// More than the plan's highest is worse.
    Above,
    /// Less than the plan's lowest is worse.
    Below,
}

/// Passes while the measured value is not worse than the plan's worst; fails where its whole band is.
fn judged<D>(measured: &Estimate<D>, planned: Interval<D>, bound: Bound) -> Verdict {
    let (value, band) = (measured.value.si(), measured.band);
    let (good, surely_bad) = match bound {
        Bound::Above => (value <= planned.high().si(), band.low().si() > planned.high().si()),
        Bound::Below => (value >= planned.low().si(), band.high().si() < planned.low().si()),
    };
    if good {
        Verdict::Pass
    } else if surely_bad {
        Verdict::Fail
    } else {
        Verdict::CannotTell
    }
}

/// Digits that are shown, where they tell both apart.
const DIGITS: u32 = 3;

/// Digits from which on a value and the end of the plan that it misses are written differently.
fn telling<D: Dimension>(measured: &Estimate<D>, planned: Interval<D>, bound: Bound) -> u32 {
    let end = match bound {
        Bound::Above => planned.high(),
        Bound::Below => planned.low(),
    };
    (DIGITS..6).find(|digits| measured.value.rounded(*digits) != end.rounded(*digits)).unwrap_or(6)
}

fn criterion<D: Dimension>(
    what: &'static str,
    (measured, planned): (Option<Estimate<D>>, Figure<D>),
    (bound, weight): (Bound, Weight),
    how: &str,
) -> Criterion {
    let verdict = match (&measured, planned.get()) {
        (Some(measured), Some(planned)) => judged(measured, planned, bound),
        _ => Verdict::CannotTell,
    };
    let missing = match (&measured, planned.is_unknown()) {
        (None, _) => Some(how.to_owned()),
        (_, true) => {
            Some("the record lacks what the plan needs for it; `reseat machine unknown` says what".to_owned())
        }
        _ if verdict == Verdict::CannotTell => {
            Some("a longer or steadier log: its band reaches over the plan's end".to_owned())
        }
        _ => None,
    };
    let digits = match (&measured, planned.get()) {
        (Some(measured), Some(planned)) if verdict != Verdict::Pass => telling(measured, planned, bound),
        _ => DIGITS,
    };
    Criterion {
        what,
        measured: measured.map_or_else(|| "not measured".to_owned(), |measured| measured.words_to(digits)),
        planned: planned.known().map_or_else(|| "unknown".to_owned(), |planned| planned.rounded(digits)),
        verdict,
        weight,
        missing,
    }
}

/// Shares of a sum of intervals.
fn sum<D>(figures: &[Figure<D>]) -> Figure<D> {
    figures.iter().copied().reduce(|one, other| one.with(other, |one, other| one + other)).unwrap_or_default()
}

/// The junction, brought to the room that the plan reckons with.
fn junction(
    settled: &Settled,
    room: Option<Estimate<TemperatureDim>>,
    expected: &Expected,
) -> Option<Estimate<TemperatureDim>> {
    let (junction, room, plan) = (settled.junction?, room?, expected.room.get()?);
    // In the plan's warmest room everything stands higher by as much.
    let warmer = plan.high().si() - room.value.si();
    Some(Estimate::of_si(
        junction.value.si() + warmer,
        junction.uncertainty_si().hypot(room.uncertainty_si()),
    ))
}

/// Temperature of the room in a log: its own sensor, or what stands above the log.
pub fn room(log: &SoakLog, settled: &Settled) -> Option<Estimate<TemperatureDim>> {
    settled.room.or_else(|| {
        let room = log.about.room.get()?;
        Some(Estimate::of_si(room.middle().si(), room.width_si() / 4.0 + 0.2))
    })
}

fn errors(log: &SoakLog) -> Criterion {
    let last = log.errors.iter().rev().flatten().next().copied();
    let verdict = match last {
        Some(0.0) => Verdict::Pass,
        Some(_) => Verdict::Fail,
        None => Verdict::CannotTell,
    };
    Criterion {
        what: "wrong results",
        measured: last.map_or_else(|| "not checked".to_owned(), |last| significant(last, 4)),
        planned: "0".to_owned(),
        verdict,
        weight: Weight::Beside,
        missing: last.is_none().then(|| "a load that checks its results and logs \"errors\"".to_owned()),
    }
}

/// A measured clock may be this much below the plan's slowest: meters and clock ticks are no better.
///
/// # Source
/// common practice, no source.
const CLOCK_SLACK: f64 = 0.005;

/// A step alone must pass the plan by so much before it counts as failed: five lumps share a distributed path's heat out
/// among its steps with a fault of about so much, while their sum is right.
///
/// # Source
/// The bench of machines with known faults (`docs/proof.md`).
const STEP_SLACK: f64 = 1.15;

/// Junction to room from what settled at the end of a long load: it needs no rest before, and tells no steps apart.
///
/// # Model
/// (junction − room) / power of the last rows of a load of ten minutes or more. The air in the case still warms then: that
/// adds nothing to a tenth (common practice, no source), so the middle is taken, with the spread of an even chance.
fn from_settled(log: &SoakLog, read: &SoakRead) -> Option<Estimate<ThermalResistanceDim>> {
    let seconds = |row: usize| log.times.get(row).map(|time| time.si());
    let rows = &read.main.rows;
    if seconds(rows.end.checked_sub(1)?)? - seconds(rows.start)? < LONG_LOAD_S {
        return None;
    }
    let settled = &read.settled;
    let (junction, power, room) = (settled.junction?, settled.power?, room(log, settled)?);
    let watts = power.value.si();
    if watts <= 0.0 {
        return None;
    }
    let whole = (junction.value.si() - room.value.si()) / watts * (1.0 + UNSETTLED / 2.0);
    let kelvins = junction.uncertainty_si().hypot(room.uncertainty_si());
    let spread = (kelvins / watts).hypot(whole * power.uncertainty_si() / watts);
    (whole > 0.0).then(|| Estimate::of_si(whole, spread.hypot(whole * UNSETTLED / 12.0_f64.sqrt())))
}

/// Length of a load from which on its end counts as settled, in seconds, and the share that may still be missing.
const LONG_LOAD_S: f64 = 600.0;
const UNSETTLED: f64 = 0.1;

/// Every criterion of a soak after the work.
///
/// # Model
/// Kelvin per watt, not temperatures, so that neither the day's room nor another power decides; the junction is brought to the
/// warmest room of the plan. Better than planned passes.
pub fn criteria(log: &SoakLog, read: &SoakRead, expected: &Expected) -> Vec<Criterion> {
    let path = read.path.as_ref().ok();
    let found = |name: &str| path.and_then(|path| path.step(name)).and_then(|step| step.found);
    let planned = &expected.planned;
    let sink = path.and_then(|path| path.step("cooler")).map_or(planned.sink, |step| step.sound);
    let air_measured = path.is_some_and(|path| path.air_measured);
    let (what, whole) = if air_measured {
        ("junction to the case's air", sum(&[planned.inner, planned.paste, sink]))
    } else {
        ("junction to room", sum(&[planned.inner, planned.paste, sink, planned.case_air]))
    };
    let log_it = "log temperature and power at two rows a second or more, two minutes at rest, then fifteen at full load";
    let slack = |figure: Figure<_>| {
        figure.map(|plan: Interval<_>| {
            Interval::between(plan.low(), Quantity::from_si(plan.high().si() * STEP_SLACK))
        })
    };
    let step = |what, name, plan: Figure<ThermalResistanceDim>| {
        let strict = criterion(what, (found(name), plan), (Bound::Above, Weight::Beside), log_it);
        if strict.verdict != Verdict::Fail {
            return strict;
        }
        // Shown against the plan itself, judged with the slack.
        let judged = criterion(what, (found(name), slack(plan)), (Bound::Above, Weight::Beside), log_it);
        let verdict = if judged.verdict == Verdict::Fail { Verdict::Fail } else { Verdict::CannotTell };
        let missing = (verdict == Verdict::CannotTell).then(|| {
            "an air sensor in the case, or more rows a second: the steps are not told apart well enough"
                .to_owned()
        });
        Criterion { verdict, missing, ..strict }
    };
    let clock = expected.clock.map(|clock| {
        Interval::between(Quantity::from_si(clock.low().si() * (1.0 - CLOCK_SLACK)), clock.high())
    });
    let settled = if path.is_none() { from_settled(log, read) } else { None };
    let total = path.map(|path| path.total).or(settled);
    let mut whole = criterion(what, (total, whole), (Bound::Above, Weight::Decides), log_it);
    if settled.is_some() {
        whole.measured.push_str(", from what settled");
    }
    vec![
        whole,
        step("paste joint", "paste", planned.paste),
        step("cooler", "cooler", sink),
        criterion(
            "clock held on all cores",
            (read.settled.clock, clock),
            (Bound::Below, Weight::Decides),
            "log \"clock MHz\"",
        ),
        criterion(
            "junction in the plan's warmest room",
            (junction(&read.settled, room(log, &read.settled), expected), expected.junction),
            (Bound::Above, Weight::Beside),
            "write the room's temperature above the log: \"# room: 22 °C\"",
        ),
        errors(log),
    ]
}
