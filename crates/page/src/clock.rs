//! The one place that reads the clock, and how moments are written.

use jiff::{Timestamp, tz::TimeZone};
use quantity::day::Day;
use store::open::At;

/// Now.
pub fn now() -> At {
    At(Timestamp::now().as_millisecond())
}

/// Today, in the time zone of this computer; none where its clock stands before 1970.
pub fn today() -> Option<Day> {
    day_of(now())
}

/// The day of a moment, in the time zone of this computer.
pub fn day_of(at: At) -> Option<Day> {
    let moment = Timestamp::from_millisecond(at.0).ok()?;
    moment.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d").to_string().parse().ok()
}

/// A moment as it is written on a page, in the time zone of this computer.
pub fn words(at: At) -> String {
    match Timestamp::from_millisecond(at.0) {
        Ok(moment) => moment.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string(),
        Err(_) => "at an unknown time".to_owned(),
    }
}

/// A moment as files carry it (RFC 3339), in the time zone of this computer.
pub fn for_files(at: At) -> String {
    match Timestamp::from_millisecond(at.0) {
        Ok(moment) => {
            moment.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
        }
        Err(_) => String::new(),
    }
}
