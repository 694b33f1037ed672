//! What an import would change, before anything is changed.
//!
//! # Model
//! Each figure of a row is compared with what the library says: new, the same, changed (an earlier import said
//! otherwise) or in conflict. Two rows that say different things of one part are in conflict, and neither is taken;
//! a figure that a person wrote into the library's own files stays, whatever a list says. A cell that cannot be read
//! is left out with its reason, the rest of its row is taken. Nothing is guessed for what is left out.

use core::ops::ControlFlow;
use intake::library::ReadLibrary;
use quantity::day::Day;
use quantity::money::Money;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::offer::{PriceKind, Quote};

use crate::cell::Cell;
use crate::compare::Work;
use crate::digest::sha256;
use crate::guess;
use crate::identity::Alike;
use crate::mapping::{Column, Mapping};
use crate::number::{Decimals, Written, read};
use crate::row::{ColumnError, Rejected, RowReader};
use crate::source::{Format, Source, SourceError};

/// A difference between a list and a library.
#[derive(Debug)]
pub struct Preview {
    /// Name of the list.
    pub source: String,
    /// SHA-256 of its bytes.
    pub digest: String,
    /// What it is.
    pub format: Format,
    /// How it was read.
    pub remarks: Vec<String>,
    /// The mapping that was used, what was guessed included: saved, it reads the list the same way again.
    pub mapping: Mapping,
    /// Columns whose field was guessed from their heading.
    pub guessed: Vec<Column>,
    /// Headings that are not taken.
    pub unmapped: Vec<String>,
    /// Rows with something in them below the headings.
    pub rows: usize,
    /// Rows that say what an earlier row said.
    pub repeated: usize,
    /// Parts with something new, by kind and id.
    pub parts: Vec<PartChange>,
    /// Parts of which the library knows all that the list says.
    pub unchanged: usize,
    /// Prices that the library does not have yet.
    pub prices: Vec<PriceChange>,
    /// Prices that it has.
    pub prices_known: usize,
    /// Figures that are not taken because something else is said of them.
    pub conflicts: Vec<Conflict>,
    /// Parts that are perhaps another under a slightly different name.
    pub alike: Vec<(PartId, String, u32, Alike)>,
    /// Cells and rows that are not taken.
    pub rejected: Vec<Rejected>,
    /// Fields by the places that figures name.
    pub fields: Vec<String>,
}

/// Whether a part is there already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartState {
    /// It is not in the library, and the list says enough.
    New,
    /// It is not in the library, and these fields are missing before it can be used.
    Sketch(Vec<String>),
    /// It is there, and some of its figures are new or other ones.
    Changed,
}

/// What changes of a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartChange {
    /// Kind.
    pub kind: Kind,
    /// Id.
    pub id: PartId,
    /// Name that the list gives it.
    pub name: String,
    /// First row that says something of it.
    pub row: u32,
    /// Whether it is there.
    pub state: PartState,
    /// Figures.
    pub figures: Vec<FigureChange>,
}

/// What changes of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureChange {
    /// Place of its field in [`Preview::fields`].
    pub field: usize,
    /// What an earlier import said.
    pub old: Option<Box<str>>,
    /// What the list says.
    pub new: Box<str>,
}

/// A price that is new.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceChange {
    /// Part.
    pub id: PartId,
    /// What for.
    pub kind: PriceKind,
    /// Amount.
    pub amount: Money,
    /// Where and when.
    pub quote: Quote,
    /// Row.
    pub row: u32,
    /// What the same shop said before.
    pub before: Option<Money>,
}

/// Who says something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Against {
    /// The library's own file, which wins.
    Hand {
        /// Name of the file.
        file: String,
        /// Line.
        line: usize,
    },
    /// Another row of the list; neither is taken.
    Row(u32),
    /// Another kind of part that has this id.
    OtherKind(Kind),
}

/// A figure of which two things are said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Part.
    pub id: PartId,
    /// Field, or what the price is for.
    pub field: String,
    /// Row.
    pub row: u32,
    /// What it says.
    pub says: String,
    /// What the other says.
    pub other: String,
    /// Who the other is.
    pub against: Against,
}

/// Why there is no preview.
#[derive(Debug, thiserror::Error)]
pub enum PreviewError {
    /// The file is no list.
    #[error("{name} cannot be read as a list")]
    Source {
        /// Its name.
        name: String,
        /// Why.
        source: SourceError,
    },
    /// The mapping does not fit.
    #[error("the columns of {name} cannot be taken")]
    Columns {
        /// Name of the list.
        name: String,
        /// Why.
        source: ColumnError,
    },
}

/// Rows in which the headings are looked for.
const HEADINGS_WITHIN: usize = 20;

