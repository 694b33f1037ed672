//! After against before: the same loads, side by side, with what is certain about the difference.

use quantity::dimension::{DurationDim, FrequencyDim, TemperatureDim};
use quantity::measure::Quantity;
use quantity::text::significant;

use crate::proof::log::SoakLog;
use crate::proof::path::{Estimate, NINETY};
use crate::proof::settled::{Settled, settled};
use crate::proof::soak::SoakRead;

/// Which way a figure went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// For the better, beyond what chance would do.
    Better,
    /// For the worse, beyond what chance would do.
    Worse,
    /// Nowhere that could be told.
    Nowhere,
}

impl Went {
    /// The word used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Worse => "worse",
            Self::Nowhere => "no difference that can be told",
        }
    }
}

/// A figure before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// What it is.
    pub what: String,
    /// Before, with its unit and band.
    pub before: String,
    /// After.
    pub after: String,
    /// Difference with its band.
    pub difference: String,
    /// Difference as a share of before, from 5 % to 95 %; none where a share means nothing.
    pub share: Option<(f64, f64)>,
    /// Which way it went.
    pub went: Went,
}

/// Whether more of something is good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Good {
    More,
    Less,
}

fn went(good: Good, difference: f64, by: f64) -> Went {
    if difference.abs() <= by {
        Went::Nowhere
    } else if (difference > 0.0) == (good == Good::More) {
        Went::Better
    } else {
        Went::Worse
    }
}

/// Two estimates side by side; `words` writes a value in SI units, `gap` a difference.
fn beside(
    what: &str,
    good: Good,
    (before, after): ((f64, f64), (f64, f64)),
    words: impl Fn(f64) -> String,
    gap: impl Fn(f64) -> String,
) -> Compared {
    let (difference, by) = (after.0 - before.0, NINETY * before.1.hypot(after.1));
    let plain = |(value, uncertainty): (f64, f64)| {
        let by = NINETY * uncertainty;
        let (low, high) = (words(value - by), words(value + by));
        if low == high {
            words(value)
        } else {
            format!("{} ± {}", words(value), gap(by).trim_start_matches('+'))
        }
    };
    let share = (before.0 > 0.0).then(|| ((difference - by) / before.0, (difference + by) / before.0));
    Compared {
        what: what.to_owned(),
        before: plain(before),
        after: plain(after),
        difference: format!("{} ± {}", gap(difference), gap(by).trim_start_matches('+')),
        share,
        went: went(good, difference, by),
    }
}

fn signed(text: String, value: f64) -> String {
    if value > 0.0 { format!("+{text}") } else { text }
}

fn pair<D>(estimate: &Estimate<D>) -> (f64, f64) {
    (estimate.value.si(), estimate.uncertainty_si())
}

/// A load that both logs ran.
struct Both {
    name: String,
    before: Settled,
    after: Settled,
}

fn loads(before: (&SoakLog, &SoakRead), after: (&SoakLog, &SoakRead)) -> Vec<Both> {
    let mut out: Vec<Both> = Vec::new();
    for stretch in &after.1.stretches {
        let Some(name) = &stretch.load else { continue };
        if out.iter().any(|both| both.name == *name) {
            continue;
        }
        let other = before.1.stretches.iter().filter(|other| other.load.as_ref() == Some(name));
        if let Some(other) = other.max_by_key(|other| other.rows.len()) {
            let longest = after.1.stretches.iter().filter(|one| one.load.as_ref() == Some(name));
            let rows = longest.max_by_key(|one| one.rows.len()).map_or(&stretch.rows, |one| &one.rows);
            out.push(Both {
                name: name.clone(),
                before: settled(before.0, &other.rows),
                after: settled(after.0, rows),
            });
        }
    }
    out
}

/// Rises are compared at this power, near what desktop processors hold for ever.
const AT_W: f64 = 65.0;

