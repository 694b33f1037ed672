//! Reading the tables of prices that imports brought, and bringing the parts' offers up to date.

use std::collections::BTreeMap;

use quantity::day::Day;
use quantity::money::Rates;
use quantity::reading::Origin;
use upgrade::part::id::PartId;
use upgrade::part::library::Library;
use upgrade::part::offer::{Offers, PriceKind, Quote};
use upgrade::part::price_history::{PriceSeen, bring_up_to_date};

use crate::csv_tree;
use crate::fields::Fields;
use crate::imported::gather::rearm_all;
use crate::node::Value;
use crate::problem::Problems;

/// Prices by part, as the lists said them.
pub type Prices = BTreeMap<PartId, Vec<PriceSeen>>;

/// Words of what a price is for.
pub const KINDS: [(&str, PriceKind); 3] = [
    (PriceKind::New.word(), PriceKind::New),
    (PriceKind::SecondHand.word(), PriceKind::SecondHand),
    (PriceKind::Resale.word(), PriceKind::Resale),
];

fn price(fields: &mut Fields<'_, '_>, import: u32) -> Option<(PartId, PriceSeen)> {
    let id = fields.required_id("id");
    let kind = fields.word("price", &KINDS).get();
    fields.require("price", kind.is_some(), "\"new\"");
    let amount = fields.money("amount");
    fields.require("amount", amount.is_some(), "\"349.00 EUR\"");
    let day = fields.required_text("day").and_then(|text| {
        text.parse::<Day>()
            .inspect_err(|error| {
                let span = fields.span();
                fields.error(span.start..span.start, "day", error.to_string(), None);
            })
            .ok()
    });
    let shop = fields.text("shop");
    let stock = fields.count("stock", 0, u32::MAX).get();
    let row = fields.count("row", 0, u32::MAX).get().unwrap_or(0);
    let quote = Quote { day: day?, shop, stock };
    Some((id?, PriceSeen { kind: kind?, amount: amount?, quote, import, row }))
}

/// Reads a `prices.csv`.
pub fn read(text: &str, import: u32, prices: &mut Prices, problems: &mut Problems<'_>) {
    for row in csv_tree::parse(text, problems) {
        let Value::Table(mut table) = row.value else { continue };
        rearm_all(&mut table);
        let mut fields = Fields::read(&table, row.span.clone(), "price", Origin::Sheet, problems);
        let taken = price(&mut fields, import);
        fields.finish();
        if let Some((id, seen)) = taken {
            prices.entry(id).or_default().push(seen);
        }
    }
}

/// The offers of a part of any kind.
fn offers_of<'l>(library: &'l mut Library, id: &PartId) -> Option<&'l mut Offers> {
    macro_rules! first {
        ($($map:ident),+) => {
            $(if let Some(part) = library.$map.get_mut(id) {
                return Some(&mut part.offers);
            })+
        };
    }
    first!(processors, boards, memory, coolers, pastes, supplies, cases);
    None
}

/// Gives every part the prices that count now.
pub fn apply(library: &mut Library, prices: &Prices) {
    let rates: Rates = library.rates.clone();
    for (id, seen) in prices {
        if let Some(offers) = offers_of(library, id) {
            bring_up_to_date(offers, seen, &rates);
        }
    }
}
