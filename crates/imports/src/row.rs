//! One row of a list as figures in the program's own writing.

use std::collections::BTreeMap;

use intake::leaf::{FigureLeaf, Leaf};
use quantity::day::Day;
use quantity::money::{Currency, Money};
use quantity::text::significant;
use upgrade::part::offer::PriceKind;

use crate::cell::{Cell, plain};
use crate::limits::{LONGEST_CELL, LONGEST_TEXT};
use crate::mapping::Mapping;
use crate::number::{Decimals, Written, read};
use crate::target::{Target, Targets};
use crate::unit;

/// A column that is read.
#[derive(Debug, Clone)]
pub struct Used {
    /// Its place, from nothing.
    pub place: usize,
    /// Its heading.
    pub heading: String,
    /// What it is.
    pub target: Target,
    unit: Option<String>,
    unit_place: Option<usize>,
    words: BTreeMap<String, String>,
}

/// A cell, or with column nothing a whole row, that was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejected {
    /// Row, or line in a text file, from one.
    pub row: u32,
    /// Column from one; zero where the whole row is meant.
    pub column: usize,
    /// Heading of the column.
    pub heading: String,
    /// What the cell holds, shortened.
    pub cell: String,
    /// Why it was not taken.
    pub reason: String,
}

/// A price on a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceRead {
    /// What for.
    pub kind: PriceKind,
    /// Amount.
    pub amount: Money,
    /// Day; none where neither row nor mapping says it.
    pub day: Option<Day>,
    /// Shop.
    pub shop: Option<String>,
    /// Pieces in stock.
    pub stock: Option<u32>,
}

/// A row that was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadRow {
    /// Id, where a column says it.
    pub id: Option<String>,
    /// Name.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// Fields by their place among the targets, with the column each came from.
    pub figures: Vec<(usize, String, usize)>,
    /// Prices.
    pub prices: Vec<PriceRead>,
}

/// Reads rows by a mapping.
#[derive(Debug)]
pub struct RowReader<'m> {
    /// What columns can be.
    pub targets: Targets,
    /// Columns that are read, by place.
    pub used: Vec<Used>,
    /// Mark before decimals.
    pub decimals: Option<Decimals>,
    mapping: &'m Mapping,
    constants: Vec<(Used, String)>,
    name: Option<usize>,
    maker: Option<usize>,
}

/// A column of a mapping that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ColumnError {
    /// A field nobody knows.
    #[error("the mapping gives \"{heading}\" the field \"{field}\", which there is not; known are {known}")]
    NoSuchField {
        /// Heading.
        heading: String,
        /// Field.
        field: String,
        /// Fields.
        known: String,
    },
    /// A unit that the field cannot have.
    #[error("\"{unit}\" is no unit of {field}, a {dimension}; write one as in \"{example}\"")]
    NoSuchUnit {
        /// Unit.
        unit: String,
        /// Field.
        field: String,
        /// Its dimension.
        dimension: &'static str,
        /// An example.
        example: &'static str,
    },
    /// One heading twice.
    #[error("two columns are headed \"{heading}\", and the mapping cannot tell them apart; rename one")]
    Twice {
        /// Heading.
        heading: String,
    },
    /// Nothing is read.
    #[error("no column is one that could be taken; the headings are {headings}; give a mapping for them")]
    Nothing {
        /// Headings.
        headings: String,
    },
    /// No column names the parts.
    #[error("no column says which part a row is; give one the field \"name\" or \"id\" in the mapping")]
    NoName,
}

/// Text of a cell for a message.
pub fn shown(cell: &Cell<'_>) -> String {
    let text = cell.text();
    if text.chars().count() > 40 {
        let mut short: String = text.chars().take(40).collect();
        short.push('…');
        short
    } else {
        text
    }
}

