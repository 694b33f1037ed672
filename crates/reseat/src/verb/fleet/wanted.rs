//! The words of the command line as terms of a plan.

use std::collections::BTreeMap;

use desk::check::kind_of;
use fleet::group::Member;
use fleet::terms::{Goal, Resale, Reuse, Terms};
use quantity::money::{Currency, Money, MoneyError};
use upgrade::part::id::PartId;
use upgrade::part::library::Library;
use upgrade::route::money::currency;

use crate::args::fleet::{Fleet, GoalArg};
use crate::exit::Failure;

/// A word of the command line that makes no sense.
#[derive(Debug, thiserror::Error)]
enum WantedError {
    #[error("--budget {text}")]
    Budget { text: String, source: MoneyError },
    #[error("--budget is below zero; leave it out for no limit")]
    BelowZero,
    #[error("--hours {0} is no number of hours from 0 to 1000000")]
    Hours(f64),
    #[error("--years {0} is no number of years from 0.1 to 50")]
    Years(f64),
    #[error("--time-limit {0} is no number of seconds from 0.1 to 86400")]
    TimeLimit(f64),
    #[error("--stock {0}: write it as PART=COUNT, as tern-2-rush=12")]
    Stock(String),
    #[error("--stock {0}: the library has no such part; list them with  reseat parts list")]
    NoSuchPart(String),
    #[error("no currency is known: give --budget, or amounts in the records, or prices in the library")]
    NoCurrency,
}

/// The terms.
pub(super) fn terms(wanted: &Fleet, members: &[Member], library: &Library) -> Result<Terms, Failure> {
    let budget = match &wanted.budget {
        None => None,
        Some(text) => {
            let text = text.trim();
            let money: Money =
                text.parse().map_err(|source| WantedError::Budget { text: text.to_owned(), source })?;
            if money.minor() < 0 {
                return Err(WantedError::BelowZero.into());
            }
            Some(money)
        }
    };
    if wanted.hours.is_some_and(|hours| !(0.0..=1e6).contains(&hours)) {
        return Err(WantedError::Hours(wanted.hours.unwrap_or(f64::NAN)).into());
    }
    if !(0.1..=50.0).contains(&wanted.years) {
        return Err(WantedError::Years(wanted.years).into());
    }
    if !(0.1..=86_400.0).contains(&wanted.time_limit) {
        return Err(WantedError::TimeLimit(wanted.time_limit).into());
    }
    let of_records = || members.iter().find_map(|member| currency(&member.machine, library));
    let currency: Currency =
        budget.map(Money::currency).or_else(of_records).ok_or(WantedError::NoCurrency)?;
    Ok(Terms {
        currency,
        goal: match wanted.goal {
            GoalArg::Worth => Goal::Worth,
            GoalArg::Hours => Goal::Hours,
        },
        years: wanted.years,
        reuse: if wanted.no_reuse { Reuse::Never } else { Reuse::Welcome },
        resale: if wanted.no_resale { Resale::Nothing } else { Resale::Counted },
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
