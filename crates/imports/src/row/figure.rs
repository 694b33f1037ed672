//! One cell as a figure, a number, a word or a list in the program's own writing.

use intake::leaf::{FigureLeaf, Leaf};
use quantity::text::significant;

use super::{RowReader, Used};
use crate::cell::{Cell, plain};
use crate::limits::LONGEST_TEXT;
use crate::number::{Decimals, Written, read};
use crate::unit;

impl RowReader<'_> {
    /// A cell in the writing of a field.
    pub(super) fn value(
        &self,
        used: &Used,
        leaf: &Leaf,
        cell: &Cell<'_>,
        cells: &[Cell<'_>],
    ) -> Result<String, String> {
        let text = cell.text();
        let text = used.words.get(&text).cloned().unwrap_or(text);
        let translated = Cell::Text(text.clone().into());
        let cell = if matches!(cell, Cell::Text(_)) { &translated } else { cell };
        match leaf {
            Leaf::Text => short(&text),
            Leaf::Id => crate::identity::slug(&text).ok_or_else(|| "no letter or digit is in it".to_owned()),
            Leaf::Texts => Ok(list(&text)?.join("; ")),
            Leaf::Ids => {
                let ids: Vec<String> =
                    list(&text)?.iter().filter_map(|one| crate::identity::slug(one)).collect();
                Ok(ids.join("; "))
            }
            Leaf::Words(words) => one_of(&text, words),
            Leaf::WordList(words) => {
                let found: Result<Vec<String>, String> =
                    list(&text)?.iter().map(|one| one_of(one, words)).collect();
                Ok(found?.join("; "))
            }
            Leaf::Count => self.count(cell).map(|count| count.to_string()),
            Leaf::Figure(figure) => self.figure(used, figure, cell, cells),
            Leaf::Figures(figure) => {
                let found: Result<Vec<String>, String> = list(&text)?
                    .into_iter()
                    .map(|one| self.figure(used, figure, &Cell::Text(one.into()), cells))
                    .collect();
                Ok(found?.join("; "))
            }
            Leaf::Money => self.money(cell, None).map(|money| money.to_string()),
        }
    }

    /// A written number as plain digits with a point.
    pub(super) fn number(&self, text: &str) -> Result<String, String> {
        match (read(text), self.decimals) {
            (Written::Sure(number, _), _) => Ok(number),
            (Written::Open { point, .. }, Some(Decimals::Point)) => Ok(point),
            (Written::Open { comma, .. }, Some(Decimals::Comma)) => Ok(comma),
            (Written::Open { point, comma }, None) => Err(format!(
                "it may be {point} or {comma}, and no other number of the list tells; write  decimals = \"point\"  or  \"comma\"  in the mapping"
            )),
            (Written::No, _) => Err("it is no number".to_owned()),
        }
    }

    pub(super) fn count(&self, cell: &Cell<'_>) -> Result<u32, String> {
        let whole = |value: f64| {
            (value.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&value)).then_some(value as u32)
        };
        let found = match cell {
            Cell::Number(number) => whole(*number),
            Cell::Text(text) => {
                let (number, rest) = taken(&plain(text));
                if !rest.is_empty() && !rest.chars().all(char::is_alphabetic) {
                    return Err(format!("\"{rest}\" behind the number is not understood"));
                }
                self.number(&number)?.parse::<f64>().ok().and_then(whole)
            }
            _ => None,
        };
        found.ok_or_else(|| "it is no whole number".to_owned())
    }

    /// A figure in the program's own writing: `95 W`, `2.8..3.6 GHz`.
    fn figure(
        &self,
        used: &Used,
        figure: &FigureLeaf,
        cell: &Cell<'_>,
        cells: &[Cell<'_>],
    ) -> Result<String, String> {
        let (ends, own_unit) = match cell {
            Cell::Number(number) => (vec![significant(*number, 15)], String::new()),
            Cell::Text(text) => self.ends(&plain(text))?,
            Cell::Day(_) => return Err("it is a day".to_owned()),
            Cell::Empty | Cell::Failed(_) => return Err("it is empty".to_owned()),
        };
        let beside = || {
            used.unit_place.and_then(|place| cells.get(place)).map(Cell::text).filter(|text| !text.is_empty())
        };
        let wanted = if own_unit.is_empty() {
            beside().or_else(|| used.unit.clone()).unwrap_or_default()
        } else {
            own_unit
        };
        let known = unit::find(&wanted, figure).ok_or_else(|| {
            if wanted.is_empty() {
                format!(
                    "it is a plain number; say its unit in the mapping, as  unit = \"{}\"",
                    figure
                        .units
                        .iter()
                        .find(|unit| unit.printed)
                        .and_then(|unit| unit.symbols.first())
                        .copied()
                        .unwrap_or("")
                )
            } else {
                let known: Vec<&str> = figure
                    .units
                    .iter()
                    .filter_map(|unit| unit.symbols.first())
                    .copied()
                    .filter(|symbol| !symbol.is_empty())
                    .collect();
                format!("\"{wanted}\" is no unit of a {}: known are {}", figure.name, known.join(", "))
            }
        })?;
        let converted = |number: &String| -> Result<String, String> {
            if known.factor == 1.0 && known.offset == 0.0 {
                return Ok(number.clone());
            }
            let value: f64 = number.parse().map_err(|_| "it is no number".to_owned())?;
            Ok(significant(value * known.factor + known.offset, 12))
        };
        let ends: Result<Vec<String>, String> = ends.iter().map(converted).collect();
        Ok(format!("{} {}", ends?.join(".."), known.symbol).trim_end().to_owned())
    }

    /// The number or the two ends of an interval, and the unit behind them.
    fn ends(&self, text: &str) -> Result<(Vec<String>, String), String> {
        let (first, rest) = taken(text);
        if first.is_empty() {
            return Err("it does not begin with a number".to_owned());
        }
        let low = self.number(&first)?;
        for mark in ["..", "…", "–", "—", "-", "to ", "bis "] {
            // "2.8 GHz to 3.6 GHz" has its unit at both ends.
            let (unit, behind) = match rest.split_once(mark) {
                Some((unit, behind)) => (unit.trim(), behind.trim()),
                None => continue,
            };
            let (second, last) = taken(behind);
            if second.is_empty() || (!unit.is_empty() && unit != last) {
                continue;
            }
            let high = self.number(&second)?;
            let value = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
            if value(&low) > value(&high) {
                return Err("the interval runs backwards".to_owned());
            }
            return Ok((vec![low, high], last));
        }
        for mark in ["±", "+/-", "+-"] {
            if let Some(behind) = rest.strip_prefix(mark) {
                let (half, last) = taken(behind.trim());
                let value = |text: &str| text.parse::<f64>().map_err(|_| "it is no number".to_owned());
                let (middle, half) = (value(&low)?, value(&self.number(&half)?)?);
                return Ok((vec![significant(middle - half, 12), significant(middle + half, 12)], last));
            }
        }
        Ok((vec![low], rest))
    }
}