impl<'m> RowReader<'m> {
    /// Prepares to read rows under these headings.
    ///
    /// # Errors
    /// A column of the mapping that cannot be used, or none that names the parts.
    pub fn new(mapping: &'m Mapping, headings: &[String]) -> Result<Self, ColumnError> {
        let targets = Targets::of(mapping.kind);
        let mut used: Vec<Used> = Vec::new();
        for column in &mapping.columns {
            let target = targets.find(&column.field).ok_or_else(|| ColumnError::NoSuchField {
                heading: column.heading.clone(),
                field: column.field.clone(),
                known: targets.names().join(", "),
            })?;
            if let (Some(unit), Target::Field(place)) = (&column.unit, target)
                && let Some((field, Leaf::Figure(figure) | Leaf::Figures(figure))) = targets.fields.get(place)
                && unit::find(unit, figure).is_none()
            {
                return Err(ColumnError::NoSuchUnit {
                    unit: unit.clone(),
                    field: field.clone(),
                    dimension: figure.name,
                    example: figure.example,
                });
            }
            let mut places = headings.iter().enumerate().filter(|(_, heading)| **heading == column.heading);
            let Some((place, _)) = places.next() else { continue };
            if places.next().is_some() {
                return Err(ColumnError::Twice { heading: column.heading.clone() });
            }
            used.push(Used {
                place,
                heading: column.heading.clone(),
                target,
                unit: column.unit.clone(),
                unit_place: column
                    .unit_heading
                    .as_ref()
                    .and_then(|wanted| headings.iter().position(|heading| heading == wanted)),
                words: column.words.clone(),
            });
        }
        if used.is_empty() {
            let headings: Vec<String> =
                headings.iter().take(20).map(|heading| format!("\"{heading}\"")).collect();
            return Err(ColumnError::Nothing { headings: headings.join(", ") });
        }
        let (name, maker) = (targets.place("name"), targets.place("maker"));
        let names = |used: &Used| {
            used.target == Target::Id || name.is_some_and(|name| used.target == Target::Field(name))
        };
        if !used.iter().any(names) {
            return Err(ColumnError::NoName);
        }
        used.sort_by_key(|used| used.place);
        let mut constants = Vec::new();
        for constant in &mapping.constants {
            let target = targets.find(&constant.field).ok_or_else(|| ColumnError::NoSuchField {
                heading: format!("constant {}", constant.field),
                field: constant.field.clone(),
                known: targets.names().join(", "),
            })?;
            let used = Used {
                place: usize::MAX,
                heading: format!("constant {}", constant.field),
                target,
                unit: None,
                unit_place: None,
                words: BTreeMap::new(),
            };
            constants.push((used, constant.value.clone()));
        }
        Ok(Self { targets, used, decimals: mapping.decimals, mapping, constants, name, maker })
    }

    /// Whether a column holds numbers whose marks have to be told.
    pub fn is_numeric(&self, used: &Used) -> bool {
        match used.target {
            Target::Price(_) | Target::Amount => true,
            Target::Field(place) => {
                matches!(self.targets.fields.get(place), Some((_, Leaf::Figure(_) | Leaf::Count)))
            }
            _ => false,
        }
    }

