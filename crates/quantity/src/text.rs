//! Reading and printing quantities and intervals with their units. The only number formatter.
//!
//! A quantity is a number, then its unit: `95 W`, `-0.2 K/W`, `3.6GHz`. An interval has two
//! numbers, `85..95 W`, or a number and its plus-minus, `90 ±5 W` or `90 +-5 W`.

use core::fmt;
use core::str::FromStr;

use crate::dimension::{Dimension, Unit};
use crate::interval::Interval;
use crate::measure::Quantity;
use crate::reading::Reading;

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was written.
    #[error("a {name} is missing: write it as \"{example}\"")]
    Empty {
        /// Dimension.
        name: &'static str,
        /// A correct example.
        example: &'static str,
    },
    /// What stands before the unit is no number.
    #[error("\"{text}\" is not a number: write a {name} as \"{example}\", with a point for decimals")]
    NotANumber {
        /// The text.
        text: String,
        /// Dimension.
        name: &'static str,
        /// A correct example.
        example: &'static str,
    },
    /// A number without a unit.
    #[error("\"{text}\" has no unit: write a {name} as \"{example}\"")]
    MissingUnit {
        /// The text.
        text: String,
        /// Dimension.
        name: &'static str,
        /// A correct example.
        example: &'static str,
    },
    /// A unit that this dimension does not have.
    #[error("\"{unit}\" is not a unit of {name}: known are {known}")]
    UnknownUnit {
        /// The unit written.
        unit: String,
        /// Dimension.
        name: &'static str,
        /// Its units.
        known: String,
    },
    /// A number no part of a computer could have.
    #[error("\"{text}\" is beyond every {name} of a computer (at most {largest} in size)")]
    Absurd {
        /// The text.
        text: String,
        /// Dimension.
        name: &'static str,
        /// Largest accepted magnitude.
        largest: String,
    },
    /// The first end is above the second.
    #[error("the interval \"{text}\" runs backwards: the smaller value comes first")]
    Reversed {
        /// The text.
        text: String,
    },
}

/// Longest number or unit that is looked at; longer input is echoed shortened.
const LONGEST_ECHO: usize = 40;

fn echo(text: &str) -> String {
    let mut out: String = text.chars().take(LONGEST_ECHO).collect();
    if text.chars().count() > LONGEST_ECHO {
        out.push('…');
    }
    out
}

/// Splits `"85..95 W"` into its number part and its unit part.
fn split_unit(text: &str) -> (&str, &str) {
    let mut end = 0;
    for (idx, sign) in text.char_indices() {
        let follows_digit = text[..idx].ends_with(|c: char| c.is_ascii_digit());
        let exponent = matches!(sign, 'e' | 'E')
            && follows_digit
            && text[idx + 1..].trim_start_matches(['+', '-']).starts_with(|c: char| c.is_ascii_digit());
        if sign.is_ascii_digit() || matches!(sign, '+' | '-' | '.' | '±' | ' ' | ',') || exponent {
            end = idx + sign.len_utf8();
        } else {
            break;
        }
    }
    (text[..end].trim(), text[end..].trim())
}

fn number<D: Dimension>(text: &str) -> Result<f64, QuantityError> {
    let plain = text.trim();
    let value: f64 = plain.parse().map_err(|_| QuantityError::NotANumber {
        text: echo(plain),
        name: D::NAME,
        example: D::EXAMPLE,
    })?;
    Ok(value)
}

fn unit<D: Dimension>(symbol: &str, whole: &str) -> Result<&'static Unit, QuantityError> {
    let found = D::UNITS.iter().find(|unit| unit.symbols.contains(&symbol));
    found.ok_or_else(|| {
        if symbol.is_empty() {
            QuantityError::MissingUnit { text: echo(whole), name: D::NAME, example: D::EXAMPLE }
        } else {
            QuantityError::UnknownUnit { unit: echo(symbol), name: D::NAME, known: known_units(D::UNITS) }
        }
    })
}

fn known_units(units: &[Unit]) -> String {
    let symbols: Vec<&str> = units
        .iter()
        .filter_map(|unit| unit.symbols.first().copied())
        .filter(|symbol| !symbol.is_empty())
        .collect();
    symbols.join(", ")
}

