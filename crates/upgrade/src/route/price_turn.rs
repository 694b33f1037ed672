//! Which price would have to change, and how far, for another route to be the best value.
//!
//! # Model
//! For each part that the best value buys: the lowest price at which it is no longer the best value. For parts of the
//! routes next in worth: the highest price at which the best value would be another. The other prices stay as they
//! are.
//!
//! A price changes the cost of every route that buys the part by the same amount, and of no other. So the routes with the part
//! that can be on the front at any higher price are on it now, and those without it that can be on it are the front of a
//! search that leaves the part out: one search for a part that gets dearer. For one that gets cheaper it is the search that must
//! buy it, at the lowest price. Which of these few is the best value at a price then needs no search, and the turn is
//! found by halving to the minor unit.
//!
//! One rule weighs prices itself (the processor against its board). Its risk points are counted anew at each price; a
//! route that only they would bring onto the front, because the one that beats it has an open question, is not seen.

use std::collections::{BTreeMap, BTreeSet};

use quantity::money::{Currency, Money};

use crate::fit::finding::Verdict;
use crate::fit::rules::{ALL, WEIGH_PRICES};
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::machine::wishes::SecondHandWish;
use crate::part::id::{Kind, PartId};
use crate::part::library::Library;
use crate::part::offer::{Offers, PriceKind};
use crate::route::options::{Choice, Condition, Options};
use crate::route::pick::{PickKind, best_value, by_worth};
use crate::route::plan::{Plan, PlanError, prepared};
use crate::route::risk::points;
use crate::route::search::{Bound, Found, Search};

/// A price at which the best value turns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceTurn {
    /// Part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// New or second-hand.
    pub condition: Condition,
    /// Price now.
    pub price: Money,
    /// Where the best value turns.
    pub turn: Turn,
}

/// Where the best value turns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Turn {
    /// At this price or a higher one it is another.
    At {
        /// The first price at which it is.
        price: Money,
        /// What the best value is then.
        then: String,
    },
    /// However dear it gets.
    Never,
}

/// Routes next in worth whose parts are looked at.
const ROUTES_LOOKED_AT: usize = 40;
/// How many times its price a part may get dearer before it is called never.
const DEAREST: i64 = 20;

macro_rules! each_kind {
    ($each:ident) => {
        $each!(Processor processors, Board boards, Memory memory, Cooler coolers, Paste pastes, Supply supplies)
    };
}

fn offers_of<'l>(library: &'l Library, id: &PartId) -> Option<(Kind, &'l str, &'l Offers)> {
    macro_rules! first {
        ($($kind:ident $map:ident),+) => {
            $(if let Some(part) = library.$map.get(id) {
                return Some((Kind::$kind, &part.name, &part.offers));
            })+
        };
    }
    each_kind!(first);
    None
}

fn set_price(library: &mut Library, id: &PartId, condition: Condition, price: Money) {
    let kind = match condition {
        Condition::New => PriceKind::New,
        Condition::Used => PriceKind::SecondHand,
    };
    macro_rules! first {
        ($($kind:ident $map:ident),+) => {
            $(if let Some(part) = library.$map.get_mut(id) {
                part.offers.set(kind, price, None);
                return;
            })+
        };
    }
    each_kind!(first);
}

/// The place of a part among the options of its kind, counted from one.
fn place(options: &Options<'_>, kind: Kind, id: &PartId) -> Option<usize> {
    macro_rules! of_kind {
        ($($kind:ident $map:ident),+) => {
            match kind {
                $(Kind::$kind => options.$map.iter().position(|purchase| purchase.part.id == *id),)+
                _ => None,
            }
        };
    }
    each_kind!(of_kind).map(|idx| idx + 1)
}

const fn place_in(choice: &Choice, kind: Kind) -> usize {
    match kind {
        Kind::Processor => choice.processor,
        Kind::Board => choice.board,
        Kind::Memory => choice.memory,
        Kind::Cooler => choice.cooler,
        Kind::Paste => choice.paste,
        Kind::Supply => choice.supply,
        _ => 0,
    }
}

/// Risk points of the rules that weigh prices.
fn price_risk(proposal: &Proposal<'_>) -> u32 {
    WEIGH_PRICES.iter().map(|rule| points(rule.verdict(proposal))).sum()
}

/// What stays the same for all parts.
struct Turns<'a> {
    machine: &'a Machine,
    library: &'a Library,
    currency: Currency,
    /// Parts of the best value now.
    now: Vec<PartId>,
    /// Whether a choice has an open question, once that was asked; prices change nothing in it.
    open: BTreeMap<Choice, bool>,
}

/// A part whose price changes.
struct Part<'p> {
    id: &'p PartId,
    name: &'p str,
    kind: Kind,
    place: usize,
    condition: Condition,
    price: Money,
}

