//! The whole answer to "what should go into this machine?".

use quantity::dimension::DurationDim;
use quantity::interval::Interval;
use quantity::money::{Currency, Money, MoneyError};

use crate::carry::point::SustainedPoint;
use crate::fit::finding::Finding;
use crate::fit::rule::judge;
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::part::id::PartId;
use crate::part::library::Library;
use crate::route::detail::detail;
use crate::route::money::currency;
use crate::route::near_miss::{NearMiss, near_misses};
use crate::route::options::{Choice, Options};
use crate::route::pick::{Pick, picks};
use crate::route::robust::steadiness;
use crate::route::score::Objectives;
use crate::route::search::{Found, Search, point};

/// A plan: the front, picks from it, and what nearly was.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Currency of every amount.
    pub currency: Currency,
    /// Findings about the machine as it is.
    pub present: Vec<Finding>,
    /// Sustained operating point of the machine as it is.
    pub present_point: SustainedPoint,
    /// Every route that no other beats, by cost.
    pub front: Vec<Found>,
    /// What each of them is called, in the front's order.
    pub titles: Vec<String>,
    /// Ids of the parts each of them buys, in the front's order.
    pub parts: Vec<Vec<PartId>>,
    /// Named picks.
    pub picks: Vec<Pick>,
    /// Near misses.
    pub near_misses: Vec<NearMiss>,
    /// Combinations of parts that fit but cannot be judged, because a reading is missing.
    pub without_gain: u64,
    /// Parts without a price in a currency with a rate.
    pub without_price: usize,
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// Nothing in machine or library has a price.
    #[error("no currency is known: give the budget, or prices in the library, as \"349.00 EUR\"")]
    NoCurrency,
    /// The machine has no tasks.
    #[error("{machine} has no tasks: write at least one [[task]] with its time a day and shares")]
    NoTasks {
        /// Machine.
        machine: String,
    },
    /// An amount of the machine is in another currency, and no rate leads from it to the plan's.
    #[error("the {what} cannot be counted in {currency}")]
    Currency {
        /// Which amount.
        what: &'static str,
        /// Currency of the plan.
        currency: String,
        /// Why.
        source: MoneyError,
    },
}

/// The machine with its owner's amounts in the plan's currency.
///
/// # Errors
/// No rate leads from one of them to that currency.
pub fn in_one_currency(
    machine: &Machine,
    library: &Library,
    currency: Currency,
) -> Result<Machine, PlanError> {
    let convert = |what: &'static str, amount: Option<Money>| {
        amount
            .map(|amount| library.rates.convert(amount, currency))
            .transpose()
            .map_err(|source| PlanError::Currency { what, currency: currency.code().to_owned(), source })
    };
    let mut machine = machine.clone();
    machine.wishes.budget = convert("budget", machine.wishes.budget)?;
    machine.wishes.hour_value = convert("value of an hour", machine.wishes.hour_value)?;
    machine.setting.energy_price = convert("price of energy", machine.setting.energy_price)?;
    Ok(machine)
}

/// What every plan begins with: the currency, and the machine with its owner's amounts in it.
///
/// # Errors
/// No currency anywhere, an amount in another one without a rate, or a machine without tasks.
pub fn prepared(machine: &Machine, library: &Library) -> Result<(Currency, Machine), PlanError> {
    if machine.workload.tasks.is_empty() {
        return Err(PlanError::NoTasks { machine: machine.name.clone() });
    }
    let currency = currency(machine, library).ok_or(PlanError::NoCurrency)?;
    Ok((currency, in_one_currency(machine, library, currency)?))
}

/// Where the draws begin: the same plan gives the same answer every time.
const SEED: u64 = 0x5EA7;

/// How many near misses are kept.
const NEAR_MISSES: usize = 6;

/// Plans for a machine with the parts of a library.
///
/// # Errors
/// No currency anywhere, an amount in another one without a rate, or a machine without tasks.
pub fn plan(machine: &Machine, library: &Library) -> Result<Plan, PlanError> {
    let (currency, machine) = &prepared(machine, library)?;
    let currency = *currency;
    let options = Options::of(machine, library, currency);
    let now = Proposal { now: machine, changes: Changes::default(), library };
    let proposal = |choice: &Choice| Proposal { now: machine, changes: options.changes(choice), library };
    let search = Search::new(machine, library, &options);
    let front = search.front();
    let full =
        |found: &Found| detail(&now, &proposal(&found.choice), &options, found.choice, found.objectives);
    let mut picks = picks(machine, &front.routes, full);
    let uncertain: Vec<(&Found, Objectives, Interval<DurationDim>)> = front
        .routes
        .iter()
        .filter_map(|found| search.saved(&found.choice).map(|saved| (found, found.objectives, saved)))
        .collect();
    let drawn: Vec<(Objectives, Interval<DurationDim>)> =
        uncertain.iter().map(|(_, objectives, saved)| (*objectives, *saved)).collect();
    let places: Vec<Option<usize>> = picks
        .iter()
        .map(|pick| uncertain.iter().position(|(found, _, _)| found.choice == pick.route.choice))
        .collect();
    let wanted: Vec<usize> = places.iter().map(|place| place.unwrap_or(usize::MAX)).collect();
    for ((pick, place), share) in picks.iter_mut().zip(places).zip(steadiness(&drawn, &wanted, SEED)) {
        if place.is_some() {
            pick.steadiness = share;
        }
    }
    let parts = front.routes.iter().map(|found| options.changes(&found.choice).ids()).collect();
    let titles = front.routes.iter().map(|found| options.changes(&found.choice).title()).collect();
    Ok(Plan {
        currency,
        present: judge(&now),
        present_point: point(&now),
        titles,
        parts,
        picks,
        near_misses: near_misses(&now, &options, proposal, NEAR_MISSES),
        without_gain: front.without_gain,
        without_price: options.without_price,
        front: front.routes,
    })
}
