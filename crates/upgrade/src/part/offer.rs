//! What a part costs and what it brings when it is sold.

use quantity::day::Day;
use quantity::money::Money;

/// Prices of one part. A price that is absent is unknown, not zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Offers {
    /// Price new.
    pub new: Option<Money>,
    /// Price second-hand, where it is offered so.
    pub second_hand: Option<Money>,
    /// What it brings when sold used.
    pub resale: Option<Money>,
    /// Day the prices were taken, as `2026-11-20`, where no quote says otherwise.
    pub priced_on: Option<String>,
    /// Where a price list said the prices.
    pub quoted: Quotes,
}

/// Which list said each price; none where the library's own file does.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Quotes {
    /// New.
    pub new: Option<Quote>,
    /// Second-hand.
    pub second_hand: Option<Quote>,
    /// Resale.
    pub resale: Option<Quote>,
}

/// Where and when a price was seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quote {
    /// Day.
    pub day: Day,
    /// Shop; none where the list does not name it.
    pub shop: Option<String>,
    /// Pieces in stock; none where the list does not say.
    pub stock: Option<u32>,
}

/// What a price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PriceKind {
    /// Price of a new one.
    New,
    /// Price of a used one.
    SecondHand,
    /// What a used one brings.
    Resale,
}

impl PriceKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::New, Self::SecondHand, Self::Resale];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::SecondHand => "second-hand",
            Self::Resale => "resale",
        }
    }
}

impl Offers {
    /// The price of a kind.
    pub const fn price(&self, kind: PriceKind) -> Option<Money> {
        match kind {
            PriceKind::New => self.new,
            PriceKind::SecondHand => self.second_hand,
            PriceKind::Resale => self.resale,
        }
    }

    /// The list that said it.
    pub const fn quote(&self, kind: PriceKind) -> Option<&Quote> {
        match kind {
            PriceKind::New => self.quoted.new.as_ref(),
            PriceKind::SecondHand => self.quoted.second_hand.as_ref(),
            PriceKind::Resale => self.quoted.resale.as_ref(),
        }
    }

    /// The day a price was taken; none where nobody said.
    pub fn day(&self, kind: PriceKind) -> Option<Day> {
        match self.quote(kind) {
            Some(quote) => Some(quote.day),
            None => self.priced_on.as_ref()?.parse().ok(),
        }
    }

    /// Puts a price in, with the list that said it.
    pub fn set(&mut self, kind: PriceKind, price: Money, quote: Option<Quote>) {
        let (place, said) = match kind {
            PriceKind::New => (&mut self.new, &mut self.quoted.new),
            PriceKind::SecondHand => (&mut self.second_hand, &mut self.quoted.second_hand),
            PriceKind::Resale => (&mut self.resale, &mut self.quoted.resale),
        };
        *place = Some(price);
        *said = quote;
    }
}
