//! Exact amounts of money in one currency.
//!
//! Currency codes and the number of digits after the point are those of ISO 4217, through the
//! `iso_currency` library.

use core::fmt;
use core::str::FromStr;

pub use iso_currency::Currency;

/// An exact amount: whole minor units (cents) of one currency.
///
/// # Example
/// ```
/// use quantity::money::Money;
/// let price: Money = "349.00 EUR".parse()?;
/// let resale: Money = "41.50 EUR".parse()?;
/// assert_eq!(price.minus(resale)?.to_string(), "307.50 EUR");
/// assert!(price.minus("1 USD".parse()?).is_err());
/// # Ok::<(), quantity::money::MoneyError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

/// Why a text is no amount of money, or two amounts do not go together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Nothing was written.
    #[error("an amount of money is missing: write it as \"349.00 EUR\"")]
    Empty,
    /// What stands before the currency is no plain decimal number.
    #[error("\"{text}\" is not an amount: write it as \"349.00 EUR\", with a point for decimals")]
    NotAnAmount {
        /// The text.
        text: String,
    },
    /// A number without a currency.
    #[error("\"{text}\" has no currency: add its three-letter code, as in \"349.00 EUR\"")]
    MissingCurrency {
        /// The text.
        text: String,
    },
    /// A code that ISO 4217 does not list.
    #[error("\"{code}\" is not a three-letter currency code of ISO 4217")]
    UnknownCurrency {
        /// The code written.
        code: String,
    },
    /// More digits after the point than the currency has.
    #[error("{code} has {digits} digits after the point, \"{text}\" has more")]
    TooFine {
        /// The text.
        text: String,
        /// Currency.
        code: String,
        /// Digits it has.
        digits: u16,
    },
    /// Beyond any price of a computer's part.
    #[error("\"{text}\" is beyond every price of a computer")]
    Absurd {
        /// The text.
        text: String,
    },
    /// Two currencies and no rate between them.
    #[error("{one} and {other} cannot be added without an exchange rate: give one in the library's rates")]
    Mixed {
        /// One currency.
        one: String,
        /// The other.
        other: String,
    },
    /// A sum left the range of exact arithmetic.
    #[error("the sum of money is too large to keep exact")]
    Overflow,
}

/// Largest amount accepted, in minor units: 10 million major units of a two-digit currency.
const LARGEST_MINOR: i64 = 1_000_000_000_000;

impl Money {
    /// This many minor units (cents) of a currency.
    pub const fn from_minor(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// No money in this currency.
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// Minor units (cents).
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// Currency.
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// Major units as a number, for plotting only.
    pub fn major(self) -> f64 {
        self.minor as f64 / 10_f64.powi(i32::from(digits(self.currency)))
    }

    fn with(self, other: Self, f: impl Fn(i64, i64) -> Option<i64>) -> Result<Self, MoneyError> {
        if self.currency != other.currency {
            return Err(MoneyError::Mixed {
                one: self.currency.code().to_owned(),
                other: other.currency.code().to_owned(),
            });
        }
        let minor = f(self.minor, other.minor).ok_or(MoneyError::Overflow)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// Sum.
    ///
    /// # Errors
    /// Two currencies, or a sum too large to be exact.
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        self.with(other, i64::checked_add)
    }

    /// Difference.
    ///
    /// # Errors
    /// Two currencies, or a difference too large to be exact.
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.with(other, i64::checked_sub)
    }
}

fn digits(currency: Currency) -> u16 {
    currency.exponent().unwrap_or(0)
}

