//! What could be changed: for each kind of part the ways to get another one, or to keep what is there.

use std::collections::BTreeMap;

use quantity::money::{Currency, Money};

use crate::machine::present::Machine;
use crate::machine::proposal::Changes;
use crate::machine::wishes::{BoardWish, SecondHandWish};
use crate::part::board::Board;
use crate::part::cooler::Cooler;
use crate::part::id::PartId;
use crate::part::library::Library;
use crate::part::memory::MemoryKit;
use crate::part::offer::Offers;
use crate::part::paste::Paste;
use crate::part::processor::Processor;
use crate::part::supply::Supply;
use crate::route::money::in_currency;

/// New or second-hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// New.
    New,
    /// Second-hand.
    Used,
}

impl Condition {
    /// The word used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Used => "second-hand",
        }
    }
}

/// One way to get a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purchase<'a, T> {
    /// The part.
    pub part: &'a T,
    /// New or second-hand: the cheaper of those that are welcome.
    pub condition: Condition,
    /// Price in the currency of the plan.
    pub price: Money,
    /// Price less what the part that it replaces brings, in minor units; never below zero, so that no
    /// route earns money by putting a lesser part in.
    pub cost: i64,
}

/// The options of each kind, keeping what is there not among them.
#[derive(Debug, Clone, PartialEq)]
pub struct Options<'a> {
    /// Currency of every price.
    pub currency: Currency,
    /// Processors.
    pub processors: Vec<Purchase<'a, Processor>>,
    /// Boards; empty where the board must stay.
    pub boards: Vec<Purchase<'a, Board>>,
    /// Memory kits, large enough for the owner's wish.
    pub memory: Vec<Purchase<'a, MemoryKit>>,
    /// Coolers.
    pub coolers: Vec<Purchase<'a, Cooler>>,
    /// Pastes.
    pub pastes: Vec<Purchase<'a, Paste>>,
    /// Supplies.
    pub supplies: Vec<Purchase<'a, Supply>>,
    /// Whether the memory that is there is enough for the owner's wish.
    pub memory_may_stay: MemoryStay,
    /// Parts left out because nothing, or nothing in a currency with a rate, is asked for them.
    pub without_price: usize,
}

/// Whether the memory that is there may stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MemoryStay {
    /// It is enough.
    Enough,
    /// The owner wishes for more.
    TooLittle,
}

struct Market<'a> {
    machine: &'a Machine,
    library: &'a Library,
    currency: Currency,
    without_price: usize,
}

impl<'a> Market<'a> {
    fn worth(&self, amount: Option<Money>) -> Option<i64> {
        in_currency(amount?, self.currency, &self.library.rates).ok_minor()
    }

    fn offered<T>(
        &mut self,
        parts: &'a BTreeMap<PartId, T>,
        offers: impl Fn(&T) -> &Offers,
        resale: i64,
    ) -> Vec<Purchase<'a, T>> {
        let mut purchases = Vec::with_capacity(parts.len());
        for part in parts.values() {
            let offer = offers(part);
            let used = match self.machine.wishes.second_hand {
                SecondHandWish::Welcome => offer.second_hand,
                SecondHandWish::Never => None,
            };
            let prices = [(self.worth(offer.new), Condition::New), (self.worth(used), Condition::Used)];
            let cheapest = prices
                .into_iter()
                .filter_map(|(price, condition)| price.map(|price| (price, condition)))
                .min_by_key(|(price, _)| *price);
            match cheapest {
                Some((price, condition)) => purchases.push(Purchase {
                    part,
                    condition,
                    price: Money::from_minor(price, self.currency),
                    cost: (price - resale).max(0),
                }),
                None => self.without_price += 1,
            }
        }
        purchases
    }
}

/// Minor units of an amount, where there is one.
trait Minor {
    fn ok_minor(self) -> Option<i64>;
}

impl Minor for Option<Money> {
    fn ok_minor(self) -> Option<i64> {
        self.map(Money::minor)
    }
}

