//! What a person wants of a fleet's plan, as terms of it.

use std::collections::BTreeMap;

use fleet::group::Member;
use fleet::terms::{Goal, Resale, Reuse, Terms};
use quantity::money::{Currency, Money, MoneyError};
use upgrade::part::id::PartId;
use upgrade::part::library::Library;
use upgrade::route::money::currency;

use crate::check::kind_of;

/// What is wanted, as it was written.
#[derive(Debug, Clone)]
pub struct Wanted {
    /// Most that may be spent on all machines.
    pub budget: Option<String>,
    /// Most hours at the bench for all machines.
    pub hours: Option<f64>,
    /// What is made as large as can be.
    pub goal: Goal,
    /// Years over which a change is judged.
    pub years: f64,
    /// Whether processors move between machines.
    pub reuse: Reuse,
    /// Whether what is left over is sold.
    pub resale: Resale,
    /// How many of a part can be had, as `PART=COUNT`.
    pub stock: Vec<String>,
}

/// Something wanted that makes no sense.
#[derive(Debug, thiserror::Error)]
pub enum WantedError {
    /// No amount of money.
    #[error("budget {text}")]
    Budget {
        /// As it was written.
        text: String,
        /// What is wrong with it.
        source: MoneyError,
    },
    /// Less than nothing.
    #[error("budget is below zero; leave it out for no limit")]
    BelowZero,
    /// No number of hours.
    #[error("hours {0} is no number of hours from 0 to 1000000")]
    Hours(f64),
    /// No number of years.
    #[error("years {0} is no number of years from 0.1 to 50")]
    Years(f64),
    /// No part and count.
    #[error("stock {0}: write it as PART=COUNT, as tern-2-rush=12")]
    Stock(String),
    /// No such part.
    #[error("stock {0}: the library has no such part; list them with  reseat parts list")]
    NoSuchPart(String),
    /// Nothing names a currency.
    #[error("no currency is known: give a budget, or amounts in the records, or prices in the library")]
    NoCurrency,
}

/// The terms.
///
/// # Errors
/// As [`WantedError`] says.
pub fn terms(wanted: &Wanted, members: &[Member], library: &Library) -> Result<Terms, WantedError> {
    let budget = match &wanted.budget {
        None => None,
        Some(text) => {
            let text = text.trim();
            let money: Money =
                text.parse().map_err(|source| WantedError::Budget { text: text.to_owned(), source })?;
            if money.minor() < 0 {
                return Err(WantedError::BelowZero);
            }
            Some(money)
        }
    };
    if let Some(hours) = wanted.hours.filter(|hours| !(0.0..=1e6).contains(hours)) {
        return Err(WantedError::Hours(hours));
    }
    if !(0.1..=50.0).contains(&wanted.years) {
        return Err(WantedError::Years(wanted.years));
    }
    let of_records = || members.iter().find_map(|member| currency(&member.machine, library));
    let currency: Currency =
        budget.map(Money::currency).or_else(of_records).ok_or(WantedError::NoCurrency)?;
    Ok(Terms {
        currency,
        goal: wanted.goal,
        years: wanted.years,
        reuse: wanted.reuse,
        resale: wanted.resale,
        budget: budget.map(Money::minor),
        // A million hours are far inside the range of minutes.
        minutes: wanted.hours.map(|hours| (hours * 60.0).round() as i64),
        stock: stock(&wanted.stock, library)?,
    })
}

fn stock(list: &[String], library: &Library) -> Result<BTreeMap<PartId, u32>, WantedError> {
    list.iter()
        .map(|text| {
            let wrong = || WantedError::Stock(text.clone());
            let (part, count) = text.split_once('=').ok_or_else(wrong)?;
            let count: u32 = count.trim().parse().map_err(|_| wrong())?;
            let id = PartId::new(part.trim());
            kind_of(library, &id).ok_or_else(|| WantedError::NoSuchPart(part.trim().to_owned()))?;
            Ok((id, count))
        })
        .collect()
}
