//! Soak logs: a CSV table with a unit in every heading, and `# key: value` lines above it.
//!
//! Every row that can be read is kept; gaps, times that step back, slips of unit, frozen sensors and a missing
//! power are named with their row.

mod about;
mod cell;
mod doubt;
pub mod heading;
mod table;
mod tracks;

use upgrade::proof::log::SoakLog;

use crate::problem::{Problem, Problems, SourceFile};
use crate::soak_log::heading::Mapping;

/// Reads a log; none where it has no time, no temperature or no two rows.
pub fn read(file: &SourceFile, mapping: &[Mapping]) -> (Option<SoakLog>, Vec<Problem>) {
    let text = match core::str::from_utf8(&file.bytes) {
        Ok(text) => text,
        Err(error) => {
            let mut problems = Problems::new(&file.name, "");
            let message = format!("byte {} is not UTF-8, so this is no CSV text", error.valid_up_to());
            problems.error(0..0, "", message, Some("save it again as UTF-8".to_owned()));
            return (None, problems.found);
        }
    };
    let mut problems = Problems::new(&file.name, text);
    let (about, start) = about::read(text, &mut problems);
    let log = table::read(text, start, mapping, &mut problems).and_then(|table| {
        let log = tracks::log(about, table, &mut problems);
        if log.times.len() < 2 {
            problems.error(text.len()..text.len(), "", "the log has fewer than two rows".to_owned(), None);
            return None;
        }
        Some(log)
    });
    (log, problems.found)
}