impl FromStr for Money {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let whole = text.trim();
        if whole.is_empty() {
            return Err(MoneyError::Empty);
        }
        let shown: String = whole.chars().take(40).collect();
        let split = whole.find(|c: char| c.is_alphabetic()).unwrap_or(whole.len());
        let (amount, code) = (whole[..split].trim(), whole[split..].trim());
        let bad = || MoneyError::NotAnAmount { text: shown.clone() };
        let unsigned = amount.strip_prefix('-').unwrap_or(amount);
        let (major, fraction) = unsigned.split_once('.').unwrap_or((unsigned, ""));
        let all_digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
        if major.is_empty() || !all_digits(major) || !all_digits(fraction) || amount.ends_with('.') {
            return Err(bad());
        }
        if code.is_empty() {
            return Err(MoneyError::MissingCurrency { text: shown });
        }
        let currency = Currency::from_code(code)
            .ok_or_else(|| MoneyError::UnknownCurrency { code: code.chars().take(12).collect() })?;
        let places = usize::from(digits(currency));
        if fraction.len() > places {
            return Err(MoneyError::TooFine { text: shown, code: code.to_owned(), digits: digits(currency) });
        }
        let absurd = || MoneyError::Absurd { text: shown.clone() };
        let minor: i64 = format!("{major}{fraction:0<places$}").parse().map_err(|_| absurd())?;
        if minor > LARGEST_MINOR {
            return Err(absurd());
        }
        Ok(Self { minor: if amount.starts_with('-') { -minor } else { minor }, currency })
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = usize::from(digits(self.currency));
        let sign = if self.minor < 0 { "-" } else { "" };
        let all = format!("{:0>width$}", self.minor.unsigned_abs(), width = places + 1);
        let (major, fraction) = all.split_at(all.len() - places);
        let point = if places == 0 { "" } else { "." };
        write!(f, "{sign}{major}{point}{fraction} {}", self.currency.code())
    }
}

/// Exchange rates a person has given. Without one, two currencies do not mix.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rates {
    rates: Vec<Rate>,
}

/// One exchange rate: `from_minor` minor units of one currency buy `to_minor` of the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate {
    /// What is given, at least one minor unit.
    pub from: Money,
    /// What is received, at least one minor unit.
    pub to: Money,
}

impl Rates {
    /// Adds a rate; a later rate for the same two currencies replaces the earlier one.
    ///
    /// # Errors
    /// An amount that is not positive.
    pub fn add(&mut self, rate: Rate) -> Result<(), MoneyError> {
        for amount in [rate.from, rate.to] {
            if amount.minor <= 0 {
                return Err(MoneyError::NotAnAmount { text: amount.to_string() });
            }
        }
        self.rates
            .retain(|old| (old.from.currency, old.to.currency) != (rate.from.currency, rate.to.currency));
        self.rates.push(rate);
        Ok(())
    }

    /// The same worth in another currency, rounded half to even to its minor unit.
    ///
    /// # Errors
    /// No rate between the two, or a result too large to be exact.
    ///
    /// # Example
    /// ```
    /// use quantity::money::{Currency, Rate, Rates};
    /// let mut rates = Rates::default();
    /// rates.add(Rate { from: "1.00 EUR".parse()?, to: "1.08 USD".parse()? })?;
    /// assert_eq!(rates.convert("50.00 EUR".parse()?, Currency::USD)?.to_string(), "54.00 USD");
    /// assert_eq!(rates.convert("54.00 USD".parse()?, Currency::EUR)?.to_string(), "50.00 EUR");
    /// # Ok::<(), quantity::money::MoneyError>(())
    /// ```
    pub fn convert(&self, amount: Money, to: Currency) -> Result<Money, MoneyError> {
        if amount.currency == to {
            return Ok(amount);
        }
        let ratio = self.rates.iter().find_map(|rate| {
            let forth = (rate.from.currency, rate.to.currency) == (amount.currency, to);
            let back = (rate.to.currency, rate.from.currency) == (amount.currency, to);
            if forth {
                Some((rate.to.minor, rate.from.minor))
            } else if back {
                Some((rate.from.minor, rate.to.minor))
            } else {
                None
            }
        });
        let (up, down) = ratio.ok_or_else(|| MoneyError::Mixed {
            one: amount.currency.code().to_owned(),
            other: to.code().to_owned(),
        })?;
        let minor = half_even(i128::from(amount.minor) * i128::from(up), i128::from(down));
        let minor = i64::try_from(minor).map_err(|_| MoneyError::Overflow)?;
        Ok(Money { minor, currency: to })
    }
}

/// `top / bottom` for a positive `bottom`, halves to the even neighbour.
fn half_even(top: i128, bottom: i128) -> i128 {
    let (whole, rest) = (top.div_euclid(bottom), top.rem_euclid(bottom));
    let up = match (2 * rest).cmp(&bottom) {
        core::cmp::Ordering::Less => false,
        core::cmp::Ordering::Equal => whole.rem_euclid(2) == 1,
        core::cmp::Ordering::Greater => true,
    };
    whole + i128::from(up)
}
