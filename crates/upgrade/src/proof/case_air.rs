//! What was read of the air in the case beside a log: by a thermometer, or by a second soak with the side of the case open.

use quantity::dimension::ThermalResistanceDim;
use quantity::text::significant;

use crate::proof::criterion::room;
use crate::proof::expected::Expected;
use crate::proof::log::SoakLog;
use crate::proof::path::{Estimate, PathFound};
use crate::proof::settled::Settled;

/// Warming of the air that the cooler takes, for each watt of the processor.
#[derive(Debug, Clone, PartialEq)]
pub struct AirTold {
    /// In K/W; above zero.
    pub k_w: f64,
    /// Standard uncertainty.
    pub uncertainty_k_w: f64,
    /// How it is known, for the reader.
    pub words: String,
}

/// A thermometer held into the air by hand, in kelvin.
///
/// # Source
/// common practice, no source.
const BY_HAND_K: f64 = 1.0;
/// Less than this is not told from nothing, in K/W.
const LEAST_K_W: f64 = 0.004;
/// Share of the warming that stays with the side open, and how far that may be off.
///
/// # Source
/// common practice, no source.
const STAYS: (f64, f64) = (0.15, 0.1);

fn told(k_w: f64, uncertainty_k_w: f64, how: &str) -> AirTold {
    let estimate = Estimate::<ThermalResistanceDim>::of_si(k_w, uncertainty_k_w);
    AirTold {
        k_w: k_w.max(LEAST_K_W),
        uncertainty_k_w,
        words: format!("the air in the case warms by {} {how}", estimate.words()),
    }
}

/// By the thermometer whose reading stands above the log, at the end of the main load.
pub fn by_thermometer(log: &SoakLog, settled: &Settled) -> Option<AirTold> {
    let air = log.about.case_air?;
    let (room, power) = (room(log, settled)?, settled.power?);
    let watts = power.value.si();
    if watts < 1.0 {
        return None;
    }
    let rise = air.si() - room.value.si();
    let uncertainty = BY_HAND_K.hypot(room.uncertainty_si()) / watts;
    Some(told(
        rise / watts,
        uncertainty,
        &format!("({} K at {}), by the thermometer", significant(rise, 2), power.value.rounded(3)),
    ))
}

/// By a soak of the same machine with the side of its case open: what the whole path loses by that is the air's.
///
/// # Model
/// The sums of both paths are far better known than their parts. Where the fan turned at another speed, the cooler is brought to that of
/// the closed case by the cooler's own law; half of that counts as uncertain.
pub fn by_open_side(
    (closed, share): (&PathFound, Option<f64>),
    (open, open_share): (&PathFound, Option<f64>),
    expected: &Expected,
) -> AirTold {
    let middle = |share: Option<f64>| expected.sink_at(share).get().map(|sink| sink.middle().si());
    let times = match (share, open_share) {
        (Some(_), Some(_)) => middle(share).zip(middle(open_share)).map_or(1.0, |(one, other)| one / other),
        _ => 1.0,
    };
    let sink = open.step("cooler").and_then(|step| step.found).map_or(0.0, |found| found.value.si());
    let by_fan = sink * (times - 1.0);
    let less = closed.total.value.si() - open.total.value.si() - by_fan;
    let uncertainty = closed.total.uncertainty_si().hypot(open.total.uncertainty_si()).hypot(0.5 * by_fan);
    let k_w = less / (1.0 - STAYS.0);
    let how =
        format!("for each watt: with its side open the whole path takes {} K/W less", significant(less, 2));
    told(k_w, (uncertainty / (1.0 - STAYS.0)).hypot(k_w * STAYS.1).max(LEAST_K_W), &how)
}
