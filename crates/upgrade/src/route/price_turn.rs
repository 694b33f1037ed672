//! Which price would have to change, and how far, for another route to be the best value.
//!
//! # Model
//! For each part that the best value buys: the lowest price at which it is no longer the best value. For parts of the
//! routes next in worth: the highest price at which the best value would be another. The other prices stay as they
//! are. The turn is sought by halving over routes that can be on the front at any price between the two ends (they are
//! on it at one of the ends), and then confirmed with the whole library at the turn and one minor unit before it; where
//! the two disagree, because a rule weighs prices itself, it is sought again with the whole library.

use std::collections::BTreeSet;

use quantity::money::{Currency, Money};

use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::part::id::{Kind, PartId};
use crate::part::library::Library;
use crate::part::offer::{Offers, PriceKind};
use crate::route::detail::detail;
use crate::route::money::currency;
use crate::route::options::{Choice, Condition, Options};
use crate::route::pick::{PickKind, by_worth, picks};
use crate::route::plan::{Plan, PlanError, in_one_currency};
use crate::route::search::{Found, Search};

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

/// Best value at some prices: what it buys, and what it is called.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Best {
    parts: Vec<PartId>,
    title: String,
    /// Parts of every route on the front.
    front: BTreeSet<PartId>,
    /// Parts of the routes next in worth, the most worth first.
    next: Vec<PartId>,
}

/// Routes next in worth whose parts are looked at.
const ROUTES_LOOKED_AT: usize = 40;
/// How many times its price a part may get dearer before it is called never.
const DEAREST: i64 = 20;

fn best(machine: &Machine, library: &Library, currency: Currency) -> Best {
    let options = Options::of(machine, library, currency);
    let now = Proposal { now: machine, changes: Changes::default(), library };
    let proposal = |choice: &Choice| Proposal { now: machine, changes: options.changes(choice), library };
    let search = Search::new(machine, library, &options);
    let front = search.front();
    let full =
        |found: &Found| detail(&now, &proposal(&found.choice), &options, found.choice, found.objectives);
    let picks = picks(machine, &front.routes, full);
    let value = picks.into_iter().find(|pick| pick.kind == PickKind::BestValue);
    let parts_of = |found: &Found| options.changes(&found.choice).ids();
    let next =
        by_worth(machine, &front.routes).into_iter().take(ROUTES_LOOKED_AT).flat_map(parts_of).collect();
    Best {
        parts: value.iter().flat_map(|pick| pick.route.items.iter().map(|item| item.id.clone())).collect(),
        title: value.map_or_else(|| PickKind::Stay.word().to_owned(), |pick| pick.route.title),
        front: front.routes.iter().flat_map(parts_of).collect(),
        next,
    }
}

fn offers_of<'l>(library: &'l Library, id: &PartId) -> Option<(Kind, &'l str, &'l Offers)> {
    macro_rules! first {
        ($($kind:ident $map:ident),+) => {
            $(if let Some(part) = library.$map.get(id) {
                return Some((Kind::$kind, &part.name, &part.offers));
            })+
        };
    }
    first!(Processor processors, Board boards, Memory memory, Cooler coolers, Paste pastes, Supply supplies);
    None
}

/// Goes over the offers of every part that a route can buy.
fn each_offers(library: &mut Library, mut change: impl FnMut(&PartId, &mut Offers)) {
    macro_rules! all {
        ($($map:ident),+) => {
            $(for (id, part) in &mut library.$map {
                change(id, &mut part.offers);
            })+
        };
    }
    all!(processors, boards, memory, coolers, pastes, supplies);
}

const fn kind_of(condition: Condition) -> PriceKind {
    match condition {
        Condition::New => PriceKind::New,
        Condition::Used => PriceKind::SecondHand,
    }
}

/// The library with one price set.
fn with_price(library: &Library, id: &PartId, condition: Condition, price: Money) -> Library {
    let mut library = library.clone();
    each_offers(&mut library, |of, offers| {
        if of == id {
            offers.set(kind_of(condition), price, None);
        }
    });
    library
}

