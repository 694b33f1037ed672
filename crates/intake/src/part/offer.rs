//! Reading prices.

use upgrade::part::offer::Offers;

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
            };
            if let Some(day) = &offers.priced_on
                && !is_day(day)
            {
                let span = fields.span();
                let help = Some("write it as \"2026-11-20\"".to_owned());
                fields.error(span.start..span.start, "priced_on", format!("\"{day}\" is no day"), help);
            }
            offers
        })
        .unwrap_or_default()
}

/// Whether a text has the form of a day, as ISO 8601 has it.
fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let digits = |part: &str, count: usize| part.len() == count && part.chars().all(|c| c.is_ascii_digit());
    let within = |part: &str, most: u32| part.parse::<u32>().is_ok_and(|number| (1..=most).contains(&number));
    matches!(parts[..], [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) && within(month, 12) && within(day, 31))
}
