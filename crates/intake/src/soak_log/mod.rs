//! Soak logs: a CSV table (or the same packed as Parquet) with a unit in every heading, and `# key: value` lines above it.
//!
//! Every row that can be read is kept; gaps, times that step back, slips of unit, frozen sensors and a missing
//! power are named with their row.

mod about;
mod cell;
mod doubt;
pub mod heading;
pub mod look;
mod moment;
pub mod packed;
mod table;
mod tracks;

use upgrade::proof::log::SoakLog;

use crate::problem::{Problem, Problems, SourceFile};
use crate::soak_log::heading::Mapping;

/// Reads a log, CSV or Parquet; none where it has no time or no two rows. Lines of problems are
/// those of the CSV, also where it was packed.
pub fn read(file: &SourceFile, mapping: &[Mapping]) -> (Option<SoakLog>, Vec<Problem>) {
    if !packed::is_packed(&file.bytes) {
        return read_text(file, mapping);
    }
    match packed::unpack(file.bytes.clone()) {
        Ok(bytes) => read_text(&SourceFile { name: file.name.clone(), bytes }, mapping),
        Err(error) => {
            let mut problems = Problems::new(&file.name, "");
            let because =
                std::error::Error::source(&error).map_or(String::new(), |cause| format!(": {cause}"));
            problems.error(0..0, "", format!("{error}{because}"), None);
            (None, problems.found)
        }
    }
}

fn read_text(file: &SourceFile, mapping: &[Mapping]) -> (Option<SoakLog>, Vec<Problem>) {
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
    let (about, own, start) = about::read(text, &mut problems);
    // What a person says now comes before what the log says of itself.
    let mapping = [mapping, &own].concat();
    let log = table::read(text, start, &mapping, &mut problems).and_then(|table| {
        let log = tracks::log(about, table, &mut problems);
        if log.times.len() < 2 {
            problems.error(text.len()..text.len(), "", "the log has fewer than two rows".to_owned(), None);
            return None;
        }
        Some(log)
    });
    (log, problems.found)
}
