//! Reading prices.

use quantity::day::Day;
use upgrade::part::offer::{Offers, Quotes};

use crate::fields::Fields;

/// The table `offers`.
pub fn offers(fields: &mut Fields<'_, '_>) -> Offers {
    fields
        .table("offers", |fields| {
            let offers = Offers {
                new: fields.money("new"),
                second_hand: fields.money("second_hand"),
                resale: fields.money("resale"),
                priced_on: fields.text("priced_on"),
                quoted: Quotes::default(),
            };
            if let Some(day) = &offers.priced_on
                && day.parse::<Day>().is_err()
            {
                let span = fields.span();
                let help = Some("write it as \"2026-11-20\"".to_owned());
                fields.error(span.start..span.start, "priced_on", format!("\"{day}\" is no day"), help);
            }
            offers
        })
        .unwrap_or_default()
}
