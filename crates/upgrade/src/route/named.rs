//! The route of changes that a person named, whether a search would have found it or not.

use quantity::money::Currency;

use crate::fit::rule::judge;
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::part::id::PartId;
use crate::part::library::Library;
use crate::route::bench_time::minutes;
use crate::route::detail::{Route, detail};
use crate::route::money::currency;
use crate::route::options::{Choice, Options, Purchase, cost_of};
use crate::route::plan::{PlanError, in_one_currency};
use crate::route::risk::points;
use crate::route::score::{Objectives, noise};

/// A route, and which of its parts have no price.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// The route; parts without a price are not in its list of purchases, nor in its cost.
    pub route: Route,
    /// Names of the parts without a price in the plan's currency.
    pub unpriced: Vec<String>,
    /// Currency of every amount.
    pub currency: Currency,
}

/// Place of a part among the purchases, counted from one; notes the part where it has none.
fn place<T>(
    list: &[Purchase<'_, T>],
    wanted: Option<(&PartId, &str)>,
    id: impl Fn(&T) -> &PartId,
    unpriced: &mut Vec<String>,
) -> usize {
    let Some((wanted, name)) = wanted else { return 0 };
    match list.iter().position(|purchase| id(purchase.part) == wanted) {
        Some(at) => at + 1,
        None => {
            unpriced.push(name.to_owned());
            0
        }
    }
}

/// The route of these changes.
///
/// # Errors
/// No currency is known, or an amount of the machine cannot be counted in it.
pub fn named(machine: &Machine, library: &Library, changes: Changes<'_>) -> Result<Named, PlanError> {
    let currency = currency(machine, library).ok_or(PlanError::NoCurrency)?;
    let machine = &in_one_currency(machine, library, currency)?;
    let options = Options::of(machine, library, currency);
    let mut unpriced = Vec::new();
    macro_rules! at {
        ($list:ident, $part:ident) => {
            place(
                &options.$list,
                changes.$part.map(|part| (&part.id, part.name.as_str())),
                |part| &part.id,
                &mut unpriced,
            )
        };
    }
    let choice = Choice {
        processor: at!(processors, processor),
        board: at!(boards, board),
        memory: at!(memory, memory),
        cooler: at!(coolers, cooler),
        paste: at!(pastes, paste),
        supply: at!(supplies, supply),
    };
    unpriced.extend(changes.case.map(|case| case.name.clone()));
    let now = Proposal { now: machine, changes: Changes::default(), library };
    let then = Proposal { now: machine, changes, library };
    let cost = cost_of(&options.processors, choice.processor)
        + cost_of(&options.boards, choice.board)
        + cost_of(&options.memory, choice.memory)
        + cost_of(&options.coolers, choice.cooler)
        + cost_of(&options.pastes, choice.paste)
        + cost_of(&options.supplies, choice.supply);
    let objectives = Objectives {
        cost,
        lost_s: 0,
        energy_wh: 0,
        minutes: minutes(&then),
        risk: judge(&then).iter().map(|finding| points(finding.verdict)).sum(),
        noise: noise(&then),
    };
    let mut route = detail(&now, &then, &options, choice, objectives);
    // What is unknown counts as no gain in an order; the route itself says that it is unknown.
    let whole = |value: f64| value.round() as i64;
    route.objectives.lost_s = route.gain.saved_a_day.get().map_or(0, |saved| -whole(saved.middle().si()));
    route.objectives.energy_wh =
        route.energy.yearly.get().map_or(0, |energy| whole(energy.middle().si() / 3600.0));
    Ok(Named { route, unpriced, currency })
}
