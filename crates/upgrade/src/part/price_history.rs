//! Prices as they were seen over time, and which of them counts now.

use quantity::money::{Money, Rates};

use crate::part::offer::{Offers, PriceKind, Quote};

/// One price in one list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceSeen {
    /// What for.
    pub kind: PriceKind,
    /// Price.
    pub amount: Money,
    /// Where and when.
    pub quote: Quote,
    /// Number of the import that brought it.
    pub import: u32,
    /// Row of the list it stood on.
    pub row: u32,
}

/// Days by which a price may be older than the newest one and still compete with it.
///
/// # Source
/// common practice, no source.
pub const COMPETES_DAYS: i64 = 30;

/// The price of a kind that counts now.
///
/// # Model
/// Of each shop only its newest word counts. What it has not in stock cannot be bought; what is more than
/// [`COMPETES_DAYS`] older than the newest price does not compete. The cheapest of the rest counts, in the currency of
/// the newest where a rate leads there; of equal ones the newest, then the first shop by name.
pub fn current<'s>(seen: &'s [PriceSeen], kind: PriceKind, rates: &Rates) -> Option<&'s PriceSeen> {
    let of_kind: Vec<&PriceSeen> = seen.iter().filter(|one| one.kind == kind).collect();
    let newest_of_its_shop = |one: &PriceSeen| {
        !of_kind.iter().any(|other| {
            other.quote.shop == one.quote.shop
                && (other.quote.day, other.import, other.row) > (one.quote.day, one.import, one.row)
        })
    };
    let open: Vec<&PriceSeen> = of_kind
        .iter()
        .copied()
        .filter(|one| newest_of_its_shop(one) && (one.quote.stock != Some(0) || kind == PriceKind::Resale))
        .collect();
    let newest = open.iter().max_by_key(|one| (one.quote.day, one.import, one.row))?;
    let currency = newest.amount.currency();
    open.iter()
        .copied()
        .filter(|one| newest.quote.day.days_since(one.quote.day) <= COMPETES_DAYS)
        .filter_map(|one| Some((rates.convert(one.amount, currency).ok()?.minor(), one)))
        .min_by_key(|(minor, one)| {
            (
                *minor,
                core::cmp::Reverse(one.quote.day),
                one.quote.shop.clone(),
                core::cmp::Reverse(one.import),
            )
        })
        .map(|(_, one)| one)
}

/// Puts the prices that count now into offers that a library's own file began.
///
/// A dated price of that file counts until a list says a newer one; one without a day stays, since nobody can say
/// which of the two is newer.
pub fn bring_up_to_date(offers: &mut Offers, seen: &[PriceSeen], rates: &Rates) {
    for kind in PriceKind::ALL {
        let Some(found) = current(seen, kind, rates) else {
            // Every shop that had it says it is sold out: nothing can be bought at those prices.
            continue;
        };
        let stays = match (offers.price(kind), offers.day(kind)) {
            (None, _) => false,
            (Some(_), None) => true,
            (Some(_), Some(own)) => own > found.quote.day,
        };
        if !stays {
            offers.set(kind, found.amount, Some(found.quote.clone()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{PriceSeen, bring_up_to_date, current};
    use crate::part::offer::{Offers, PriceKind, Quote};
    use quantity::money::{Rate, Rates};

    fn seen(amount: &str, day: &str, shop: &str, stock: Option<u32>) -> PriceSeen {
        PriceSeen {
            kind: PriceKind::New,
            amount: amount.parse().unwrap(),
            quote: Quote { day: day.parse().unwrap(), shop: Some(shop.to_owned()), stock },
            import: 1,
            row: 2,
        }
    }

    fn now(seen: &[PriceSeen]) -> Option<String> {
        current(seen, PriceKind::New, &Rates::default()).map(|one| one.amount.to_string())
    }

    #[test]
    fn the_cheapest_of_the_shops_newest_words_counts() {
        let list = [
            seen("90.00 EUR", "2026-10-01", "Alder", None),
            seen("110.00 EUR", "2026-11-01", "Alder", None),
            seen("105.00 EUR", "2026-11-10", "Birch", None),
            seen("60.00 EUR", "2026-06-01", "Cedar", None),
            seen("50.00 EUR", "2026-11-09", "Dogwood", Some(0)),
        ];
        // Alder's older word is gone, Cedar's is too old to compete, Dogwood has none left.
        assert_eq!(now(&list).as_deref(), Some("105.00 EUR"));
    }

    #[test]
    fn another_currency_competes_only_with_a_rate() {
        let list =
            [seen("100.00 EUR", "2026-11-10", "Alder", None), seen("90.00 USD", "2026-11-09", "Birch", None)];
        assert_eq!(now(&list).as_deref(), Some("100.00 EUR"));
        let mut rates = Rates::default();
        rates.add(Rate { from: "1.00 EUR".parse().unwrap(), to: "1.10 USD".parse().unwrap() }).unwrap();
        // 90 / 1.10 = 81.82: cheaper than 100.
        let found = current(&list, PriceKind::New, &rates).unwrap();
        assert_eq!(found.amount.to_string(), "90.00 USD");
    }

    #[test]
    fn a_newer_list_wins_over_the_own_file_and_an_undated_own_price_stays() {
        let list = [seen("80.00 EUR", "2026-11-10", "Alder", None)];
        let own = |day: Option<&str>| Offers {
            new: Some("99.00 EUR".parse().unwrap()),
            priced_on: day.map(str::to_owned),
            ..Offers::default()
        };
        for (day, price) in
            [(Some("2026-11-02"), "80.00 EUR"), (Some("2026-11-12"), "99.00 EUR"), (None, "99.00 EUR")]
        {
            let mut offers = own(day);
            bring_up_to_date(&mut offers, &list, &Rates::default());
            assert_eq!(offers.new.unwrap().to_string(), price, "{day:?}");
        }
    }
}
