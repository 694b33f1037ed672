//! The cooler to the air that enters it: from its fins, its sheet or its rating; at other fan speeds; at a height.

use physics::air::density::ratio_at;
use physics::cooler::fan::{Fan, Resistance, operating_point, sound_change_db};
use quantity::dimension::{SoundLevelDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::carry::assumption::between;
use crate::carry::cooler_build::{in_still_air, of_loop, under_fans};
use crate::machine::proposal::Proposal;
use crate::part::cooler::{Cooler, CoolerBuild, Fans};

/// Temperature rise at which makers state the heat a cooler carries, in kelvin.
///
/// # Source
/// common practice, no source.
const RATING_RISE_K: (f64, f64) = (40.0, 60.0);

/// Share of a cooler's resistance that is film on fins; the rest is metal, which air does not touch.
///
/// # Source
/// common practice, no source.
const FILM_SHARE: (f64, f64) = (0.6, 0.95);

/// Exponent of the film in the air's speed and density: laminar to turbulent.
///
/// # Source
/// Incropera et al., eqs. 7.30 (Re^1/2) and 7.38 (Re^4/5); from memory.
const FILM_EXPONENT: (f64, f64) = (0.5, 0.8);

/// Height where nobody said it, in metres.
///
/// # Source
/// common practice, no source: where nine people in ten live, and more.
const UNKNOWN_ALTITUDE_M: (f64, f64) = (0.0, 2000.0);

/// How many times a cooler's resistance is, at a ratio of air speed or density to that of its sheet.
pub(crate) fn at_ratio(ratio: f64) -> (f64, f64) {
    let times = |share: f64, exponent: f64| 1.0 + share * (ratio.powf(-exponent) - 1.0);
    let (a, b) = (times(FILM_SHARE.0, FILM_EXPONENT.0), times(FILM_SHARE.1, FILM_EXPONENT.1));
    (a.min(b), a.max(b))
}

/// Density of the air at both ends of what is known of the height: densest first.
pub fn density(proposal: &Proposal<'_>) -> (f64, f64) {
    let (low, high) = proposal.now.setting.altitude.get().map_or(UNKNOWN_ALTITUDE_M, |height| {
        (height.low().si().clamp(-500.0, 9_000.0), height.high().si().clamp(-500.0, 9_000.0))
    });
    // Clamped to the range of the law, so that it cannot refuse.
    (ratio_at(low).unwrap_or(1.0), ratio_at(high).unwrap_or(1.0))
}

/// Base of the cooler to the air that enters it, at full fan speed, at this machine's height.
///
/// # Model
/// The resistance on its sheet; else what it is built of: plate, liquid and radiator of a loop, fins under their fans,
/// fins in still air ([`crate::carry::cooler_build`]); else its rating. The sheet's figures are for sea level: thinner
/// air takes less, by the film's share and exponent.
pub fn cooler_to_air(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    let cooler = proposal.cooler();
    let density = density(proposal);
    if cooler.is_refit() && cooler.resistance.is_unknown() && cooler.rated_heat.is_unknown() {
        return with_fans(proposal, cooler, density);
    }
    if cooler.resistance.is_unknown()
        && let Some((best, worst)) = from_build(proposal, density)
    {
        return between(best, worst);
    }
    cooler.resistance.or(from_rating(cooler)).map(|resistance| {
        Interval::between(
            Quantity::from_si(resistance.low().si() * at_ratio(density.0).0),
            Quantity::from_si(resistance.high().si() * at_ratio(density.1).1),
        )
    })
}

/// The cooler that is there with other fans.
///
/// # Model
/// Where its fins are known, from them; else the resistance on its sheet, or its rating, at the ratio of the air its fins
/// get: where both fans' straight lines meet the same resistance to flow, which is not known and lies between one that
/// goes with the flow and one that goes with its square, and is such that the old fans worked at 40 to 80 % of their free
/// flow (common practice, no source).
fn with_fans(proposal: &Proposal<'_>, fans: &Cooler, density: (f64, f64)) -> Figure<ThermalResistanceDim> {
    let present = &proposal.now.cooler.part;
    let base = match &fans.refit_of {
        Some(id) if *id != present.id => proposal.library.coolers.get(id),
        _ => Some(present),
    };
    let found = base.zip(fans.fans.as_ref()).and_then(|(base, new)| {
        if let Some(fins) =
            base.fins.as_ref().filter(|_| base.liquid.is_none() && base.resistance.is_unknown())
        {
            return Some((under_fans(fins, new, density.0)?.0, under_fans(fins, new, density.1)?.1));
        }
        let known = base.resistance.or(from_rating(base)).get()?;
        let ratios = flow_ratios(base.fans.as_ref()?, new)?;
        Some((
            known.low().si() * at_ratio(density.0).0 * at_ratio(ratios.1).0,
            known.high().si() * at_ratio(density.1).1 * at_ratio(ratios.0).1,
        ))
    });
    found.map_or(Reading::Unknown, |(best, worst)| between(best, worst))
}

/// Where on their line the old fans may have worked, as shares of their free flow.
///
/// # Source
/// common practice, no source.
const OLD_WORKED_AT: [f64; 2] = [0.4, 0.8];

/// Least and most flow of other fans over that of the old ones, through the same fins.
fn flow_ratios(old: &Fans, new: &Fans) -> Option<(f64, f64)> {
    let fan = |fans: &Fans| {
        Some(Fan {
            shut_pressure_pa: fans.shut_pressure.get()?.middle().si(),
            free_flow_m3_s: fans.free_flow.get()?.middle().si() * f64::from(fans.count),
        })
    };
    let (old, new) = (fan(old)?, fan(new)?);
    let mut ratios = (f64::INFINITY, 0.0_f64);
    for share in OLD_WORKED_AT {
        let flow = share * old.free_flow_m3_s;
        let lost_pa = old.shut_pressure_pa * (1.0 - share);
        for fins in [
            Resistance { linear_pa_s_m3: lost_pa / flow, quadratic_pa_s2_m6: 0.0 },
            Resistance { linear_pa_s_m3: 0.0, quadratic_pa_s2_m6: lost_pa / (flow * flow) },
        ] {
            let (now, _) = operating_point(&new, &fins).ok()?;
            ratios = (ratios.0.min(now / flow), ratios.1.max(now / flow));
        }
    }
    Some(ratios)
}

/// A cooler from what it is built of, where that is known: K/W at the best end and at the worst.
fn from_build(proposal: &Proposal<'_>, density: (f64, f64)) -> Option<(f64, f64)> {
    let cooler = proposal.cooler();
    if let Some(liquid) = &cooler.liquid {
        return of_loop(liquid, cooler.fins.as_ref(), cooler.fans.as_ref(), density);
    }
    let fins = cooler.fins.as_ref()?;
    match &cooler.fans {
        Some(fans) => Some((under_fans(fins, fans, density.0)?.0, under_fans(fins, fans, density.1)?.1)),
        None if cooler.build.get() == Some(CoolerBuild::Fanless) => in_still_air(proposal, fins, density),
        None => None,
    }
}

fn from_rating(cooler: &Cooler) -> Figure<ThermalResistanceDim> {
    cooler.rated_heat.map(|heat| {
        Interval::between(
            Quantity::from_si(RATING_RISE_K.0 / heat.high().si()),
            Quantity::from_si(RATING_RISE_K.1 / heat.low().si()),
        )
    })
}

/// How many times the cooler's resistance is, and its noise, at a share of the full fan speed.
///
/// # Model
/// Air goes with the speed; noise by 50 log10 of it (common practice, no source). A cooler without a fan
/// has no other speed.
pub fn at_speed(cooler: &Cooler, share: f64) -> Option<((f64, f64), Figure<SoundLevelDim>)> {
    if cooler.build.get() == Some(CoolerBuild::Fanless) {
        return None;
    }
    let fans = cooler.fans.as_ref()?;
    let change = sound_change_db(share).ok()?;
    let noise = fans.noise.map(|noise| {
        let at = |level: Quantity<SoundLevelDim>| Quantity::from_si((level.si() + change).max(0.0));
        Interval::between(at(noise.low()), at(noise.high()))
    });
    Some((at_ratio(share), noise))
}