fn in_range<D: Dimension>(si: f64, whole: &str) -> Result<Quantity<D>, QuantityError> {
    if si.is_finite() && si.abs() <= D::LARGEST_SI {
        Ok(Quantity::from_si(si))
    } else {
        let largest = Quantity::<D>::from_si(D::LARGEST_SI).to_string();
        Err(QuantityError::Absurd { text: echo(whole), name: D::NAME, largest })
    }
}

impl<D: Dimension> FromStr for Interval<D> {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let whole = text.trim();
        if whole.is_empty() {
            return Err(QuantityError::Empty { name: D::NAME, example: D::EXAMPLE });
        }
        // "85 W..95 W": the unit may stand at both ends if it is the same.
        if let Some((first, second)) = whole.split_once("..") {
            let (first_number, first_symbol) = split_unit(first.trim());
            let (second_number, symbol) = split_unit(second.trim());
            let unit = unit::<D>(symbol, whole)?;
            if !first_symbol.is_empty() && !unit.symbols.contains(&first_symbol) {
                return Err(QuantityError::UnknownUnit {
                    unit: echo(first_symbol),
                    name: D::NAME,
                    known: format!("{} at both ends", symbol),
                });
            }
            let low = in_range::<D>(unit.to_si(number::<D>(first_number)?), whole)?;
            let high = in_range::<D>(unit.to_si(number::<D>(second_number)?), whole)?;
            return Self::new(low, high).ok_or_else(|| QuantityError::Reversed { text: echo(whole) });
        }
        let (numbers, symbol) = split_unit(whole);
        if numbers.is_empty() {
            return Err(QuantityError::NotANumber { text: echo(whole), name: D::NAME, example: D::EXAMPLE });
        }
        let unit = unit::<D>(symbol, whole)?;
        let spread = numbers.split_once('±').or_else(|| numbers.split_once("+-"));
        let (middle, half) = match spread {
            Some((middle, half)) => (number::<D>(middle)?, number::<D>(half)?),
            None => (number::<D>(numbers)?, 0.0),
        };
        let low = in_range::<D>(unit.to_si(middle - half), whole)?;
        let high = in_range::<D>(unit.to_si(middle + half), whole)?;
        Self::new(low, high).ok_or_else(|| QuantityError::Reversed { text: echo(whole) })
    }
}

impl<D: Dimension> FromStr for Quantity<D> {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let interval = Interval::<D>::from_str(text)?;
        if interval.is_exact() {
            Ok(interval.low())
        } else {
            Err(QuantityError::NotANumber { text: echo(text.trim()), name: D::NAME, example: D::EXAMPLE })
        }
    }
}

/// The printed unit that keeps the number between 1 and 1000 where there is one.
fn printed_unit<D: Dimension>(si: f64) -> Option<&'static Unit> {
    let mut choice = None;
    for unit in D::UNITS.iter().filter(|unit| unit.printed) {
        choice = Some(unit);
        // Celsius and other scales with an offset have one printed unit.
        if unit.offset != 0.0 || si.abs() >= unit.factor * (1.0 - 1e-9) {
            break;
        }
    }
    if si == 0.0 { base_printed::<D>() } else { choice }
}

/// The printed unit nearest to the SI unit; the one that zero is written in.
fn base_printed<D: Dimension>() -> Option<&'static Unit> {
    D::UNITS
        .iter()
        .filter(|unit| unit.printed)
        .min_by(|a, b| a.factor.log10().abs().total_cmp(&b.factor.log10().abs()))
}

/// Shortest decimal that, read back in this unit, gives exactly the same SI value.
fn shortest(si: f64, unit: &Unit) -> Option<String> {
    let value = unit.from_si(si);
    (0..=17).find_map(|digits| {
        let text = significant(value, digits + 1);
        let back: f64 = text.parse().ok()?;
        (unit.to_si(back) == si).then_some(text)
    })
}

