//! The one currency a plan is computed in.

use quantity::money::{Currency, Money, Rates};

use crate::machine::present::Machine;
use crate::part::library::Library;

/// Currency of a plan: the budget's, else that of an hour's value, else that of the first price.
pub fn currency(machine: &Machine, library: &Library) -> Option<Currency> {
    let wishes = &machine.wishes;
    let said = wishes.budget.or(wishes.hour_value).or(machine.setting.energy_price);
    let priced = || {
        library
            .processors
            .values()
            .find_map(|processor| processor.offers.new.or(processor.offers.second_hand))
    };
    said.or_else(priced).map(Money::currency)
}

/// An amount in the plan's currency; `None` where no rate leads there.
pub fn in_currency(amount: Money, currency: Currency, rates: &Rates) -> Option<Money> {
    rates.convert(amount, currency).ok()
}
