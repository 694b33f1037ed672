//! One cell of a log: a number in the column's unit, or with a unit of its own.

use crate::soak_log::heading::{Heading, Kind, unit_of};
use crate::soak_log::moment::{self, Moment};

/// What a cell says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cell {
    /// Nothing.
    Empty,
    /// A value in SI.
    Value(f64),
    /// A time that is no count of seconds.
    Moment(Moment),
    /// A value in SI whose cell named another unit than the heading.
    OtherUnit(f64),
    /// A value that no desktop computer's sensor says; with the unit in which it would be one.
    Absurd(Option<&'static str>),
    /// No number.
    Words,
}

/// Whether a cell, without blanks around it, says that its value is not known.
pub(super) fn is_nothing(cell: &str) -> bool {
    cell.is_empty() || matches!(cell, "-" | "nan" | "NaN" | "n/a" | "NA" | "null")
}

/// Reads a cell; `comma` where decimals stand behind a comma.
pub(super) fn read(cell: &str, comma: bool, heading: &Heading) -> Cell {
    let cell = cell.trim();
    if is_nothing(cell) {
        return Cell::Empty;
    }
    let changed;
    let cell = if comma && cell.contains(',') {
        changed = cell.replace(',', ".");
        changed.as_str()
    } else {
        cell
    };
    if let Ok(value) = cell.parse::<f64>() {
        return judged(value, heading);
    }
    let end =
        cell.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(cell.len());
    let (number, unit) = cell.split_at(end);
    if let (Ok(value), Some(own)) = (number.parse::<f64>(), unit_of(heading.units, unit.trim())) {
        let si = own.to_si(value);
        return match (within(si, heading), own == heading.unit) {
            (true, true) => Cell::Value(si),
            (true, false) => Cell::OtherUnit(si),
            (false, _) => Cell::Absurd(None),
        };
    }
    if heading.kind != Kind::Time {
        return Cell::Words;
    }
    moment::read(cell).map_or(Cell::Words, Cell::Moment)
}

fn within(si: f64, heading: &Heading) -> bool {
    si.is_finite() && (heading.plausible.0..=heading.plausible.1).contains(&si)
}

fn judged(value: f64, heading: &Heading) -> Cell {
    let si = heading.unit.to_si(value);
    if within(si, heading) {
        return Cell::Value(si);
    }
    if !si.is_finite() {
        return Cell::Absurd(None);
    }
    // A thousandth of a degree is what kernels count in, and no unit that people write.
    if heading.unit.offset != 0.0 && within(heading.unit.to_si(value / 1000.0), heading) {
        return Cell::Absurd(Some("thousandths of a degree"));
    }
    let other =
        heading.units.iter().find(|unit| **unit != heading.unit && within(unit.to_si(value), heading));
    Cell::Absurd(other.and_then(|unit| unit.symbols.first().copied()))
}
