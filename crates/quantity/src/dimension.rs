//! The dimensions this program computes with, and the unit symbols a person may write for each.
//!
//! Symbols follow the SI brochure (BIPM, 9th edition, 2019, tables 2 to 8) and the trade: `MT/s`
//! for memory, `rpm` for fans, binary multiples for memory capacity (JEDEC JESD100B.01 lets `GB`
//! mean 2^30 bytes there). Each symbol's first spelling is the one printed.

use crate::measure::Quantity;

/// One written unit: its spellings, and `si = number * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Accepted spellings; the first is printed.
    pub symbols: &'static [&'static str],
    /// How many SI units one of these is.
    pub factor: f64,
    /// SI value of zero on this scale; zero for all but temperatures.
    pub offset: f64,
    /// Whether printing may choose it.
    pub printed: bool,
}

impl Unit {
    /// The SI value of this many of the unit.
    ///
    /// Divides where the factor is one over a whole number, so that `45 um` is exactly `4.5e-5` m.
    pub fn to_si(&self, number: f64) -> f64 {
        let inverse = (1.0 / self.factor).round();
        if self.factor < 1.0 && (inverse * self.factor - 1.0).abs() < 1e-12 {
            number / inverse + self.offset
        } else {
            number * self.factor + self.offset
        }
    }

    /// How many of the unit an SI value is.
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }
}

/// A kind of physical quantity.
pub trait Dimension: Copy + Clone + core::fmt::Debug + PartialEq + Send + Sync + 'static {
    /// What a message calls it, for example `power`.
    const NAME: &'static str;
    /// An example that an error message can show.
    const EXAMPLE: &'static str;
    /// Units, largest printed unit first.
    const UNITS: &'static [Unit];
    /// Largest magnitude, in SI, that any part of a desktop computer could have: beyond it a value
    /// is a slip of the pen.
    const LARGEST_SI: f64;
}

const fn shown(symbols: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbols, factor, offset: 0.0, printed: true }
}

const fn taken(symbols: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbols, factor, offset: 0.0, printed: false }
}

const fn scale(symbols: &'static [&'static str], offset: f64, printed: bool) -> Unit {
    Unit { symbols, factor: 1.0, offset, printed }
}