impl<'a> Options<'a> {
    /// What the library offers for a machine, prices in `currency`.
    pub fn of(machine: &'a Machine, library: &'a Library, currency: Currency) -> Self {
        let mut market = Market { machine, library, currency, without_price: 0 };
        // What the replaced part brings; nothing where it is unknown, so that no route is praised for
        // money that may not come.
        let processor = processor_resale(machine, library, currency);
        let board = market.worth(machine.board.resale.or(machine.board.part.offers.resale)).unwrap_or(0);
        let cooler = market.worth(machine.cooler.resale.or(machine.cooler.part.offers.resale)).unwrap_or(0);
        let supply = market.worth(machine.supply.resale.or(machine.supply.part.offers.resale)).unwrap_or(0);
        let memory: i64 = machine
            .memory
            .iter()
            .map(|kit| market.worth(kit.resale.or(kit.part.offers.resale)).unwrap_or(0))
            .sum();
        let wanted = machine.wishes.memory.known().map(|capacity| capacity.low().si());
        let holds = |kit: &MemoryKit| {
            kit.module_capacity
                .known()
                .is_some_and(|each| each.low().si() * f64::from(kit.modules) >= wanted.unwrap_or(0.0))
        };
        let held: Option<f64> = machine
            .memory
            .iter()
            .map(|kit| {
                kit.part.module_capacity.known().map(|each| each.low().si() * f64::from(kit.part.modules))
            })
            .sum();
        let memory_may_stay = match (wanted, held) {
            (Some(wanted), Some(held)) if held < wanted => MemoryStay::TooLittle,
            _ => MemoryStay::Enough,
        };
        let boards = match machine.wishes.board {
            BoardWish::MayChange => market.offered(&library.boards, |board| &board.offers, board),
            BoardWish::Keep => Vec::new(),
        };
        let mut kits = market.offered(&library.memory, |kit| &kit.offers, memory);
        kits.retain(|purchase| holds(purchase.part));
        let mut coolers = market.offered(&library.coolers, |cooler| &cooler.offers, cooler);
        for purchase in coolers.iter_mut().filter(|purchase| purchase.part.is_refit()) {
            // The cooler stays, so it brings nothing.
            purchase.cost = purchase.price.minor();
        }
        Self {
            currency,
            processors: market.offered(&library.processors, |processor| &processor.offers, processor),
            boards,
            memory: kits,
            coolers,
            pastes: market.offered(&library.pastes, |paste| &paste.offers, 0),
            supplies: market.offered(&library.supplies, |supply| &supply.offers, supply),
            memory_may_stay,
            without_price: market.without_price,
        }
    }

    /// The changes that a choice stands for.
    pub fn changes(&self, choice: &Choice) -> Changes<'a> {
        Changes {
            processor: pick(&self.processors, choice.processor),
            board: pick(&self.boards, choice.board),
            memory: pick(&self.memory, choice.memory),
            cooler: pick(&self.coolers, choice.cooler),
            paste: pick(&self.pastes, choice.paste),
            supply: pick(&self.supplies, choice.supply),
            case: None,
        }
    }
}

/// What the machine's processor brings when it comes out, in minor units; nothing where that is unknown.
pub fn processor_resale(machine: &Machine, library: &Library, currency: Currency) -> i64 {
    let amount = machine.processor.resale.or(machine.processor.part.offers.resale);
    amount.and_then(|amount| in_currency(amount, currency, &library.rates)).map_or(0, Money::minor)
}

/// One option of each kind by its place, counted from one; zero keeps what is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Choice {
    /// Processor.
    pub processor: usize,
    /// Board.
    pub board: usize,
    /// Memory.
    pub memory: usize,
    /// Cooler.
    pub cooler: usize,
    /// Paste.
    pub paste: usize,
    /// Supply.
    pub supply: usize,
}

/// The purchase at a place, counted from one; `None` for keeping.
pub fn bought<'o, 'a, T>(list: &'o [Purchase<'a, T>], place: usize) -> Option<&'o Purchase<'a, T>> {
    place.checked_sub(1).and_then(|idx| list.get(idx))
}

fn pick<'a, T>(list: &[Purchase<'a, T>], place: usize) -> Option<&'a T> {
    bought(list, place).map(|purchase| purchase.part)
}

/// What a purchase costs over keeping, in minor units.
pub fn cost_of<T>(list: &[Purchase<'_, T>], place: usize) -> i64 {
    bought(list, place).map_or(0, |purchase| purchase.cost)
}
