//! Tables of whole numbers: reading them from CSV bytes.

/// Why bytes are not a table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// The heading lacks a column.
    #[error("the heading has no column \"{column}\"")]
    NoColumn {
        /// Column.
        column: &'static str,
    },
    /// A cell is no whole number.
    #[error("line {line}: \"{cell}\" in column {column} is not a whole number")]
    NotWhole {
        /// Line, from one.
        line: usize,
        /// Column.
        column: &'static str,
        /// The cell, shortened.
        cell: String,
    },
    /// A row with too few cells.
    #[error("line {line} has too few cells")]
    Short {
        /// Line, from one.
        line: usize,
    },
}

/// The wanted columns of a CSV table, row by row.
///
/// Cells are plain whole numbers without quotes; other columns may hold anything without a comma.
///
/// # Errors
/// A column is missing, or a cell in a wanted column is no whole number.
pub fn columns<const N: usize>(bytes: &[u8], wanted: [&'static str; N]) -> Result<Vec<[i64; N]>, TableError> {
    let end = bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len());
    let (heading, mut rest) = bytes.split_at(end);
    let names: Vec<&[u8]> = heading.trim_ascii().split(|byte| *byte == b',').collect();
    // Where each cell of a row goes; the last wanted column ends the reading of the row.
    let mut target = vec![usize::MAX; names.len()];
    let mut last = 0;
    for (slot, column) in wanted.iter().enumerate() {
        let place = names
            .iter()
            .position(|name| name.trim_ascii() == column.as_bytes())
            .ok_or(TableError::NoColumn { column })?;
        target[place] = slot;
        last = last.max(place);
    }
    target.truncate(last + 1);
    let mut rows = Vec::with_capacity(rest.len() / (names.len() * 3 + 1) + 1);
    let mut line = 1;
    while let [b'\n' | b'\r', tail @ ..] = rest {
        rest = tail;
    }
    while !rest.is_empty() {
        line += 1;
        let mut row = [0_i64; N];
        for (place, slot) in target.iter().enumerate() {
            let (value, digits, used) = number(rest);
            let after = rest.get(used).copied();
            let ends = matches!(after, None | Some(b',' | b'\n' | b'\r'));
            if *slot != usize::MAX {
                if !ends || digits == 0 {
                    let column = wanted.get(*slot).copied().unwrap_or("");
                    return Err(bad_cell(rest, line, column));
                }
                row[*slot] = value;
            }
            let cell_end = if ends { used } else { used + cell_length(rest.get(used..).unwrap_or(&[])) };
            rest = rest.get(cell_end..).unwrap_or(&[]);
            if place < last {
                match rest {
                    [b',', tail @ ..] => rest = tail,
                    _ => return Err(TableError::Short { line }),
                }
            }
        }
        rows.push(row);
        // What stands behind the last wanted column, then the line's end.
        let skip = rest.iter().position(|byte| *byte == b'\n').map_or(rest.len(), |at| at + 1);
        rest = rest.get(skip..).unwrap_or(&[]);
    }
    Ok(rows)
}

fn cell_length(rest: &[u8]) -> usize {
    rest.iter().position(|byte| matches!(byte, b',' | b'\n' | b'\r')).unwrap_or(rest.len())
}

fn bad_cell(rest: &[u8], line: usize, column: &'static str) -> TableError {
    let cell = rest.get(..cell_length(rest).min(40)).unwrap_or(&[]);
    TableError::NotWhole { line, column, cell: String::from_utf8_lossy(cell).into_owned() }
}

/// A whole number at the start: its value, how many digits, how many bytes.
fn number(bytes: &[u8]) -> (i64, usize, usize) {
    let negative = bytes.first() == Some(&b'-');
    let start = usize::from(negative);
    let mut value = 0_i64;
    let mut digits = 0;
    for byte in bytes.iter().skip(start) {
        let digit = byte.wrapping_sub(b'0');
        // Eighteen digits always fit; a longer number is refused as no number.
        if digit > 9 || digits == 18 {
            break;
        }
        value = value * 10 + i64::from(digit);
        digits += 1;
    }
    (if negative { -value } else { value }, digits, start + digits)
}

#[cfg(test)]
mod tests {
    use super::{TableError, columns};

    #[test]
    fn wanted_columns_are_read_in_any_order() {
        let bytes = b"id,name,a,b\n1,x,-5,7\n2,,8,9\r\n3,zz,0,1";
        assert_eq!(columns(bytes, ["b", "a"]).unwrap(), [[7, -5], [9, 8], [1, 0]]);
        assert_eq!(columns(b"a\n", ["a"]).unwrap(), Vec::<[i64; 1]>::new());
    }

    proptest::proptest! {
        #[test]
        fn any_bytes_are_a_table_or_are_refused(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..200)) {
            let _ = columns(&bytes, ["a", "b"]);
        }

        #[test]
        fn nearly_tables_are_read_or_refused(text in "a,b\n[-0-9,\n\r x]{0,60}") {
            let _ = columns(text.as_bytes(), ["b", "a"]);
        }
    }

    #[test]
    fn bad_tables_are_refused_with_their_line() {
        assert_eq!(columns(b"a,b\n1,2\n", ["c"]), Err(TableError::NoColumn { column: "c" }));
        let bad = TableError::NotWhole { line: 3, column: "b", cell: "x7".to_owned() };
        assert_eq!(columns(b"a,b\n1,2\n1,x7\n", ["a", "b"]), Err(bad));
        assert_eq!(columns(b"a,b\n1\n", ["b"]), Err(TableError::Short { line: 2 }));
        assert!(columns(b"", ["a"]).is_err());
        assert!(columns(b"a\n99999999999999999999\n", ["a"]).is_err());
    }
}