macro_rules! dimensions {
    ($($(#[$doc:meta])* $marker:ident, $alias:ident, $name:literal, $example:literal, $largest:literal, [$($unit:expr),+ $(,)?];)+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub struct $marker;
            impl Dimension for $marker {
                const NAME: &'static str = $name;
                const EXAMPLE: &'static str = $example;
                const UNITS: &'static [Unit] = &[$($unit),+];
                const LARGEST_SI: f64 = $largest;
            }
            $(#[$doc])*
            pub type $alias = Quantity<$marker>;
        )+
        /// Every dimension's name, example and units, for tests and help pages.
        pub const ALL: &[(&str, &str, &[Unit])] = &[$(($name, $example, <$marker as Dimension>::UNITS)),+];
    };
}

// One list, so that a dimension is added in one place: marker, alias, name, example, limit, units.
dimensions! {
    /// Power in watts.
    PowerDim, Power, "power", "95 W", 1e6, [taken(&["kW"], 1e3), shown(&["W"], 1.0), taken(&["mW"], 1e-3)];
    /// Energy in joules.
    EnergyDim, Energy, "energy", "350 kWh", 1e15, [shown(&["kWh"], 3.6e6), taken(&["Wh"], 3.6e3), shown(&["J"], 1.0), taken(&["mJ"], 1e-3), taken(&["uJ", "µJ"], 1e-6)];
    /// Length in metres.
    LengthDim, Length, "length", "69 mm", 1e4, [taken(&["m"], 1.0), taken(&["cm"], 1e-2), shown(&["mm"], 1e-3), shown(&["um", "µm"], 1e-6), taken(&["nm"], 1e-9)];
    /// Area in square metres.
    AreaDim, Area, "area", "1180 mm2", 1e3, [taken(&["m2", "m²"], 1.0), taken(&["cm2", "cm²"], 1e-4), shown(&["mm2", "mm²"], 1e-6)];
    /// Volume in cubic metres.
    VolumeDim, Volume, "volume", "60 mm3", 1e3, [taken(&["m3", "m³"], 1.0), taken(&["l", "L"], 1e-3), taken(&["ml", "mL"], 1e-6), shown(&["mm3", "mm³", "ul", "µl"], 1e-9)];
    /// Thermodynamic temperature in kelvin, written in degrees Celsius.
    TemperatureDim, Temperature, "temperature", "95 °C", 1e4, [scale(&["°C", "C", "degC"], 273.15, true), scale(&["K"], 0.0, false)];
    /// Temperature difference in kelvin.
    TemperatureDifferenceDim, TemperatureDifference, "temperature difference", "12 K", 1e4, [shown(&["K"], 1.0), taken(&["mK"], 1e-3)];
    /// Thermal resistance in kelvin per watt.
    ThermalResistanceDim, ThermalResistance, "thermal resistance", "0.21 K/W", 1e6, [shown(&["K/W", "°C/W", "C/W"], 1.0)];
    /// Thermal resistance of a unit area, in square metre kelvin per watt.
    AreaResistanceDim, AreaResistance, "thermal resistance of unit area", "8 mm2K/W", 1e3, [taken(&["m2K/W", "m²K/W"], 1.0), taken(&["cm2K/W", "cm²K/W"], 1e-4), shown(&["mm2K/W", "mm²K/W"], 1e-6)];
    /// Thermal conductivity in watts per metre and kelvin.
    ConductivityDim, Conductivity, "thermal conductivity", "8.5 W/mK", 1e5, [shown(&["W/mK", "W/(m K)", "W/(m·K)", "W/m/K"], 1.0)];
    /// Heat transfer coefficient in watts per square metre and kelvin.
    FilmCoefficientDim, FilmCoefficient, "heat transfer coefficient", "45 W/m2K", 1e9, [shown(&["W/m2K", "W/(m2 K)", "W/m²K"], 1.0)];
    /// Heat capacity in joules per kelvin.
    HeatCapacityDim, HeatCapacity, "heat capacity", "380 J/K", 1e9, [shown(&["J/K"], 1.0)];
    /// Heat capacity of a unit volume in joules per cubic metre and kelvin.
    VolumetricHeatCapacityDim, VolumetricHeatCapacity, "heat capacity of unit volume", "3450000 J/m3K", 1e9, [shown(&["J/m3K", "J/(m3 K)", "J/m³K"], 1.0)];
    /// Heat flux in watts per square metre.
    HeatFluxDim, HeatFlux, "heat flux", "500000 W/m2", 1e12, [shown(&["W/m2", "W/m²"], 1.0), taken(&["W/cm2"], 1e4), taken(&["W/mm2"], 1e6)];
    /// Frequency in hertz.
    FrequencyDim, Frequency, "frequency", "3.6 GHz", 1e12, [shown(&["GHz"], 1e9), shown(&["MHz"], 1e6), shown(&["kHz"], 1e3), shown(&["Hz"], 1.0)];
    /// Memory transfers per second.
    TransferRateDim, TransferRate, "transfer rate", "2666 MT/s", 1e12, [taken(&["GT/s"], 1e9), shown(&["MT/s"], 1e6)];
    /// Memory capacity in bytes, in binary multiples.
    CapacityDim, Capacity, "memory capacity", "16 GiB", 1e18, [taken(&["TiB"], 1_099_511_627_776.0), shown(&["GiB", "GB"], 1_073_741_824.0), shown(&["MiB", "MB"], 1_048_576.0), shown(&["KiB", "kB", "KB"], 1024.0), shown(&["B"], 1.0)];
    /// Data rate in bytes per second.
    DataRateDim, DataRate, "data rate", "38 GB/s", 1e18, [shown(&["GB/s"], 1e9), shown(&["MB/s"], 1e6), taken(&["B/s"], 1.0)];
    /// Speed of turning, in radians per second as SI has it, written in revolutions per minute.
    RotationSpeedDim, RotationSpeed, "speed of turning", "1500 rpm", 1e6, [shown(&["rpm", "1/min"], 0.104_719_755_119_659_77)];
    /// Electric potential difference in volts.
    VoltageDim, Voltage, "voltage", "1.25 V", 1e6, [shown(&["V"], 1.0), shown(&["mV"], 1e-3)];
    /// Electric current in amperes.
    CurrentDim, Current, "current", "9 A", 1e6, [shown(&["A"], 1.0), shown(&["mA"], 1e-3), shown(&["uA", "µA"], 1e-6)];
    /// Electric charge in coulombs.
    ChargeDim, Charge, "charge", "30 nC", 1e3, [shown(&["C"], 1.0), shown(&["mC"], 1e-3), shown(&["uC", "µC"], 1e-6), shown(&["nC"], 1e-9), taken(&["pC"], 1e-12)];
    /// Electric resistance in ohms.
    ResistanceDim, Resistance, "resistance", "1.2 mohm", 1e12, [shown(&["Mohm", "MΩ"], 1e6), shown(&["kohm", "kΩ"], 1e3), shown(&["ohm", "Ω"], 1.0), shown(&["mohm", "mΩ"], 1e-3), shown(&["uohm", "µΩ"], 1e-6)];
    /// Inductance in henries.
    InductanceDim, Inductance, "inductance", "220 nH", 1e3, [shown(&["H"], 1.0), shown(&["mH"], 1e-3), shown(&["uH", "µH"], 1e-6), shown(&["nH"], 1e-9)];
    /// Electric capacitance in farads.
    CapacitanceDim, Capacitance, "capacitance", "820 uF", 1e3, [shown(&["F"], 1.0), shown(&["mF"], 1e-3), shown(&["uF", "µF"], 1e-6), shown(&["nF"], 1e-9), shown(&["pF"], 1e-12)];
    /// Duration in seconds.
    DurationDim, Duration, "duration", "45 min", 1e12, [taken(&["a", "years", "year"], 31_557_600.0), taken(&["months", "month"], 2_629_800.0), taken(&["d", "days", "day"], 86_400.0), shown(&["h"], 3_600.0), shown(&["min"], 60.0), shown(&["s"], 1.0), shown(&["ms"], 1e-3), shown(&["us", "µs"], 1e-6), shown(&["ns"], 1e-9)];
    /// Volume flow in cubic metres per second.
    FlowDim, Flow, "air flow", "85 m3/h", 1e4, [shown(&["m3/h", "m³/h"], 0.000_277_777_777_777_777_8), taken(&["m3/s", "m³/s"], 1.0), taken(&["l/s"], 1e-3), taken(&["l/min"], 1.666_666_666_666_666_7e-5)];
    /// Pressure and stress in pascals.
    PressureDim, Pressure, "pressure", "120 Pa", 1e12, [taken(&["MPa"], 1e6), shown(&["kPa"], 1e3), taken(&["hPa"], 1e2), shown(&["Pa"], 1.0)];
    /// Dynamic viscosity in pascal seconds.
    ViscosityDim, Viscosity, "viscosity", "180 Pa s", 1e9, [shown(&["Pa s", "Pa·s", "Pas"], 1.0), taken(&["mPa s", "mPas", "cP"], 1e-3)];
    /// Force in newtons.
    ForceDim, Force, "force", "300 N", 1e6, [taken(&["kN"], 1e3), shown(&["N"], 1.0)];
    /// Torque in newton metres.
    TorqueDim, Torque, "torque", "0.6 Nm", 1e6, [shown(&["Nm", "N m"], 1.0)];
    /// Mass in kilograms.
    MassDim, Mass, "mass", "640 g", 1e6, [shown(&["kg"], 1.0), shown(&["g"], 1e-3)];
    /// Density in kilograms per cubic metre.
    DensityDim, Density, "density", "2.5 g/cm3", 1e6, [taken(&["kg/m3", "kg/m³"], 1.0), shown(&["g/cm3", "g/cm³"], 1e3)];
    /// Speed in metres per second.
    SpeedDim, Speed, "speed", "2 m/s", 1e6, [shown(&["m/s"], 1.0)];
    /// A-weighted sound pressure level in decibels; a logarithm, so its SI value is the level itself.
    SoundLevelDim, SoundLevel, "sound level", "32 dB", 1e3, [shown(&["dB", "dB(A)", "dBA"], 1.0)];
    /// A plain ratio, written as a number or in per cent.
    RatioDim, Ratio, "ratio", "35 %", 1e12, [shown(&["%"], 1e-2), taken(&[""], 1.0)];
}
