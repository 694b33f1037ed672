//! What a person writes, what is printed, and that the one reads back as the other.

use proptest::prelude::*;
use quantity::dimension::*;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::money::Money;
use quantity::text::QuantityError;

#[track_caller]
fn check<D: Dimension>(text: &str, si: f64, printed: &str) {
    let read: Quantity<D> = text.parse().unwrap();
    assert_eq!(read.si(), si, "{text}");
    assert_eq!(read.to_string(), printed);
}

#[test]
fn written_quantities_read_and_print() {
    check::<PowerDim>("95 W", 95.0, "95 W");
    check::<PowerDim>("95W", 95.0, "95 W");
    check::<PowerDim>("0.3 kW", 300.0, "300 W");
    check::<LengthDim>("69 mm", 0.069, "69 mm");
    check::<LengthDim>("6.9 cm", 0.069, "69 mm");
    check::<LengthDim>("45 um", 45e-6, "45 um");
    check::<ThermalResistanceDim>("0.21 K/W", 0.21, "0.21 K/W");
    check::<ThermalResistanceDim>("-0.2 K/W", -0.2, "-0.2 K/W");
    check::<FrequencyDim>("3.6 GHz", 3.6e9, "3.6 GHz");
    check::<TransferRateDim>("2666 MT/s", 2666e6, "2666 MT/s");
    check::<TemperatureDim>("95 °C", 368.15, "95 °C");
    check::<TemperatureDim>("0 C", 273.15, "0 °C");
    check::<CapacityDim>("16 GB", 16.0 * 1024.0 * 1024.0 * 1024.0, "16 GiB");
    check::<ViscosityDim>("180 Pa s", 180.0, "180 Pa s");
    check::<RatioDim>("35 %", 0.35, "35 %");
    check::<PowerDim>("0 W", 0.0, "0 W");
    check::<PowerDim>("1e2 W", 100.0, "100 W");
    check::<EnergyDim>("2 kWh", 7.2e6, "2 kWh");
}

#[track_caller]
fn check_interval(text: &str, low: f64, high: f64, printed: &str) {
    let read: Interval<PowerDim> = text.parse().unwrap();
    assert_eq!((read.low().si(), read.high().si()), (low, high), "{text}");
    assert_eq!(read.to_string(), printed);
}

#[test]
fn written_intervals_read_and_print() {
    check_interval("85..95 W", 85.0, 95.0, "85..95 W");
    check_interval("85 W..95 W", 85.0, 95.0, "85..95 W");
    check_interval("90 ±5 W", 85.0, 95.0, "85..95 W");
    check_interval("90 +-5 W", 85.0, 95.0, "85..95 W");
    check_interval("90 W", 90.0, 90.0, "90 W");
}

#[track_caller]
fn refused(text: &str, part_of_message: &str) {
    let error: QuantityError = text.parse::<Interval<PowerDim>>().unwrap_err();
    assert!(error.to_string().contains(part_of_message), "{text}: {error}");
}

#[test]
fn what_is_wrong_is_said() {
    refused("", "missing");
    refused("95", "no unit");
    refused("95 mm", "not a unit of power");
    refused("W", "not a number");
    refused("9,5 W", "with a point for decimals");
    refused("NaN W", "not a number");
    refused("1e308 W", "beyond every power");
    refused("1e999 W", "beyond every power");
    refused("95..85 W", "runs backwards");
    refused("85 kW..95 W", "at both ends");
    refused(&"9".repeat(5000), "no unit");
}

#[track_caller]
fn money(text: &str, minor: i64, printed: &str) {
    let read: Money = text.parse().unwrap();
    assert_eq!(read.minor(), minor);
    assert_eq!(read.to_string(), printed);
}

#[test]
fn money_is_exact() {
    money("349.00 EUR", 34_900, "349.00 EUR");
    money("349 EUR", 34_900, "349.00 EUR");
    money("-0.05 EUR", -5, "-0.05 EUR");
    // ISO 4217 gives the yen no minor unit and the Kuwaiti dinar three digits.
    money("35000 JPY", 35_000, "35000 JPY");
    money("1.234 KWD", 1_234, "1.234 KWD");
    assert!("1.5 JPY".parse::<Money>().is_err());
    assert!("349".parse::<Money>().unwrap_err().to_string().contains("no currency"));
    assert!("349.00 ZZZ".parse::<Money>().unwrap_err().to_string().contains("ISO 4217"));
    assert!("1,50 EUR".parse::<Money>().is_err());
    assert!("99999999999999999999 EUR".parse::<Money>().unwrap_err().to_string().contains("beyond"));
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_without_panic(text in "\\PC*") {
        let _ = text.parse::<Interval<PowerDim>>();
        let _ = text.parse::<Quantity<TemperatureDim>>();
        let _ = text.parse::<Money>();
    }

    #[test]
    fn near_misses_are_read_or_refused_without_panic(text in "[-+0-9.e±, ]{0,12}(W|kW|mm|EUR|µm)?") {
        let _ = text.parse::<Interval<PowerDim>>();
        let _ = text.parse::<Money>();
    }

    #[test]
    fn print_then_read_gives_the_same(si in -1e5..1e5_f64, width in 0.0..100.0_f64) {
        let exact = Power::from_si(si);
        prop_assert_eq!(exact.to_string().parse::<Power>().unwrap(), exact);
        let length = Length::from_si(si * 1e-6);
        prop_assert_eq!(length.to_string().parse::<Length>().unwrap(), length);
        let interval = Interval::new(Power::from_si(si), Power::from_si(si + width)).unwrap();
        prop_assert_eq!(interval.to_string().parse::<Interval<PowerDim>>().unwrap(), interval);
    }

    #[test]
    fn print_then_read_money_gives_the_same(minor in -1_000_000_000_i64..1_000_000_000) {
        let amount = Money::from_minor(minor, quantity::money::Currency::EUR);
        prop_assert_eq!(amount.to_string().parse::<Money>().unwrap(), amount);
    }
}
