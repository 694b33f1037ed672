//! What stands above a log's table: `# key: value` lines.

use core::str::FromStr as _;

use quantity::dimension::{PowerDim, TemperatureDifferenceDim, TemperatureDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Origin, Reading};
use upgrade::proof::log::About;

use crate::problem::Problems;
use crate::soak_log::heading::Mapping;

/// Reads the lines up to the table; gives what they say, the columns of another program that they name, and the byte at
/// which the table begins.
pub(super) fn read(text: &str, problems: &mut Problems<'_>) -> (About, Vec<Mapping>, usize) {
    let mut about = About::default();
    let mut mapping = Vec::new();
    let mut at = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    for line in text.get(at..).unwrap_or("").split_inclusive('\n') {
        let plain = line.trim();
        if !plain.is_empty() && !plain.starts_with('#') {
            break;
        }
        let span = at..at + line.trim_end().len();
        at += line.len();
        let Some((key, value)) = plain.trim_start_matches('#').split_once(':') else { continue };
        let (key, value) = (key.trim(), value.trim());
        let wrong = match key {
            "machine" => {
                about.machine = Some(value.to_owned());
                None
            }
            "load" => {
                about.load = Some(value.to_owned());
                None
            }
            "start" => {
                about.start = Some(value.to_owned());
                None
            }
            "room" => Interval::<TemperatureDim>::from_str(value)
                .map(|room| about.room = Reading::Known(room, Origin::Measured))
                .err(),
            "power limit" => {
                Quantity::<PowerDim>::from_str(value).map(|limit| about.power_limit = Some(limit)).err()
            }
            "case air" => {
                Quantity::<TemperatureDim>::from_str(value).map(|air| about.case_air = Some(air)).err()
            }
            "sensor step" => Quantity::<TemperatureDifferenceDim>::from_str(value)
                .map(|step| about.sensor_step = Some(step))
                .err(),
            "column" => {
                match value.parse() {
                    Ok(column) => mapping.push(column),
                    Err(wrong) => problems.error(span.clone(), key, wrong, None),
                }
                None
            }
            _ => {
                about.other.push((key.to_owned(), value.to_owned()));
                None
            }
        };
        if let Some(wrong) = wrong {
            problems.error(span, key, wrong.to_string(), None);
        }
    }
    (about, mapping, at)
}
