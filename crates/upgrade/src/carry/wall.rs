//! Power at the wall for a load behind the supply.

use physics::supply::certificate::{self, Column, Level};
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

/// Lowest and highest efficiency at a load in watts.
fn efficiency(supply: &Supply, load_w: f64, mains: Mains) -> (f64, f64) {
    let Reading::Known(rated, _) = supply.rated_power else { return WITHOUT_CERTIFICATE };
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
