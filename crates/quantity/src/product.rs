//! Products and quotients of different dimensions that the computations use.

use core::ops::{Div, Mul};

use crate::dimension::{
    Area, Charge, Conductivity, Current, Duration, Energy, FilmCoefficient, Force, Frequency, HeatCapacity,
    HeatFlux, Length, Power, Pressure, Resistance, TemperatureDifference, ThermalResistance, Voltage, Volume,
};

/// `a * b = c` gives `b * a = c`, `c / a = b` and `c / b = a` as well.
macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)+) => {$(
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c::from_si(self.si() * other.si())
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c::from_si(self.si() * other.si())
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b::from_si(self.si() / other.si())
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a::from_si(self.si() / other.si())
            }
        }
    )+};
}

product! {
    Power * ThermalResistance = TemperatureDifference;
    Voltage * Current = Power;
    Current * Resistance = Voltage;
    Power * Duration = Energy;
    Current * Duration = Charge;
    Charge * Voltage = Energy;
    Charge * Frequency = Current;
    Energy * Frequency = Power;
    Area * HeatFlux = Power;
    FilmCoefficient * TemperatureDifference = HeatFlux;
    Pressure * Area = Force;
    Area * Length = Volume;
    HeatCapacity * TemperatureDifference = Energy;
    ThermalResistance * HeatCapacity = Duration;
    FilmCoefficient * Length = Conductivity;
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::from_si(self.si() * other.si())
    }
}
