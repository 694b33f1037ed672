//! The signs in a log.

use quantity::dimension::{Dimension, RatioDim};
use quantity::measure::Quantity;
use quantity::reading::Figure;
use quantity::text::significant;

use crate::proof::expected::Expected;
use crate::proof::log::{Share, SoakLog, Track, Turning};
use crate::proof::path::{Estimate, PathFound};
use crate::proof::settled::Settled;
use crate::proof::sign::Sign;
use crate::proof::slope::slope;
use crate::proof::stretch::{Stretch, is_light};

/// A sign as a log shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct SignRead {
    /// Which.
    pub sign: Sign,
    /// Its value; of a step of the heat path the natural logarithm of its K/W.
    pub value: f64,
    /// Standard uncertainty of the value.
    pub uncertainty: f64,
    /// Value with its unit.
    pub words: String,
    /// What a sound machine would show, where it is known.
    pub sound: Option<String>,
}

/// A share in percent.
pub(crate) fn share(part: f64) -> String {
    Quantity::<RatioDim>::from_si(part).rounded(2)
}

fn expected_words<D: Dimension>(figure: &Figure<D>) -> Option<String> {
    figure.known().map(|value| value.rounded(2))
}

fn ratio(sign: Sign, part: f64, whole: f64, uncertainty: f64, sound: &str) -> Option<SignRead> {
    (whole > 0.0).then(|| SignRead {
        sign,
        value: part / whole,
        uncertainty: uncertainty / whole,
        words: share(part / whole),
        sound: Some(sound.to_owned()),
    })
}

/// Steps of the heat path; the air in the case from its own sensor where there is one.
fn steps(
    path: Option<&PathFound>,
    settled: &Settled,
    rest: Option<&Settled>,
    expected: &Expected,
) -> Vec<SignRead> {
    let mut out = Vec::new();
    if let Some(path) = path {
        for (name, sign) in
            [("paste", Sign::Paste), ("cooler", Sign::Sink), ("air in the case", Sign::CaseAir)]
        {
            let Some(step) = path.step(name) else { continue };
            let Some(found) = step.found else { continue };
            let value = found.value.si().ln();
            out.push(SignRead {
                sign,
                value,
                uncertainty: (found.band.high().si().ln() - value) / crate::proof::path::NINETY,
                words: found.words(),
                sound: expected_words(&step.sound),
            });
        }
    }
    let warmed = settled.case_air.zip(settled.power).zip(rest.and_then(|rest| rest.case_air.zip(rest.power)));
    if let Some(((air, power), (air_rest, power_rest))) = warmed {
        let (rise, watts) = (air.value.si() - air_rest.value.si(), power.value.si() - power_rest.value.si());
        if watts > 1.0 {
            let blur = air.uncertainty_si().hypot(air_rest.uncertainty_si()).hypot(0.2) / watts;
            let resistance = (rise / watts).max(1e-3);
            let estimate = Estimate::<quantity::dimension::ThermalResistanceDim>::of_si(rise / watts, blur);
            out.push(SignRead {
                sign: Sign::CaseAir,
                value: resistance.ln(),
                uncertainty: (blur / resistance).min(1.0),
                words: estimate.words(),
                sound: expected_words(&expected.sound.case_air),
            });
        }
    }
    out
}

fn limits(log: &SoakLog, settled: &Settled, expected: &Expected) -> Vec<SignRead> {
    let makers = expected.sustained_power.get().map(|power| power.middle().si());
    let set = log.about.power_limit.map(|limit| limit.si());
    let mut out = Vec::new();
    if let (Some(set), Some(makers)) = (set, makers) {
        out.extend(ratio(Sign::LimitSet, set, makers, 0.0, "100 %"));
    }
    if let (Some(power), Some(limit)) = (settled.power, set.or(makers)) {
        out.extend(ratio(Sign::PowerOfLimit, power.value.si(), limit, power.uncertainty_si(), "up to 100 %"));
    }
    let held = |wanted: &[Share]| {
        let found: Vec<_> = settled.held.iter().filter(|(share, _)| wanted.contains(share)).collect();
        (!found.is_empty()).then(|| {
            let sum: f64 = found.iter().map(|(_, held)| held.value.si()).sum();
            let blur: f64 = found.iter().map(|(_, held)| held.uncertainty_si()).sum();
            (sum.clamp(0.0, 1.0), blur)
        })
    };
    for (sign, wanted) in [
        (Sign::HeldByPower, &[Share::HeldByPower][..]),
        (Sign::HeldByStages, &[Share::HeldByStages, Share::HeldByCurrent]),
        (Sign::HeldByJunction, &[Share::HeldByJunction]),
    ] {
        if let Some((value, uncertainty)) = held(wanted) {
            let sound = sign.sound(expected);
            let planned =
                if sound.force == crate::proof::sign::Force::May { "may hold, by the plan" } else { "0 %" };
            out.extend(ratio(sign, value, 1.0, uncertainty, planned));
        }
    }
    if let (Some(junction), Some(limit)) = (settled.junction, expected.junction_limit.get()) {
        let left = limit.low().si() - junction.value.si();
        out.push(SignRead {
            sign: Sign::Margin,
            value: left,
            uncertainty: junction.uncertainty_si(),
            words: format!("{} K", significant(left, 2)),
            sound: Some("above 3 K".to_owned()),
        });
    }
    if let Some(stages) = settled.stages {
        out.push(SignRead {
            sign: Sign::Stages,
            value: stages.value.celsius(),
            uncertainty: stages.uncertainty_si(),
            words: stages.value.rounded(2),
            sound: Some("below 95 °C".to_owned()),
        });
    }
    out
}

