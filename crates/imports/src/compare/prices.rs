//! The prices of the rows against those that the library has seen.

use std::collections::HashMap;

use quantity::day::Day;
use upgrade::part::id::PartId;
use upgrade::part::offer::{PriceKind, Quote};
use upgrade::part::price_history::PriceSeen;

use super::Work;
use crate::preview::{Against, Conflict, PriceChange};

impl Work<'_> {
    pub(super) fn compare_prices(&mut self) -> (Vec<PriceChange>, usize) {
        let mut out: Vec<PriceChange> = Vec::new();
        let mut places: HashMap<(PartId, PriceKind, Option<String>, Day), usize> = HashMap::new();
        let mut torn: Vec<usize> = Vec::new();
        let mut known = 0;
        for (id, price, row) in core::mem::take(&mut self.prices) {
            let day = price.day.unwrap_or(self.today);
            if day > self.today {
                let reason = format!("the price is of {day}, a day still to come");
                self.reject_row(row, &price.amount.to_string(), reason);
                continue;
            }
            let quote = Quote { day, shop: price.shop, stock: price.stock };
            let key = (id.clone(), price.kind, quote.shop.clone(), day);
            if let Some(place) = places.get(&key) {
                let Some(first) = out.get(*place) else { continue };
                if first.amount != price.amount {
                    self.conflicts.push(Conflict {
                        id: id.clone(),
                        field: format!("{} price", price.kind.word()),
                        row,
                        says: price.amount.to_string(),
                        other: first.amount.to_string(),
                        against: Against::Row(first.row),
                    });
                    torn.push(*place);
                }
                continue;
            }
            let seen: &[PriceSeen] = self.read.prices.get(&id).map_or(&[], Vec::as_slice);
            let of_shop = || seen.iter().filter(|one| one.kind == price.kind && one.quote.shop == quote.shop);
            let newest = of_shop().filter(|one| one.quote.day == day).max_by_key(|one| one.import);
            if newest.is_some_and(|one| one.amount == price.amount && one.quote.stock == quote.stock) {
                known += 1;
                continue;
            }
            let before = of_shop()
                .filter(|one| one.quote.day <= day)
                .max_by_key(|one| (one.quote.day, one.import))
                .map(|one| one.amount);
            places.insert(key, out.len());
            out.push(PriceChange { id, kind: price.kind, amount: price.amount, quote, row, before });
        }
        let kept = out.into_iter().enumerate().filter(|(place, _)| !torn.contains(place));
        let mut out: Vec<PriceChange> = kept.map(|(_, price)| price).collect();
        out.sort_by(|a, b| {
            (&a.id, a.kind, a.quote.day, &a.quote.shop).cmp(&(&b.id, b.kind, b.quote.day, &b.quote.shop))
        });
        (out, known)
    }
}
