//! Tables for spreadsheet programs, in which no cell can be a formula.

use core::fmt::Write as _;

use intake::imported::safe_cell::disarm;

/// One row of a CSV table (RFC 4180), with every cell that a spreadsheet program would calculate made plain text.
pub fn row<'c>(out: &mut String, cells: impl IntoIterator<Item = &'c str>) {
    for (place, cell) in cells.into_iter().enumerate() {
        if place > 0 {
            out.push(',');
        }
        let safe = disarm(cell);
        if safe.contains([',', '"', '\n', '\r']) || safe.trim() != &*safe {
            // Writing to a text cannot fail.
            let _ = write!(out, "\"{}\"", safe.replace('"', "\"\""));
        } else {
            out.push_str(&safe);
        }
    }
    out.push_str("\r\n");
}
