//! Every unit's factor against the general-purpose units library `uom` 0.38, whose tables come from
//! NIST SP 811 and the SI brochure. Independent: nothing here is computed by our own tables.
//! Tolerance: 1e-12 relative, the rounding of a product of two doubles.

use quantity::dimension::*;
use quantity::measure::Quantity;
use uom::si::f64 as si;

const ROUNDING: f64 = 1e-12;

#[track_caller]
fn check<D: Dimension>(symbol: &str, expected_si: f64) {
    let ours = Quantity::<D>::of(3.7, symbol).unwrap().si();
    assert!(
        (ours - expected_si).abs() <= ROUNDING * expected_si.abs(),
        "{symbol}: {ours} against {expected_si}"
    );
}

macro_rules! against_uom {
    ($($dim:ident, $symbol:literal, $quantity:ident, $module:ident, $unit:ident, $base:ident;)+) => {
        #[test]
        fn factors_agree_with_uom() {
            $(check::<$dim>($symbol, si::$quantity::new::<uom::si::$module::$unit>(3.7).get::<uom::si::$module::$base>());)+
        }
    };
}

against_uom! {
    PowerDim, "kW", Power, power, kilowatt, watt;
    PowerDim, "mW", Power, power, milliwatt, watt;
    EnergyDim, "kWh", Energy, energy, kilowatt_hour, joule;
    EnergyDim, "Wh", Energy, energy, watt_hour, joule;
    LengthDim, "mm", Length, length, millimeter, meter;
    LengthDim, "um", Length, length, micrometer, meter;
    AreaDim, "mm2", Area, area, square_millimeter, square_meter;
    VolumeDim, "mm3", Volume, volume, cubic_millimeter, cubic_meter;
    VolumeDim, "ml", Volume, volume, milliliter, cubic_meter;
    TemperatureDim, "°C", ThermodynamicTemperature, thermodynamic_temperature, degree_celsius, kelvin;
    FrequencyDim, "GHz", Frequency, frequency, gigahertz, hertz;
    FrequencyDim, "MHz", Frequency, frequency, megahertz, hertz;
    RotationSpeedDim, "rpm", AngularVelocity, angular_velocity, revolution_per_minute, radian_per_second;
    VoltageDim, "mV", ElectricPotential, electric_potential, millivolt, volt;
    CurrentDim, "mA", ElectricCurrent, electric_current, milliampere, ampere;
    ChargeDim, "nC", ElectricCharge, electric_charge, nanocoulomb, coulomb;
    ResistanceDim, "mohm", ElectricalResistance, electrical_resistance, milliohm, ohm;
    InductanceDim, "nH", Inductance, inductance, nanohenry, henry;
    CapacitanceDim, "uF", Capacitance, capacitance, microfarad, farad;
    DurationDim, "min", Time, time, minute, second;
    DurationDim, "h", Time, time, hour, second;
    DurationDim, "d", Time, time, day, second;
    FlowDim, "m3/h", VolumeRate, volume_rate, cubic_meter_per_hour, cubic_meter_per_second;
    FlowDim, "l/min", VolumeRate, volume_rate, liter_per_minute, cubic_meter_per_second;
    PressureDim, "kPa", Pressure, pressure, kilopascal, pascal;
    PressureDim, "hPa", Pressure, pressure, hectopascal, pascal;
    ForceDim, "kN", Force, force, kilonewton, newton;
    MassDim, "g", Mass, mass, gram, kilogram;
    DensityDim, "g/cm3", MassDensity, mass_density, gram_per_cubic_centimeter, kilogram_per_cubic_meter;
    CapacityDim, "GiB", Information, information, gibibyte, byte;
    CapacityDim, "MiB", Information, information, mebibyte, byte;
}
