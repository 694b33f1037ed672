//! The cells of a row that are about its price.

use quantity::day::Day;
use quantity::money::{Currency, Money};
use quantity::text::significant;
use upgrade::part::offer::PriceKind;

use super::{PriceRead, ReadRow, RowReader};
use crate::cell::{Cell, plain};
use crate::mapping::Mapping;

impl RowReader<'_> {
    pub(super) fn raw_amount(&self, cell: &Cell<'_>) -> Result<(String, Option<Currency>), String> {
        match cell {
            Cell::Number(number) => Ok((significant(*number, 15), None)),
            Cell::Text(text) => {
                let text = plain(text);
                let text = text.trim_end_matches("-").trim_end_matches('–').trim_end_matches(',').trim();
                let digit = |c: char| c.is_ascii_digit();
                let (Some(start), Some(end)) = (text.find(digit), text.rfind(digit)) else {
                    return Err("it is no amount".to_owned());
                };
                let (before, number, behind) = (
                    text.get(..start).unwrap_or("").trim(),
                    text.get(start..=end).unwrap_or(""),
                    text.get(end + 1..).unwrap_or("").trim(),
                );
                if before.ends_with('-') || before.ends_with('\u{2212}') {
                    return Err("it is below zero".to_owned());
                }
                let word = match (before, behind) {
                    ("", word) | (word, "") => word,
                    _ => return Err("it has words on both sides".to_owned()),
                };
                let own = if word.is_empty() || ["$", "¥", "kr", "kr."].contains(&word) {
                    None
                } else {
                    Some(currency(word).ok_or_else(|| format!("\"{word}\" is no currency of ISO 4217"))?)
                };
                Ok((self.number(number)?, own))
            }
            _ => Err("it is no amount".to_owned()),
        }
    }

    pub(super) fn money(&self, cell: &Cell<'_>, said: Option<Currency>) -> Result<Money, String> {
        let (number, own) = self.raw_amount(cell)?;
        amount(&number, own.or(said).or(self.mapping.currency))
    }
}

fn amount(number: &str, currency: Option<Currency>) -> Result<Money, String> {
    let currency = currency.ok_or("it has no currency; say it in the mapping, as  currency = \"EUR\"")?;
    // Programs write 349.5 and 349.500 for 349.50.
    let trimmed =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    format!("{trimmed} {}", currency.code()).parse::<Money>().map_err(|error| error.to_string())
}

/// A currency by its code or its sign, where the sign has only one.
pub fn currency(text: &str) -> Option<Currency> {
    match text.trim() {
        "€" => Some(Currency::EUR),
        "£" => Some(Currency::GBP),
        "zł" => Some(Currency::PLN),
        other => Currency::from_code(&other.to_uppercase()),
    }
}

pub(super) fn price_kind(text: &str) -> Result<PriceKind, String> {
    let words: [(&[&str], PriceKind); 3] = [
        (&["new", "neu", "neuf", "nuevo", "neuware", "boxed"], PriceKind::New),
        (
            &["secondhand", "used", "gebraucht", "occasion", "usado", "refurbished", "b"],
            PriceKind::SecondHand,
        ),
        (&["resale", "ankauf", "buyback"], PriceKind::Resale),
    ];
    let bare = crate::identity::compact(text);
    words.iter().find(|(known, _)| known.contains(&bare.as_str())).map(|(_, kind)| *kind).ok_or_else(|| {
        "it is neither new, second-hand nor resale; give it a meaning in the column's words".to_owned()
    })
}

/// A day as ISO 8601, or as `20.11.2026` and `20/11/2026` where only one reading is a day.
pub(super) fn day(cell: &Cell<'_>) -> Result<Day, String> {
    let text = match cell {
        Cell::Day(day) => return Ok(*day),
        other => other.text(),
    };
    if let Some(day) = text.get(..10).and_then(|text| text.parse::<Day>().ok()) {
        return Ok(day);
    }
    let parts: Vec<u16> = text.split(['.', '/', '-']).map(|part| part.trim().parse().unwrap_or(0)).collect();
    let [first, second, year] = parts[..] else {
        return Err("it is no day; write it as 2026-11-20".to_owned());
    };
    let of = |day: u16, month: u16| Day::new(year, u8::try_from(month).ok()?, u8::try_from(day).ok()?);
    match (of(first, second), of(second, first)) {
        // With points the day always comes first.
        (Some(day), _) if text.contains('.') => Ok(day),
        (Some(day), None) | (None, Some(day)) => Ok(day),
        (Some(one), Some(other)) if one == other => Ok(one),
        (Some(one), Some(other)) => Err(format!("it may be {one} or {other}; write it as 2026-11-20")),
        (None, None) => Err("it is no day; write it as 2026-11-20".to_owned()),
    }
}

pub(super) fn stock(reader: &RowReader<'_>, cell: &Cell<'_>) -> Result<Option<u32>, String> {
    let bare = crate::identity::compact(&cell.text());
    match bare.as_str() {
        "yes" | "ja" | "oui" | "instock" | "available" | "auflager" | "lieferbar" => Ok(None),
        "no" | "nein" | "non" | "outofstock" | "soldout" | "ausverkauft" | "nichtlieferbar" => Ok(Some(0)),
        _ => reader.count(cell).map(Some),
    }
}

/// The words of a row about its price.
#[derive(Debug, Default)]
pub(super) struct Price {
    pub(super) amounts: Vec<(PriceKind, Money)>,
    pub(super) amount: Option<(String, Option<Currency>)>,
    pub(super) kind: Option<PriceKind>,
    pub(super) kind_refused: bool,
    pub(super) day: Option<Day>,
    pub(super) day_refused: bool,
    pub(super) shop: Option<String>,
    pub(super) stock: Option<u32>,
    pub(super) currency: Option<Currency>,
}

impl Price {
    /// Adds the row's prices; the reason and the amount, where it cannot be counted.
    pub(super) fn finish(mut self, mapping: &Mapping, out: &mut ReadRow) -> Result<(), (String, String)> {
        // What the price is for, or its day, is there but not understood: that cell has been told already.
        if self.kind_refused || self.day_refused {
            return Ok(());
        }
        if let Some((number, own)) = self.amount.take() {
            match amount(&number, own.or(self.currency).or(mapping.currency)) {
                Ok(money) => self.amounts.push((self.kind.unwrap_or(PriceKind::New), money)),
                Err(reason) => return Err((reason, number)),
            }
        }
        for (kind, amount) in self.amounts {
            out.prices.push(PriceRead {
                kind,
                amount,
                day: self.day.or(mapping.day),
                shop: self.shop.clone().or_else(|| mapping.shop.clone()),
                stock: self.stock,
            });
        }
        Ok(())
    }
}
