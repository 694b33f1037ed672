//! Prices of a part over time, and how old they are.

use intake::imported::note::ImportNote;
use quantity::day::Day;
use quantity::money::Rates;
use serde_json::{Value, json};
use upgrade::part::id::PartId;
use upgrade::part::library::Library;
use upgrade::part::offer::{Offers, PriceKind};
use upgrade::part::price_history::{PriceSeen, current};

/// The offers of a part; none where it has no price of its own or is not there.
pub fn offers_of<'l>(library: &'l Library, id: &PartId) -> Option<&'l Offers> {
    macro_rules! first {
        ($($map:ident),+) => {
            $(if let Some(part) = library.$map.get(id) {
                return Some(&part.offers);
            })+
        };
    }
    first!(processors, boards, memory, coolers, pastes, supplies, cases);
    None
}

/// The prices of a part that count, out of all that lists have said of it.
pub fn counting<'s>(offers: &Offers, seen: &'s [PriceSeen], rates: &Rates) -> Vec<&'s PriceSeen> {
    PriceKind::ALL
        .into_iter()
        .filter(|kind| offers.quote(*kind).is_some())
        .filter_map(|kind| current(seen, kind, rates))
        .collect()
}

/// What is known of a part's prices.
#[derive(Debug)]
pub struct PartPrices<'l> {
    /// Part.
    pub id: &'l PartId,
    /// What it is offered for.
    pub offers: &'l Offers,
    /// All that lists have said of it.
    pub seen: &'l [PriceSeen],
    /// Those of them that count.
    pub counts: Vec<&'l PriceSeen>,
    /// The imports that said it, by their numbers.
    pub notes: Vec<(u32, ImportNote)>,
    /// The day on which it is asked.
    pub today: Day,
}

/// Prices of a part as JSON.
pub fn json(prices: &PartPrices<'_>) -> Value {
    let PartPrices { id, offers, seen, counts, notes, today } = prices;
    let now: Vec<Value> = PriceKind::ALL
        .into_iter()
        .filter_map(|kind| {
            let price = offers.price(kind)?;
            let day = offers.day(kind);
            Some(json!({
                "price": kind.word(),
                "amount": price.to_string(),
                "day": day.map(|day| day.to_string()),
                "days_old": day.map(|day| today.days_since(day)),
                "shop": offers.quote(kind).and_then(|quote| quote.shop.clone()),
            }))
        })
        .collect();
    let history: Vec<Value> = seen
        .iter()
        .map(|one| {
            let note = notes.iter().find(|(number, _)| *number == one.import).map(|(_, note)| note);
            json!({
                "price": one.kind.word(),
                "amount": one.amount.to_string(),
                "day": one.quote.day.to_string(),
                "shop": one.quote.shop,
                "stock": one.quote.stock,
                "counts": counts.iter().any(|count| core::ptr::eq(*count, one)),
                "import": one.import,
                "row": one.row,
                "list": note.map(|note| &note.source),
                "sha256": note.map(|note| &note.digest),
            })
        })
        .collect();
    json!({ "id": id.text(), "now": now, "history": history })
}
