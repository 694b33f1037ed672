//! Power at the wall for a load behind the supply.

use physics::supply::certificate::{self, Column, Level};
use physics::supply::curve::{LossCurve, through};
use quantity::dimension::PowerDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::part::supply::{Certificate, Supply};

/// Mains voltage, which decides the column of the certificate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mains {
    /// 115 V.
    Volts115,
    /// 230 V.
    #[default]
    Volts230,
}

/// Efficiency of a supply whose certificate says nothing at this load.
///
/// # Source
/// common practice, no source.
const WITHOUT_CERTIFICATE: (f64, f64) = (0.65, 0.90);

/// Power at the wall while the supply's outputs carry `load`.
///
/// # Model
/// Where a certificate is known its efficiency is a lower bound at the certified points; above it a
/// supply may be up to three points better. Below the lowest certified load nothing is promised.
pub fn wall_power(supply: &Supply, load: Figure<PowerDim>, mains: Mains) -> Figure<PowerDim> {
    load.map(|load| {
        let at = |watts: f64| efficiency(supply, watts, mains);
        Interval::between(
            Quantity::from_si(load.low().si() / at(load.low().si()).1),
            Quantity::from_si(load.high().si() / at(load.high().si()).0),
        )
    })
}

/// What a supply's own curve may be off by between its points.
///
/// # Source
/// common practice, no source: points on sheets are rounded to half a per cent.
const CURVE_OFF: f64 = 0.01;

/// The loss curve through the three efficiencies on a supply's sheet, at their ends.
fn curve(supply: &Supply) -> Option<(LossCurve, LossCurve)> {
    let [at_20, at_50, at_100] = supply.efficiency;
    let (a, b, c) = (at_20.get()?, at_50.get()?, at_100.get()?);
    let fit = |a: f64, b: f64, c: f64| through(&[(0.2, a), (0.5, b), (1.0, c)]).ok();
    Some((fit(a.low().si(), b.low().si(), c.low().si())?, fit(a.high().si(), b.high().si(), c.high().si())?))
}

/// Lowest and highest efficiency of a supply at a load in watts.
///
/// # Model
/// The curve through the three efficiencies on its sheet, where it has them; else what its certificate
/// promises at this load; else what supplies of the last twenty years span.
pub fn efficiency(supply: &Supply, load_w: f64, mains: Mains) -> (f64, f64) {
    let Reading::Known(rated, _) = supply.rated_power else { return WITHOUT_CERTIFICATE };
    if let Some((worst, best)) = curve(supply) {
        let share = load_w / rated.middle().si();
        let off = |efficiency: f64, by: f64| (efficiency + by).clamp(0.05, 0.99);
        return (off(worst.efficiency(share), -CURVE_OFF), off(best.efficiency(share), CURVE_OFF));
    }
    let certified = supply
        .certificate
        .get()
        .and_then(|certificate| least_efficiency(certificate, load_w / rated.middle().si(), mains));
    certified.map_or(WITHOUT_CERTIFICATE, |least| (least, (least + 0.03).min(0.97)))
}

/// What the certificate promises at a share of the rated power; none where it says nothing.
fn least_efficiency(certificate: Certificate, load_share: f64, mains: Mains) -> Option<f64> {
    let level = match certificate {
        Certificate::Standard => Level::Standard,
        Certificate::Bronze => Level::Bronze,
        Certificate::Silver => Level::Silver,
        Certificate::Gold => Level::Gold,
        Certificate::Platinum => Level::Platinum,
        Certificate::Titanium => Level::Titanium,
    };
    let column = match mains {
        Mains::Volts115 => Column::Volts115,
        Mains::Volts230 => Column::Volts230Europe,
    };
    certificate::least_efficiency(level, column, 1.0, load_share).ok().flatten()
}
