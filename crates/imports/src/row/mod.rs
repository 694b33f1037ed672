//! One row of a list as figures in the program's own writing.

mod figure;
pub mod price;

use std::collections::BTreeMap;

use intake::leaf::Leaf;
use quantity::day::Day;
use quantity::money::Money;
use upgrade::part::offer::PriceKind;

use crate::cell::Cell;
use crate::limits::LONGEST_CELL;
use crate::mapping::Mapping;
use crate::number::Decimals;
use crate::row::figure::short;
use crate::row::price::{Price, currency, day, price_kind, stock};
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
}

#[cfg(test)]
mod tests {
    use super::RowReader;
    use super::figure::taken;
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