impl Turns<'_> {
    /// The best value among these routes at the prices of a library: its parts, and what it is called. `risk` of the routes is
    /// without the rules that weigh prices.
    fn best(&mut self, library: &Library, routes: &[Found]) -> (Vec<PartId>, String) {
        let options = Options::of(self.machine, library, self.currency);
        let search = Search::new(self.machine, library, &options);
        let at_this_price = |found: &Found| {
            let proposal = Proposal { now: self.machine, changes: options.changes(&found.choice), library };
            let mut found = *found;
            found.objectives.cost = search.cost(&found.choice);
            found.objectives.risk += price_risk(&proposal);
            search.within_budget(found.objectives.cost).then_some(found)
        };
        let routes: Vec<Found> = routes.iter().filter_map(at_this_price).collect();
        let open = &mut self.open;
        let is_open = |found: &Found| {
            *open.entry(found.choice).or_insert_with(|| {
                let changes = options.changes(&found.choice);
                let proposal = Proposal { now: self.machine, changes, library };
                ALL.iter().any(|rule| rule.verdict(&proposal) == Verdict::CannotTell)
            })
        };
        best_value(self.machine, &routes, is_open).map_or_else(
            || (Vec::new(), PickKind::Stay.word().to_owned()),
            |found| {
                let changes = options.changes(&found.choice);
                (changes.ids(), changes.title())
            },
        )
    }

    /// The turn of one price on its way to `end`, where it turns; `front` is the front at the prices of now.
    fn turn(&mut self, part: &Part<'_>, end: i64, front: &[Found]) -> Option<Turn> {
        let mut library = self.library.clone();
        let price = part.price.minor();
        let has_it = |found: &Found| place_in(&found.choice, part.kind) == part.place;
        let dearer = end > price;
        if !dearer {
            set_price(&mut library, part.id, part.condition, Money::from_minor(end, self.currency));
        }
        // One search: what the front of now does not tell of the routes that could be on the front.
        let bound = if dearer { Bound::Without } else { Bound::With }(part.kind, part.place);
        let routes: Vec<Found> = {
            let options = Options::of(self.machine, &library, self.currency);
            let search = Search::new(self.machine, &library, &options);
            let plain = |library: &Library, found: &Found| {
                // Places are the same at every price.
                let changes: Changes<'_> = options.changes(&found.choice);
                let mut found = *found;
                let own = Proposal { now: self.machine, changes, library };
                found.objectives.risk = found.objectives.risk.saturating_sub(price_risk(&own));
                found
            };
            let known = front.iter().filter(|found| has_it(found) == dearer);
            let known: Vec<Found> = known.map(|found| plain(self.library, found)).collect();
            let searched = search.front_of(bound).routes;
            searched.iter().map(|found| plain(&library, found)).chain(known).collect()
        };
        // What the best value is at a price, if it is another than now.
        let mut other_at = |minor: i64| {
            set_price(&mut library, part.id, part.condition, Money::from_minor(minor, self.currency));
            let (parts, title) = self.best(&library, &routes);
            (parts != self.now).then_some(title)
        };
        let (mut same, mut other) = (price, end);
        let Some(mut then) = other_at(end) else { return dearer.then_some(Turn::Never) };
        while (other - same).abs() > 1 {
            let middle = same + (other - same) / 2;
            match other_at(middle) {
                None => same = middle,
                Some(title) => (other, then) = (middle, title),
            }
        }
        Some(Turn::At { price: Money::from_minor(other, self.currency), then })
    }
}

/// The prices at which the best value of a plan turns: of the parts it buys, then of those next in worth.
///
/// # Errors
/// As for the plan itself.
pub fn price_turns(machine: &Machine, library: &Library, plan: &Plan) -> Result<Vec<PriceTurn>, PlanError> {
    let (currency, machine) = &prepared(machine, library)?;
    let currency = *currency;
    let options = Options::of(machine, library, currency);
    let bought = plan.picks.iter().find(|pick| pick.kind == PickKind::BestValue);
    let items = bought.map_or(&[][..], |pick| pick.route.items.as_slice());
    let now: Vec<PartId> = items.iter().map(|item| item.id.clone()).collect();
    let mut turns = Turns { machine, library, currency, now: now.clone(), open: BTreeMap::new() };
    let mut out = Vec::new();
    let mut add = |id: &PartId, condition: Condition, price: Money, end: i64| {
        let Some((kind, name, _)) = offers_of(library, id) else { return };
        let Some(place) = place(&options, kind, id) else { return };
        let part = Part { id, name, kind, place, condition, price };
        if let Some(turn) = turns.turn(&part, end, &plan.front) {
            out.push(PriceTurn { part: id.clone(), name: part.name.to_owned(), condition, price, turn });
        }
    };
    for item in items {
        let dearest = item.price.minor().saturating_mul(DEAREST).max(100_000);
        add(&item.id, item.condition, item.price, dearest);
    }
    // Of each kind the first: another paste would fill the list with pastes.
    let mut kinds: BTreeSet<Kind> = BTreeSet::new();
    let next = by_worth(machine, &plan.front).into_iter().take(ROUTES_LOOKED_AT);
    for id in next.flat_map(|found| options.changes(&found.choice).ids()) {
        let Some((kind, _, offers)) = offers_of(library, &id) else { continue };
        if now.contains(&id) || !kinds.insert(kind) {
            continue;
        }
        let worth = |kind| {
            let price = offers.price(kind)?;
            library.rates.convert(price, currency).ok()
        };
        let welcome = machine.wishes.second_hand == SecondHandWish::Welcome;
        let used = worth(PriceKind::SecondHand).filter(|_| welcome).map(|price| (price, Condition::Used));
        let new = worth(PriceKind::New).map(|price| (price, Condition::New));
        let offered = new.into_iter().chain(used).min_by_key(|(price, _)| price.minor());
        if let Some((price, condition)) = offered {
            add(&id, condition, price, 0);
        }
    }
    Ok(out)
}
