//! One number whose dimension is part of its type.

use core::cmp::Ordering;
use core::marker::PhantomData;
use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use crate::dimension::{Dimension, Temperature, TemperatureDifference, TemperatureDifferenceDim};

/// A physical quantity: a number in the SI unit of its dimension.
///
/// # Example
/// ```
/// use quantity::dimension::Power;
/// let limit: Power = "95 W".parse()?;
/// assert_eq!(limit.si(), 95.0);
/// assert_eq!(limit.to_string(), "95 W");
/// # Ok::<(), quantity::text::QuantityError>(())
/// ```
#[derive(Debug)]
pub struct Quantity<D> {
    si: f64,
    dimension: PhantomData<D>,
}

impl<D> Clone for Quantity<D> {
    fn clone(&self) -> Self {
        *self
    }
}

// Copy whatever the marker is: the marker is never stored.
impl<D> Copy for Quantity<D> {}

impl<D> Quantity<D> {
    /// The quantity of this many SI units of its dimension.
    pub const fn from_si(si: f64) -> Self {
        Self { si, dimension: PhantomData }
    }

    /// How many SI units of its dimension it is.
    pub const fn si(self) -> f64 {
        self.si
    }

    /// Whether it is a finite number.
    pub const fn is_finite(self) -> bool {
        self.si.is_finite()
    }

    /// The smaller of two.
    pub const fn min(self, other: Self) -> Self {
        Self::from_si(self.si.min(other.si))
    }

    /// The larger of two.
    pub const fn max(self, other: Self) -> Self {
        Self::from_si(self.si.max(other.si))
    }

    /// Order by value; numbers that are not numbers come last.
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        self.si.total_cmp(&other.si)
    }
}

impl<D: Dimension> Quantity<D> {
    /// The quantity of `number` of the unit with this symbol, or `None` where the dimension has no
    /// such unit.
    ///
    /// # Example
    /// ```
    /// use quantity::dimension::Length;
    /// assert_eq!(Length::of(69.0, "mm"), "69 mm".parse().ok());
    /// assert_eq!(Length::of(69.0, "W"), None);
    /// ```
    pub fn of(number: f64, symbol: &str) -> Option<Self> {
        let unit = D::UNITS.iter().find(|unit| unit.symbols.contains(&symbol))?;
        Some(Self::from_si(unit.to_si(number)))
    }
}

impl<D> PartialEq for Quantity<D> {
    fn eq(&self, other: &Self) -> bool {
        self.si == other.si
    }
}

impl<D> PartialOrd for Quantity<D> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        self.si.partial_cmp(&other.si)
    }
}

impl<D> Add for Quantity<D> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from_si(self.si + other.si)
    }
}

impl<D> AddAssign for Quantity<D> {
    fn add_assign(&mut self, other: Self) {
        self.si += other.si;
    }
}

/// Two temperatures differ by a temperature difference; every other dimension by itself.
macro_rules! subtract {
    ($($marker:ident)+) => {$(
        impl Sub for Quantity<crate::dimension::$marker> {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self::from_si(self.si - other.si)
            }
        }
    )+};
}

subtract! {
    PowerDim EnergyDim LengthDim AreaDim VolumeDim TemperatureDifferenceDim ThermalResistanceDim
    AreaResistanceDim ConductivityDim FilmCoefficientDim HeatCapacityDim VolumetricHeatCapacityDim
    HeatFluxDim FrequencyDim TransferRateDim CapacityDim DataRateDim RotationSpeedDim VoltageDim
    CurrentDim ChargeDim ResistanceDim InductanceDim CapacitanceDim DurationDim FlowDim PressureDim
    ViscosityDim ForceDim TorqueDim MassDim DensityDim SpeedDim SoundLevelDim RatioDim
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        Quantity::from_si(self.si - other.si)
    }
}

impl Add<Quantity<TemperatureDifferenceDim>> for Temperature {
    type Output = Self;
    fn add(self, rise: TemperatureDifference) -> Self {
        Self::from_si(self.si + rise.si)
    }
}

impl Sub<Quantity<TemperatureDifferenceDim>> for Temperature {
    type Output = Self;
    fn sub(self, rise: TemperatureDifference) -> Self {
        Self::from_si(self.si - rise.si)
    }
}

impl Temperature {
    /// The temperature of this many degrees Celsius.
    pub const fn from_celsius(celsius: f64) -> Self {
        Self::from_si(celsius + 273.15)
    }

    /// Degrees Celsius.
    pub const fn celsius(self) -> f64 {
        self.si - 273.15
    }
}

impl<D> Neg for Quantity<D> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::from_si(-self.si)
    }
}

impl<D> Mul<f64> for Quantity<D> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::from_si(self.si * factor)
    }
}

impl<D> Div<f64> for Quantity<D> {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::from_si(self.si / divisor)
    }
}

impl<D> Div for Quantity<D> {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.si / other.si
    }
}

impl<D> core::iter::Sum for Quantity<D> {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        Self::from_si(items.map(|item| item.si).sum())
    }
}
