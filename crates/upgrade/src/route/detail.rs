//! One route in full: what is bought, what it gains, what it costs, and every finding.

use quantity::day::Day;
use quantity::dimension::{DurationDim, EnergyDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::money::Money;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::point::SustainedPoint;
use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::{judge, overall};
use crate::gain::task::{speeds, widths};
use crate::machine::present::Machine;
use crate::machine::proposal::Proposal;
use crate::part::id::{Kind, PartId};
use crate::part::offer::PriceKind;
use crate::route::options::{Choice, Condition, Options, bought};
use crate::route::score::{Energy, Gain, Objectives, energy, gain};
use crate::route::search::point;

/// One part that a route buys.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Kind.
    pub kind: Kind,
    /// Id.
    pub id: PartId,
    /// Name.
    pub name: String,
    /// New or second-hand.
    pub condition: Condition,
    /// Price.
    pub price: Money,
    /// Day the price was taken; none where nobody said.
    pub day: Option<Day>,
    /// Shop whose list said it; none for the library's own file.
    pub shop: Option<String>,
    /// What the part that comes out brings, where something comes out.
    pub resale: Option<Money>,
}

/// A route in full.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// What it is called: its parts, or "change nothing".
    pub title: String,
    /// What is chosen.
    pub choice: Choice,
    /// Objectives in whole numbers.
    pub objectives: Objectives,
    /// What is bought, in the order of kinds; empty for changing nothing.
    pub items: Vec<Item>,
    /// Prices less resale.
    pub net_cost: Money,
    /// Gain over the machine as it is.
    pub gain: Gain,
    /// Energy of the machine-to-be.
    pub energy: Energy,
    /// Energy of a year after less before.
    pub energy_change: Figure<EnergyDim>,
    /// Sustained operating point of the machine-to-be.
    pub point: SustainedPoint,
    /// Money a year: value of the time saved less the price of more energy.
    pub yearly_worth: Option<(Money, Money)>,
    /// Time after which it has paid for itself; unknown where it never does or prices are missing.
    pub payback: Figure<DurationDim>,
    /// Every finding.
    pub findings: Vec<Finding>,
    /// Verdict on the whole.
    pub verdict: Verdict,
}

impl Route {
    /// Findings that are not plain fits, worst first.
    pub fn remarks(&self) -> Vec<&Finding> {
        let mut remarks: Vec<&Finding> =
            self.findings.iter().filter(|finding| finding.verdict != Verdict::Fits).collect();
        remarks.sort_by_key(|finding| core::cmp::Reverse(finding.verdict));
        remarks
    }
}

fn items(options: &Options<'_>, choice: &Choice) -> Vec<Item> {
    let mut items = Vec::new();
    macro_rules! item {
        ($kind:expr, $list:expr, $place:expr) => {
            if let Some(purchase) = bought($list, $place) {
                let resale = purchase.price.minor() - purchase.cost;
                let said = match purchase.condition {
                    Condition::New => PriceKind::New,
                    Condition::Used => PriceKind::SecondHand,
                };
                let offers = &purchase.part.offers;
                items.push(Item {
                    kind: $kind,
                    id: purchase.part.id.clone(),
                    name: purchase.part.name.clone(),
                    condition: purchase.condition,
                    price: purchase.price,
                    day: offers.day(said),
                    shop: offers.quote(said).and_then(|quote| quote.shop.clone()),
                    resale: (resale != 0).then(|| Money::from_minor(resale, options.currency)),
                });
            }
        };
    }
    item!(Kind::Processor, &options.processors, choice.processor);
    item!(Kind::Board, &options.boards, choice.board);
    item!(Kind::Memory, &options.memory, choice.memory);
    item!(Kind::Cooler, &options.coolers, choice.cooler);
    item!(Kind::Paste, &options.pastes, choice.paste);
    item!(Kind::Supply, &options.supplies, choice.supply);
    items
}

/// Money a year at both ends: value of saved time less the price of more energy.
fn yearly_worth(
    machine: &Machine,
    options: &Options<'_>,
    saved_a_day: Figure<DurationDim>,
    energy_change: Figure<EnergyDim>,
    rates: &quantity::money::Rates,
) -> Option<(Money, Money)> {
    let convert = |money: Money| crate::route::money::in_currency(money, options.currency, rates);
    let hour = convert(machine.wishes.hour_value?)?;
    let saved = saved_a_day.get()?;
    let days = f64::from(machine.setting.days_a_year?);
    let energy_price = machine.setting.energy_price.and_then(convert);
    let energy = match (energy_price, energy_change.get()) {
        (Some(price), Some(change)) => {
            let kwh = |value: f64| value / 3.6e6 * price.minor() as f64;
            (kwh(change.low().si()), kwh(change.high().si()))
        }
        _ => (0.0, 0.0),
    };
    let worth = |saved_s: f64, energy: f64| {
        let minor = saved_s / 3600.0 * days * hour.minor() as f64 - energy;
        // A year's worth of any machine stays far inside the range; the cast saturates beyond it.
        Money::from_minor(minor.round() as i64, options.currency)
    };
    Some((worth(saved.low().si(), energy.1), worth(saved.high().si(), energy.0)))
}

const SECONDS_A_YEAR: f64 = 31_557_600.0;

fn payback(net_cost: Money, worth: Option<(Money, Money)>) -> Figure<DurationDim> {
    match worth {
        Some((low, high)) if low.minor() > 0 => {
            let years = |worth: Money| (net_cost.minor().max(0)) as f64 / worth.minor() as f64;
            Reading::Known(
                Interval::between(
                    Quantity::from_si(years(high) * SECONDS_A_YEAR),
                    Quantity::from_si(years(low) * SECONDS_A_YEAR),
                ),
                Origin::Estimated,
            )
        }
        _ => Reading::Unknown,
    }
}

/// The route of a choice in full.
pub fn detail(
    now: &Proposal<'_>,
    then: &Proposal<'_>,
    options: &Options<'_>,
    choice: Choice,
    objectives: Objectives,
) -> Route {
    let machine = now.now;
    let (before, after) = (point(now), point(then));
    let tasks = &machine.workload.tasks;
    let widths = widths(tasks);
    let speeds_now = speeds(now, before.clock, &widths);
    let gain_of = |proposal: &Proposal<'_>, point: &SustainedPoint| {
        gain(&speeds_now, &speeds(proposal, point.clock, &widths), &proposal.changes, tasks)
    };
    let gain = gain_of(then, &after);
    let energy_after = energy(then, gain.busy_after);
    let stay = gain_of(now, &before);
    let energy_before = energy(now, stay.busy_after);
    let energy_change = if then.changes.any() {
        energy_after.yearly.with(energy_before.yearly, |a, b| a - b)
    } else {
        energy_after.yearly.map(|_| Interval::exact(Quantity::from_si(0.0)))
    };
    let net_cost = Money::from_minor(objectives.cost, options.currency);
    let yearly_worth = yearly_worth(machine, options, gain.saved_a_day, energy_change, &now.library.rates);
    let findings = judge(then);
    Route {
        title: then.changes.title(),
        choice,
        objectives,
        items: items(options, &choice),
        net_cost,
        gain,
        energy: energy_after,
        energy_change,
        point: after,
        yearly_worth,
        payback: payback(net_cost, yearly_worth),
        verdict: overall(&findings),
        findings,
    }
}