/// Compares a list with a library.
///
/// # Errors
/// The file is no list, or the mapping does not fit it.
pub fn preview(
    name: &str,
    bytes: Vec<u8>,
    mapping: &Mapping,
    read: &ReadLibrary,
    today: Day,
) -> Result<Preview, PreviewError> {
    let digest = sha256(&bytes);
    let failed = |source| PreviewError::Source { name: name.to_owned(), source };
    let source = Source::open(bytes, mapping).map_err(failed)?;
    let mut mapping = mapping.clone();
    let (heading_row, headings) = headings(&source, &mapping).map_err(failed)?;
    let guessed = guess::columns(&headings, mapping.kind, &mapping);
    mapping.columns.extend(guessed.iter().cloned());
    mapping.heading_row = Some(heading_row);
    let columns = |source| PreviewError::Columns { name: name.to_owned(), source };
    let mut remarks = source.remarks.clone();
    if mapping.decimals.is_none() {
        mapping.decimals = decimals(
            &source,
            &RowReader::new(&mapping, &headings).map_err(columns)?,
            heading_row,
            &mut remarks,
        )
        .map_err(failed)?;
    }
    let reader = RowReader::new(&mapping, &headings).map_err(columns)?;
    let mut work = Work::new(&mapping, &reader, read, today, source.format);
    source
        .each(|row, cells| {
            if row > heading_row && !cells.iter().all(Cell::is_empty) {
                work.row(row, cells, &headings);
            }
            ControlFlow::Continue(())
        })
        .map_err(failed)?;
    remarks.extend(source.later_remarks());
    let taken: Vec<&str> = reader.used.iter().map(|used| used.heading.as_str()).collect();
    let of_units: Vec<&String> =
        mapping.columns.iter().filter_map(|column| column.unit_heading.as_ref()).collect();
    let unmapped = headings
        .iter()
        .filter(|heading| {
            !heading.is_empty() && !taken.contains(&heading.as_str()) && !of_units.contains(heading)
        })
        .cloned()
        .collect();
    let fields = reader.targets.fields.iter().map(|(path, _)| path.clone()).collect();
    let mut out = work.finish();
    out.source = name.to_owned();
    out.digest = digest;
    out.remarks = remarks;
    out.guessed = guessed;
    out.unmapped = unmapped;
    out.fields = fields;
    out.mapping = mapping.clone();
    Ok(out)
}

/// The row of the headings, and what they are.
fn headings(source: &Source, mapping: &Mapping) -> Result<(u32, Vec<String>), SourceError> {
    let mut first: Vec<(u32, Vec<String>)> = Vec::new();
    source.each(|row, cells| {
        let wanted = mapping.heading_row.is_none_or(|wanted| wanted == row);
        if wanted && !cells.iter().all(Cell::is_empty) {
            first.push((row, cells.iter().map(Cell::text).collect()));
        }
        let enough = first.len() >= HEADINGS_WITHIN || (mapping.heading_row.is_some() && !first.is_empty());
        if enough { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })?;
    let place = guess::heading_row(&first, mapping.kind, mapping).ok_or(SourceError::Empty)?;
    first.into_iter().nth(place).ok_or(SourceError::Empty)
}

/// The mark before decimals that the list's numbers show.
fn decimals(
    source: &Source,
    reader: &RowReader<'_>,
    heading_row: u32,
    remarks: &mut Vec<String>,
) -> Result<Option<Decimals>, SourceError> {
    let numeric: Vec<usize> =
        reader.used.iter().filter(|used| reader.is_numeric(used)).map(|used| used.place).collect();
    let (mut points, mut commas) = (0_usize, 0_usize);
    source.each(|row, cells| {
        if row > heading_row {
            for place in &numeric {
                let Some(Cell::Text(text)) = cells.get(*place) else { continue };
                let digits = text.trim_matches(|c: char| !c.is_ascii_digit());
                if let Written::Sure(_, Some(mark)) = read(digits) {
                    match mark {
                        Decimals::Point => points += 1,
                        Decimals::Comma => commas += 1,
                    }
                }
            }
        }
        ControlFlow::Continue(())
    })?;
    Ok(match (points, commas) {
        (0, 0) => None,
        (_, 0) => Some(Decimals::Point),
        (0, _) => {
            remarks.push("decimals stand behind a comma, as its numbers show".to_owned());
            Some(Decimals::Comma)
        }
        _ => {
            remarks.push(format!("{points} numbers show a decimal point and {commas} a decimal comma; those that could be either are not taken"));
            None
        }
    })
}

impl Preview {
    /// Whether the library would be changed.
    pub const fn changes_anything(&self) -> bool {
        !self.parts.is_empty() || !self.prices.is_empty()
    }

    /// Parts in a state.
    pub fn count(&self, is: impl Fn(&PartState) -> bool) -> usize {
        self.parts.iter().filter(|part| is(&part.state)).count()
    }
}
