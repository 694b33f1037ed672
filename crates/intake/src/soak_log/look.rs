//! What stands in a table's columns, before anybody says what they are.

use crate::soak_log::heading::{Mapping, NotRead, heading};
use crate::soak_log::table::separator;

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// Its heading, as it is written.
    pub heading: String,
    /// The first cells under it.
    pub cells: Vec<String>,
    /// Whether it is read as a column of a soak log.
    pub is_read: bool,
}

/// No more columns than this are looked at.
const MOST_COLUMNS: usize = 500;
/// Rows that are looked at.
const ROWS: usize = 3;
/// Longest cell that is shown, in characters.
const LONGEST: usize = 24;

/// The columns of the table below the `# key: value` lines; none where there is no table.
///
/// # Example
/// ```
/// use intake::soak_log::look::look;
///
/// let seen = look("# load: all\nZeit;CPU °C\n0,1;41,5\n", &["time s=Zeit".parse().unwrap()]);
/// assert_eq!(seen[0].heading, "Zeit");
/// assert_eq!(seen[1].cells, ["41,5"]);
/// assert!(seen.iter().all(|column| column.is_read));
/// ```
pub fn look(text: &str, mapping: &[Mapping]) -> Vec<Seen> {
    let text = text.trim_start_matches('\u{feff}');
    let is_above = |line: &&str| line.trim().is_empty() || line.trim().starts_with('#');
    let from: usize = text.split_inclusive('\n').take_while(is_above).map(str::len).sum();
    let body = text.get(from..).unwrap_or("");
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .delimiter(separator(body.lines().next().unwrap_or("")))
        .from_reader(body.as_bytes())
        .into_records();
    let Some(Ok(headings)) = rows.next() else { return Vec::new() };
    let rows: Vec<csv::StringRecord> = rows.take(ROWS).filter_map(Result::ok).collect();
    let short = |cell: &str| cell.trim().chars().take(LONGEST).collect();
    headings
        .iter()
        .take(MOST_COLUMNS)
        .enumerate()
        .map(|(place, written)| Seen {
            heading: written.trim().to_owned(),
            cells: rows.iter().filter_map(|row| row.get(place)).map(short).collect(),
            is_read: match heading(written, mapping) {
                Ok(_) => true,
                Err(NotRead::Unknown | NotRead::Unit { .. }) => false,
            },
        })
        .collect()
}