/// Share of its full speed that firmware has a fan turn at, by the processor's temperature.
///
/// # Source
/// common practice, no source: slow up to 50 °C, full from 80 °C on.
fn usual_share(celsius: f64) -> f64 {
    (SLOWEST_USUAL + (1.0 - SLOWEST_USUAL) * (celsius - 50.0) / 30.0).clamp(SLOWEST_USUAL, 1.0)
}

const SLOWEST_USUAL: f64 = 0.4;

fn turning(log: &SoakLog, settled: &Settled, expected: &Expected) -> Vec<SignRead> {
    let mut out = Vec::new();
    if let (Some(fan), Some(full)) = (settled.fan, expected.full_speed.get()) {
        let usual = settled.junction.map_or(SLOWEST_USUAL, |junction| usual_share(junction.value.celsius()));
        let turns = fan.value.si() / full.middle().si();
        out.push(SignRead {
            sign: Sign::Fan,
            value: turns / usual,
            uncertainty: fan.uncertainty_si() / (usual * full.middle().si()),
            words: format!("{}, {} of its full speed", fan.value.rounded(3), share(turns)),
            sound: Some(format!("{} or more at this temperature", share(0.65 * usual))),
        });
    }
    if let Some(pump) = settled.pump {
        let speeds = Track::of(&log.turning, &Turning::Pump(1)).unwrap_or(&[]);
        let highest = speeds.iter().flatten().map(|speed| speed.si()).fold(0.0, f64::max);
        let read = ratio(Sign::Pump, pump.value.si(), highest, pump.uncertainty_si(), "60..110 %");
        out.push(read.unwrap_or_else(|| SignRead {
            sign: Sign::Pump,
            value: 0.0,
            uncertainty: 0.0,
            words: "0 rpm".to_owned(),
            sound: Some("turning".to_owned()),
        }));
    }
    out
}

fn errors(log: &SoakLog, stretches: &[Stretch]) -> Vec<SignRead> {
    if log.errors.iter().all(Option::is_none) {
        return Vec::new();
    }
    let made = |stretch: &Stretch| {
        let mut known = log.errors.get(stretch.rows.clone()).unwrap_or(&[]).iter().flatten();
        let first =
            log.errors.get(..=stretch.rows.start).unwrap_or(&[]).iter().rev().flatten().next().copied();
        let last = known.next_back().copied().or(first)?;
        Some((last - first.unwrap_or(0.0)).max(0.0))
    };
    let mut out = Vec::new();
    for (sign, light) in [(Sign::ErrorsLight, true), (Sign::ErrorsFull, false)] {
        // Nothing is checked while nothing is worked at.
        let of: Vec<f64> = stretches
            .iter()
            .filter(|stretch| stretch.load.is_some() && is_light(log, stretches, stretch) == light)
            .filter_map(made)
            .collect();
        if !of.is_empty() {
            let count: f64 = of.iter().sum();
            out.push(SignRead {
                sign,
                value: (1.0 + count).log10(),
                uncertainty: 0.0,
                words: significant(count, 4),
                sound: Some("0".to_owned()),
            });
        }
    }
    out
}

/// Every sign that the log shows, in the order of [`Sign::ALL`].
pub fn signs(
    log: &SoakLog,
    stretches: &[Stretch],
    (settled, rest): (&Settled, Option<&Settled>),
    path: Option<&PathFound>,
    expected: &Expected,
) -> Vec<SignRead> {
    let mut out = steps(path, settled, rest, expected);
    out.extend(limits(log, settled, expected));
    out.extend(turning(log, settled, expected));
    out.extend(slope((settled, rest), path, expected));
    out.extend(errors(log, stretches));
    out.sort_by_key(|read| read.sign);
    out
}