/// Everything that both logs tell.
///
/// # Model
/// The heat path is compared in kelvin per watt above the room, so neither a warmer day nor another power counts as a
/// difference. Work and energy are those of loads with the same name. Differences are sure where nine chances in ten
/// agree on their sign; uncertainties of both logs are taken as independent.
pub fn compare(
    before: (&SoakLog, &SoakRead),
    after: (&SoakLog, &SoakRead),
    room: Option<Quantity<TemperatureDim>>,
) -> Vec<Compared> {
    let mut out = Vec::new();
    if let (Ok(one), Ok(other)) = (&before.1.path, &after.1.path) {
        // With the case's air given in one log only, the totals are of different paths.
        if one.air_measured == other.air_measured {
            let both = (pair(&one.total), pair(&other.total));
            let k_w = |value: f64| format!("{} K/W", significant(value, 3));
            let gap = |value: f64| signed(format!("{} K/W", significant(value, 2)), value);
            let what = if one.air_measured { "junction to the case's air" } else { "junction to room" };
            out.push(beside(what, Good::Less, both, k_w, gap));
            if let Some(room) = room {
                let at = |(k_w, by): (f64, f64)| (room.si() + k_w * AT_W, by * AT_W);
                let celsius = |value: f64| Quantity::<TemperatureDim>::from_si(value).rounded(3);
                let kelvin = |value: f64| signed(format!("{} K", significant(value, 2)), value);
                let what = format!("junction at {} W in a room of {}", significant(AT_W, 3), room.rounded(2));
                let mut row = beside(&what, Good::Less, (at(both.0), at(both.1)), celsius, kelvin);
                // A share of kelvins above absolute zero says nothing.
                row.share = None;
                out.push(row);
            }
        }
    }
    if let (Some(one), Some(other)) = (&before.1.settled.clock, &after.1.settled.clock) {
        let clock = |value: f64| Quantity::<FrequencyDim>::from_si(value).rounded(3);
        let gap = |value: f64| signed(Quantity::<FrequencyDim>::from_si(value).rounded(2), value);
        out.push(beside("clock held on all cores", Good::More, (pair(one), pair(other)), clock, gap));
    }
    for both in loads(before, after) {
        let rate = |value: f64| rates(value, 3);
        if let (Some(one), Some(other)) = (both.before.work_per_s, both.after.work_per_s) {
            let gap = |value: f64| signed(rates(value, 2), value);
            out.push(beside(&format!("work done, {}", both.name), Good::More, (one, other), rate, gap));
            if let (Some(power), Some(now)) = (both.before.power, both.after.power) {
                let each = |power: (f64, f64), work: (f64, f64)| {
                    let value = power.0 / work.0;
                    (value, value * (power.1 / power.0).hypot(work.1 / work.0))
                };
                let joule = |value: f64| joules(value);
                let gap = |value: f64| signed(joules(value), value);
                let what = format!("energy for each unit of work, {}", both.name);
                out.push(beside(
                    &what,
                    Good::Less,
                    (each(pair(&power), one), each(pair(&now), other)),
                    joule,
                    gap,
                ));
            }
        }
    }
    out.extend(errors(before.0, after.0));
    out
}

/// A number with one of a unit's usual prefixes.
fn prefixed(value: f64, digits: u32, prefixes: &[(f64, &str)], unit: &str) -> String {
    let fits = prefixes.iter().find(|(factor, _)| value.abs() >= *factor);
    let (factor, prefix) = fits.or(prefixes.last()).copied().unwrap_or((1.0, ""));
    format!("{} {prefix}{unit}", significant(value / factor, digits))
}

/// A small energy in a unit that people read.
fn joules(value: f64) -> String {
    prefixed(value, 3, &[(1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n")], "J")
}

/// Units of work in a second.
fn rates(value: f64, digits: u32) -> String {
    prefixed(value, digits, &[(1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, "")], "/s")
}

fn errors(before: &SoakLog, after: &SoakLog) -> Option<Compared> {
    let last = |log: &SoakLog| log.errors.iter().rev().flatten().next().copied();
    let (one, other) = (last(before)?, last(after)?);
    let hours = |log: &SoakLog| Quantity::<DurationDim>::from_si(log.length().si()).rounded(2);
    Some(Compared {
        what: "wrong results".to_owned(),
        before: format!("{} in {}", significant(one, 4), hours(before)),
        after: format!("{} in {}", significant(other, 4), hours(after)),
        difference: signed(significant(other - one, 4), other - one),
        share: None,
        went: if other > one {
            Went::Worse
        } else if other < one {
            Went::Better
        } else {
            Went::Nowhere
        },
    })
}