/// A number with this many significant digits, without trailing zeros or an exponent.
///
/// # Example
/// ```
/// use quantity::text::significant;
/// assert_eq!(significant(0.214_3, 2), "0.21");
/// assert_eq!(significant(1480.0, 2), "1500");
/// assert_eq!(significant(-3.0, 3), "-3");
/// ```
pub fn significant(value: f64, digits: u32) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor();
    let decimals = f64::from(digits) - 1.0 - magnitude;
    let text = if decimals >= 0.0 {
        format!("{value:.0$}", decimals.min(340.0) as usize)
    } else {
        let step = 10_f64.powf(-decimals);
        format!("{:.0}", (value / step).round() * step)
    };
    if text.contains('.') {
        let trimmed = text.trim_end_matches('0').trim_end_matches('.');
        if trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
    } else {
        text
    }
}

impl<D: Dimension> Quantity<D> {
    /// Text rounded to this many significant digits: what people read. `to_string` keeps all digits.
    ///
    /// # Example
    /// ```
    /// use quantity::dimension::ThermalResistance;
    /// assert_eq!(ThermalResistance::from_si(0.214_31).rounded(2), "0.21 K/W");
    /// ```
    pub fn rounded(self, digits: u32) -> String {
        match printed_unit::<D>(self.si()) {
            Some(unit) => join(&significant(unit.from_si(self.si()), digits), unit),
            None => significant(self.si(), digits),
        }
    }
}

impl<D: Dimension> Interval<D> {
    /// Text rounded to this many significant digits; one number where both ends print alike.
    ///
    /// # Example
    /// ```
    /// use quantity::interval::Interval;
    /// use quantity::dimension::PowerDim;
    /// let power: Interval<PowerDim> = "85.04..95.21 W".parse()?;
    /// assert_eq!(power.rounded(3), "85..95.2 W");
    /// # Ok::<(), quantity::text::QuantityError>(())
    /// ```
    pub fn rounded(self, digits: u32) -> String {
        let (low, high) = (self.low().si(), self.high().si());
        match printed_unit::<D>(low.abs().max(high.abs())) {
            Some(unit) => {
                let low = significant(unit.from_si(low), digits);
                let high = significant(unit.from_si(high), digits);
                if low == high { join(&low, unit) } else { join(&format!("{low}..{high}"), unit) }
            }
            None => format!("{}..{}", significant(low, digits), significant(high, digits)),
        }
    }
}

fn join(number: &str, unit: &Unit) -> String {
    match unit.symbols.first() {
        Some(symbol) if !symbol.is_empty() => format!("{number} {symbol}"),
        _ => number.to_owned(),
    }
}

/// Every unit of the dimension, the printed ones first, as candidates for an exact text.
fn candidates<D: Dimension>(preferred: &'static Unit) -> impl Iterator<Item = &'static Unit> {
    core::iter::once(preferred).chain(D::UNITS.iter().filter(|unit| unit.printed)).chain(D::UNITS.iter())
}

impl<D: Dimension> fmt::Display for Quantity<D> {
    /// Prints with as many digits as it takes to read back the same value.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let exact = printed_unit::<D>(self.si()).and_then(|preferred| {
            candidates::<D>(preferred).find_map(|unit| Some(join(&shortest(self.si(), unit)?, unit)))
        });
        f.write_str(&exact.unwrap_or_else(|| self.rounded(17)))
    }
}

impl<D: Dimension> fmt::Display for Interval<D> {
    /// Prints with as many digits as it takes to read back the same value.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_exact() {
            return self.low().fmt(f);
        }
        let larger = self.low().si().abs().max(self.high().si().abs());
        let exact = printed_unit::<D>(larger).and_then(|preferred| {
            candidates::<D>(preferred).find_map(|unit| {
                let low = shortest(self.low().si(), unit)?;
                let high = shortest(self.high().si(), unit)?;
                Some(join(&format!("{low}..{high}"), unit))
            })
        });
        f.write_str(&exact.unwrap_or_else(|| self.rounded(17)))
    }
}

impl<D: Dimension> fmt::Display for Reading<Interval<D>> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Known(value, _) => value.fmt(f),
            Self::Unknown => f.write_str("unknown"),
        }
    }
}