/// The number that a text begins with, blanks between thousands included, and the rest.
pub(super) fn taken(text: &str) -> (String, String) {
    let text = text.trim();
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let digit = |place: usize| chars.get(place).is_some_and(|(_, c)| c.is_ascii_digit());
    let mut end = 0;
    for (place, (at, c)) in chars.iter().enumerate() {
        let sign = place == 0 && matches!(c, '+' | '-' | '\u{2212}');
        let mark = matches!(c, '.' | ',' | '\'' | '\u{2019}' | ' ' | '\u{a0}' | '\u{202f}')
            && digit(place + 1)
            && (digit(place.wrapping_sub(1)) || place == 0);
        let exponent = matches!(c, 'e' | 'E')
            && digit(place.wrapping_sub(1))
            && (digit(place + 1)
                || (chars.get(place + 1).is_some_and(|(_, c)| matches!(c, '+' | '-')) && digit(place + 2)));
        let exponent_sign = matches!(c, '+' | '-')
            && place > 1
            && chars.get(place - 1).is_some_and(|(_, c)| matches!(c, 'e' | 'E'))
            && digit(place.wrapping_sub(2))
            && digit(place + 1);
        if c.is_ascii_digit() || sign || mark || exponent || exponent_sign {
            end = at + c.len_utf8();
        } else {
            break;
        }
    }
    let (number, rest) = text.split_at(end);
    if number.bytes().any(|byte| byte.is_ascii_digit()) {
        (number.to_owned(), rest.trim().to_owned())
    } else {
        (String::new(), text.to_owned())
    }
}

pub(super) fn short(text: &str) -> Result<String, String> {
    if text.chars().count() > LONGEST_TEXT {
        Err(format!("the text is longer than {LONGEST_TEXT} characters"))
    } else {
        Ok(text.to_owned())
    }
}

/// What stands between `;`, or where there is none between `,` or `|`.
fn list(text: &str) -> Result<Vec<String>, String> {
    let text = short(text)?;
    let mark = [';', '|', ','].into_iter().find(|mark| text.contains(*mark)).unwrap_or(';');
    Ok(text.split(mark).map(|one| one.trim().to_owned()).filter(|one| !one.is_empty()).collect())
}

fn one_of(text: &str, words: &[&'static str]) -> Result<String, String> {
    let alike = |word: &str| crate::identity::compact(word) == crate::identity::compact(text);
    if let Some(word) = words.iter().find(|word| alike(word)) {
        return Ok((*word).to_owned());
    }
    let truth = ["true", "1", "ja", "oui", "si", "x", "✓", "y"];
    let untruth = ["false", "0", "nein", "non", "n"];
    let lower = text.trim().to_lowercase();
    let says = |words_of: &[&str], word: &str| lower == word || words_of.contains(&lower.as_str());
    for (yes, no) in [("yes", "no"), ("present", "none")] {
        if words.contains(&yes) && says(&truth, "yes") {
            return Ok(yes.to_owned());
        }
        if words.contains(&no) && says(&untruth, "no") {
            return Ok(no.to_owned());
        }
    }
    let known: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    Err(format!("it is none of {}; give it a meaning in the column's words", known.join(", ")))
}