    /// Reads a row; what cannot be taken is added to `rejected`.
    pub fn read(&self, row: u32, cells: &[Cell<'_>], rejected: &mut Vec<Rejected>) -> ReadRow {
        let mut out = ReadRow::default();
        let mut price = Price::default();
        let mut threads: Option<(u32, usize)> = None;
        for (used, value) in &self.constants {
            let cell = Cell::Text(value.into());
            if let Err(reason) = self.one(used, &cell, cells, &mut out, &mut price, &mut threads) {
                let heading = used.heading.clone();
                rejected.push(Rejected { row, column: 0, heading, cell: shown(&cell), reason });
            }
        }
        for used in &self.used {
            let Some(cell) = cells.get(used.place).filter(|cell| !cell.is_empty()) else { continue };
            if let Err(reason) = self.one(used, cell, cells, &mut out, &mut price, &mut threads) {
                rejected.push(Rejected {
                    row,
                    column: used.place + 1,
                    heading: used.heading.clone(),
                    cell: shown(cell),
                    reason,
                });
            }
        }
        if let Some((threads, place)) = threads
            && let Err(reason) = self.threads(threads, place, &mut out)
        {
            let heading = self.used.iter().find(|used| used.place == place).map(|used| used.heading.clone());
            rejected.push(Rejected {
                row,
                column: place.wrapping_add(1),
                heading: heading.unwrap_or_default(),
                cell: threads.to_string(),
                reason,
            });
        }
        if let Err((reason, cell)) = price.finish(self.mapping, &mut out) {
            let used = self.used.iter().find(|used| used.target == Target::Amount);
            rejected.push(Rejected {
                row,
                column: used.map_or(0, |used| used.place + 1),
                heading: used.map(|used| used.heading.clone()).unwrap_or_default(),
                cell,
                reason,
            });
        }
        out
    }

    fn threads(&self, threads: u32, place: usize, out: &mut ReadRow) -> Result<(), String> {
        let at = |field: &str| self.targets.place(field);
        let cores = at("cores[1].count")
            .and_then(|wanted| out.figures.iter().find(|(field, ..)| *field == wanted))
            .and_then(|(_, text, _)| text.parse::<u32>().ok())
            .ok_or("threads without a number of cores cannot be shared out among them")?;
        match at("cores[1].threads_per_core") {
            Some(field) if cores > 0 && threads.is_multiple_of(cores) => {
                out.figures.push((field, (threads / cores).to_string(), place));
                Ok(())
            }
            _ => Err(format!(
                "{threads} threads on {cores} cores: not the same number on each; cores of more than one kind are described by hand"
            )),
        }
    }

    fn one(
        &self,
        used: &Used,
        cell: &Cell<'_>,
        cells: &[Cell<'_>],
        out: &mut ReadRow,
        price: &mut Price,
        threads: &mut Option<(u32, usize)>,
    ) -> Result<(), String> {
        if let Cell::Failed(what) = cell {
            return Err((*what).to_owned());
        }
        if let Cell::Text(text) = cell
            && text.len() > LONGEST_CELL
        {
            return Err(format!(
                "the cell has more than {LONGEST_CELL} bytes; perhaps a quotation mark in it is not closed"
            ));
        }
        let word = || {
            let text = cell.text();
            used.words.get(&text).cloned().unwrap_or(text)
        };
        match used.target {
            Target::Id => out.id = Some(word()),
            Target::Field(field) => {
                let Some((_, leaf)) = self.targets.fields.get(field) else { return Ok(()) };
                let value = self.value(used, leaf, cell, cells)?;
                if Some(field) == self.name {
                    out.name.clone_from(&value);
                }
                if Some(field) == self.maker {
                    out.maker.clone_from(&value);
                }
                // A column of its own wins over a constant.
                out.figures.retain(|(other, ..)| *other != field);
                out.figures.push((field, value, used.place));
            }
            Target::Threads => *threads = Some((self.count(cell)?, used.place)),
            Target::Price(kind) => {
                price.amounts.push((kind, self.money(cell, used.unit.as_deref().and_then(currency))?))
            }
            Target::Amount => {
                let (number, own) = self.raw_amount(cell)?;
                price.amount = Some((number, own.or_else(|| used.unit.as_deref().and_then(currency))));
            }
            Target::PriceFor => {
                price.kind_refused = true;
                price.kind = Some(price_kind(&word())?);
                price.kind_refused = false;
            }
            Target::Day => {
                price.day_refused = true;
                price.day = Some(day(cell)?);
                price.day_refused = false;
            }
            Target::Shop => price.shop = Some(short(&word())?),
            Target::Stock => price.stock = stock(self, cell)?,
            Target::Currency => {
                let text = word();
                price.currency =
                    Some(currency(&text).ok_or_else(|| format!("\"{text}\" is no currency of ISO 4217"))?);
            }
        }
        Ok(())
    }

    /// A cell in the writing of a field.
    fn value(&self, used: &Used, leaf: &Leaf, cell: &Cell<'_>, cells: &[Cell<'_>]) -> Result<String, String> {
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
    fn number(&self, text: &str) -> Result<String, String> {
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

    fn count(&self, cell: &Cell<'_>) -> Result<u32, String> {
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

    fn raw_amount(&self, cell: &Cell<'_>) -> Result<(String, Option<Currency>), String> {
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

    fn money(&self, cell: &Cell<'_>, said: Option<Currency>) -> Result<Money, String> {
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

/// The number that a text begins with, blanks between thousands included, and the rest.
fn taken(text: &str) -> (String, String) {
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

fn short(text: &str) -> Result<String, String> {
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

/// A currency by its code or its sign, where the sign has only one.
pub fn currency(text: &str) -> Option<Currency> {
    match text.trim() {
        "€" => Some(Currency::EUR),
        "£" => Some(Currency::GBP),
        "zł" => Some(Currency::PLN),
        other => Currency::from_code(&other.to_uppercase()),
    }
}

fn price_kind(text: &str) -> Result<PriceKind, String> {
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
fn day(cell: &Cell<'_>) -> Result<Day, String> {
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

fn stock(reader: &RowReader<'_>, cell: &Cell<'_>) -> Result<Option<u32>, String> {
    let bare = crate::identity::compact(&cell.text());
    match bare.as_str() {
        "yes" | "ja" | "oui" | "instock" | "available" | "auflager" | "lieferbar" => Ok(None),
        "no" | "nein" | "non" | "outofstock" | "soldout" | "ausverkauft" | "nichtlieferbar" => Ok(Some(0)),
        _ => reader.count(cell).map(Some),
    }
}

/// The words of a row about its price.
#[derive(Debug, Default)]
struct Price {
    amounts: Vec<(PriceKind, Money)>,
    amount: Option<(String, Option<Currency>)>,
    kind: Option<PriceKind>,
    kind_refused: bool,
    day: Option<Day>,
    day_refused: bool,
    shop: Option<String>,
    stock: Option<u32>,
    currency: Option<Currency>,
}

impl Price {
    /// Adds the row's prices; the reason and the amount, where it cannot be counted.
    fn finish(mut self, mapping: &Mapping, out: &mut ReadRow) -> Result<(), (String, String)> {
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

#[cfg(test)]
mod tests {
    use super::{RowReader, taken};
    use crate::cell::Cell;
    use crate::mapping::{Column, Mapping};
    use crate::number::Decimals;
    use upgrade::part::id::Kind;

    /// A processor's cell in this field, in the program's own writing.
    fn value(field: &str, unit: Option<&str>, text: &str) -> Result<String, String> {
        let column = |heading: &str, field: &str, unit: Option<&str>| Column {
            heading: heading.to_owned(),
            field: field.to_owned(),
            unit: unit.map(str::to_owned),
            unit_heading: None,
            words: [("Ja".to_owned(), "present".to_owned())].into(),
        };
        let mapping = Mapping {
            kind: Some(Kind::Processor),
            decimals: Some(Decimals::Comma),
            columns: vec![column("n", "name", None), column("x", field, unit)],
            ..Mapping::default()
        };
        let reader = RowReader::new(&mapping, &["n".to_owned(), "x".to_owned()]).unwrap();
        let mut rejected = Vec::new();
        let row = reader.read(2, &[Cell::Text("Wren".into()), Cell::Text(text.into())], &mut rejected);
        match rejected.pop() {
            Some(rejected) => Err(rejected.reason),
            None => Ok(row.figures.last().unwrap().1.clone()),
        }
    }

    #[test]
    fn units_are_read_in_cells_and_headings_and_converted() {
        for (field, unit, text, wanted) in [
            ("sustained_power", Some("W"), "65,0", "65.0 W"),
            ("sustained_power", None, "65 Watt", "65 W"),
            ("sustained_power", Some("W"), "0.065 kW", "0.065 kW"),
            ("cores[1].base_clock", None, "3,5 GHz", "3.5 GHz"),
            ("cores[1].base_clock", Some("GHz"), "1700MHz", "1700 MHz"),
            ("cores[1].base_clock", Some("MHz"), "3.500", "3500 MHz"),
            ("cores[1].base_clock", None, "2,8 – 3,6 GHz", "2.8..3.6 GHz"),
            ("cores[1].base_clock", None, "2.8 GHz to 3.6 GHz", "2.8..3.6 GHz"),
            ("sustained_power", None, "90 ± 5 W", "85..95 W"),
            // NIST SP 811: 1 in = 25.4 mm; (212 - 32) * 5/9 = 100.
            ("package.lid_width", None, "1,5 in", "38.1 mm"),
            ("junction_limit", None, "212 °F", "100 °C"),
            ("memory_capacity", None, "64 gb", "64 GB"),
            ("graphics", None, "Ja", "present"),
            ("multiplier", None, "LOCKED", "locked"),
            ("cores[1].count", None, "6 cores", "6"),
        ] {
            assert_eq!(value(field, unit, text).as_deref(), Ok(wanted), "{field} {text}");
        }
    }

    #[test]
    fn what_is_not_plain_is_refused_with_a_reason() {
        for (field, unit, text, part) in [
            ("sustained_power", None, "65", "plain number"),
            ("sustained_power", Some("W"), "up to 65", "begin with a number"),
            ("sustained_power", Some("W"), "65 MW", "no unit of a power"),
            ("sustained_power", Some("W"), "65 W (boost)", "no unit"),
            ("cores[1].count", None, "8 (4+4)", "not understood"),
            ("cores[1].count", None, "6.5", "whole number"),
            ("graphics", None, "maybe", "none of"),
            ("sustained_power", Some("W"), "=2*65", "begin with a number"),
        ] {
            let told = value(field, unit, text).unwrap_err();
            assert!(told.contains(part), "{field} {text}: {told}");
        }
    }

    #[test]
    fn a_number_ends_where_its_unit_begins() {
        assert_eq!(taken("3 500 MHz"), ("3 500".to_owned(), "MHz".to_owned()));
        assert_eq!(taken("1.5e3 Hz"), ("1.5e3".to_owned(), "Hz".to_owned()));
        assert_eq!(taken("65W"), ("65".to_owned(), "W".to_owned()));
        assert_eq!(taken("-W"), (String::new(), "-W".to_owned()));
    }
}
