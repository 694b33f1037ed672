//! Where the machine stands and how long it works.

use quantity::dimension::{DurationDim, LengthDim, TemperatureDifferenceDim, TemperatureDim};
use quantity::money::Money;
use quantity::reading::Figure;

use crate::carry::wall::Mains;

/// Surroundings and hours of a machine.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Setting {
    /// Temperature of the room.
    pub room: Figure<TemperatureDim>,
    /// Height above sea level.
    pub altitude: Figure<LengthDim>,
    /// How much warmer the case's air is at full work, where measured.
    pub case_air_rise: Figure<TemperatureDifferenceDim>,
    /// Days a year on which it works.
    pub days_a_year: Option<u16>,
    /// Hours a day for which it is on.
    pub hours_on: Figure<DurationDim>,
    /// Mains voltage of the place.
    pub mains: Mains,
    /// Price of one kilowatt-hour.
    pub energy_price: Option<Money>,
}