/// The library in which only some parts, and the siblings that rules compare them with, can be bought.
fn only(library: &Library, wanted: &BTreeSet<PartId>) -> Library {
    let siblings: BTreeSet<PartId> = library
        .processors
        .values()
        .filter(|processor| wanted.contains(&processor.id))
        .filter_map(|processor| processor.locked_sibling.clone())
        .collect();
    let mut library = library.clone();
    each_offers(&mut library, |id, offers| {
        if !wanted.contains(id) && !siblings.contains(id) {
            *offers = Offers { resale: offers.resale, ..Offers::default() };
        }
    });
    library
}

/// The first place in `(same, other]` for which `is_other` holds, which it does at `other` and not at `same`.
fn halve(mut same: i64, mut other: i64, is_other: impl Fn(i64) -> bool) -> i64 {
    while (other - same).abs() > 1 {
        let middle = same + (other - same) / 2;
        if is_other(middle) {
            other = middle;
        } else {
            same = middle;
        }
    }
    other
}

/// The prices at which the best value of a plan turns: of the parts it buys, then of those next in worth.
///
/// # Errors
/// As for the plan itself.
pub fn price_turns(machine: &Machine, library: &Library, plan: &Plan) -> Result<Vec<PriceTurn>, PlanError> {
    let currency = currency(machine, library).ok_or(PlanError::NoCurrency)?;
    let machine = &in_one_currency(machine, library, currency)?;
    let now = best(machine, library, currency);
    let mut out = Vec::new();
    let bought = plan.picks.iter().find(|pick| pick.kind == PickKind::BestValue);
    let items = bought.map_or(&[][..], |pick| pick.route.items.as_slice());
    for item in items {
        let dearest = item.price.minor().saturating_mul(DEAREST).max(100_000);
        out.extend(turn(machine, library, &now, (&item.id, item.condition, item.price), dearest));
    }
    // Of each kind the first: another paste would fill the list with pastes.
    let mut kinds: BTreeSet<Kind> = BTreeSet::new();
    for id in &now.next {
        let Some((kind, _, offers)) = offers_of(library, id) else { continue };
        if now.parts.contains(id) || !kinds.insert(kind) {
            continue;
        }
        let worth = |kind| {
            let price = offers.price(kind)?;
            library.rates.convert(price, currency).ok()
        };
        let welcome = machine.wishes.second_hand == crate::machine::wishes::SecondHandWish::Welcome;
        let used = worth(PriceKind::SecondHand).filter(|_| welcome).map(|price| (price, Condition::Used));
        let new = worth(PriceKind::New).map(|price| (price, Condition::New));
        let Some((price, condition)) = new.into_iter().chain(used).min_by_key(|(price, _)| price.minor())
        else {
            continue;
        };
        out.extend(turn(machine, library, &now, (id, condition, price), 0));
    }
    Ok(out)
}

/// The turn of one price on its way to `end`.
fn turn(
    machine: &Machine,
    library: &Library,
    now: &Best,
    (id, condition, price): (&PartId, Condition, Money),
    end: i64,
) -> Option<PriceTurn> {
    let currency = price.currency();
    let at = |library: &Library, minor: i64| {
        best(machine, &with_price(library, id, condition, Money::from_minor(minor, currency)), currency)
    };
    let (_, name, _) = offers_of(library, id)?;
    let told = |turn| Some(PriceTurn { part: id.clone(), name: name.to_owned(), condition, price, turn });
    let last = at(library, end);
    if last.parts == now.parts {
        return if end > price.minor() { told(Turn::Never) } else { None };
    }
    let wanted: BTreeSet<PartId> = now.front.union(&last.front).cloned().collect();
    let few = only(library, &wanted);
    let is_other_in = |library: &Library, minor: i64| at(library, minor).parts != now.parts;
    let mut found = halve(price.minor(), end, |minor| is_other_in(&few, minor));
    let before = found - (end - price.minor()).signum();
    let mut then = at(library, found);
    if then.parts == now.parts || is_other_in(library, before) {
        found = halve(price.minor(), end, |minor| is_other_in(library, minor));
        then = at(library, found);
    }
    told(Turn::At { price: Money::from_minor(found, currency), then: then.title })
}
