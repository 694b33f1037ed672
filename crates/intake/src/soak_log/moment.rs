//! Times of day in a log's cells, as programs elsewhere write them.

use jiff::{Timestamp, civil::DateTime, tz::TimeZone};

/// A time that is no count of seconds since the log began.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Moment {
    /// With its day: seconds since some day of old. Without an offset the day is taken as it stands, so a change
    /// of summer time inside a log shows as a gap or a step back.
    Dated(f64),
    /// Seconds since midnight, of a day that is not told.
    Clock(f64),
}

/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// `2026-11-26T12:03:05.5+01:00`, the same with a blank or without an offset; else the clock behind whatever
/// stands for the day: `12:03:05.5`, `26.11.2026 12:03`, `11:03:05 PM`.
pub(super) fn read(cell: &str) -> Option<Moment> {
    if let Ok(moment) = cell.parse::<Timestamp>() {
        return Some(Moment::Dated(moment.as_duration().as_secs_f64()));
    }
    if let Ok(moment) = cell.parse::<DateTime>()
        && cell.contains(':')
    {
        let moment = TimeZone::UTC.to_timestamp(moment).ok()?;
        return Some(Moment::Dated(moment.as_duration().as_secs_f64()));
    }
    clock(cell).map(Moment::Clock)
}

fn clock(cell: &str) -> Option<f64> {
    let lower = cell.to_ascii_lowercase();
    let (cell, half) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(cell), _) => (cell.trim_end(), Some(0.0)),
        (_, Some(cell)) => (cell.trim_end(), Some(12.0)),
        _ => (lower.as_str(), None),
    };
    let clock = cell.rsplit([' ', 't']).next()?.trim_end_matches('z');
    let mut parts = clock.split(':').map(|part| part.parse::<f64>().ok());
    let (hours, minutes) = (parts.next()??, parts.next()??);
    let seconds = match parts.next() {
        Some(seconds) => seconds?,
        None => 0.0,
    };
    let hours = match half {
        Some(_) if !(1.0..=12.0).contains(&hours) => return None,
        Some(half) => hours % 12.0 + half,
        None => hours,
    };
    let seconds = hours * 3600.0 + minutes * 60.0 + seconds;
    (parts.next().is_none() && seconds.is_finite() && (0.0..=DAY_S).contains(&seconds)).then_some(seconds)
}

/// Turns the moments of a log, one after another, into seconds since its first row.
#[derive(Debug, Default)]
pub(super) struct Since {
    first: Option<f64>,
    last_clock: f64,
    days: f64,
}

impl Since {
    /// Seconds since the first moment; a clock that falls by more than half a day has passed midnight.
    pub(super) fn first(&mut self, moment: Moment) -> f64 {
        let seconds = match moment {
            Moment::Dated(seconds) => seconds,
            Moment::Clock(seconds) => {
                if self.first.is_some() && self.last_clock - seconds > DAY_S / 2.0 {
                    self.days += 1.0;
                }
                self.last_clock = seconds;
                seconds + self.days * DAY_S
            }
        };
        seconds - *self.first.get_or_insert(seconds)
    }
}

#[cfg(test)]
mod tests {
    use super::{Moment, Since, read};

    fn since(cells: &[&str]) -> Vec<f64> {
        let mut since = Since::default();
        cells.iter().map(|cell| since.first(read(cell).unwrap())).collect()
    }

    #[test]
    fn midnight_and_the_turn_of_a_day_pass() {
        assert_eq!(since(&["23:59:59.5", "0:00:00", "00:00:01"]), [0.0, 0.5, 1.5]);
        assert_eq!(since(&["26.11.2026 23:59", "27.11.2026 00:01"]), [0.0, 120.0]);
        assert_eq!(since(&["2026-12-31 23:59:58", "2027-01-01 00:00:03.25"]), [0.0, 5.25]);
        assert_eq!(since(&["2026-12-31T23:59:58+01:00", "2026-12-31T23:00:00Z"]), [0.0, 2.0]);
    }

    #[test]
    fn halves_of_the_day_are_told_apart() {
        assert_eq!(since(&["11:59:59 AM", "12:00:00 PM", "1:00:00 PM"]), [0.0, 1.0, 3601.0]);
        assert_eq!(read("12:00:01 am"), Some(Moment::Clock(1.0)));
        assert_eq!(read("13:00:00 pm"), None);
    }

    #[test]
    fn words_are_no_moment() {
        for cell in ["noon", "12", "1:2:3:4", "99:00:00", "-1:00:00", "2026-11-26"] {
            assert_eq!(read(cell), None, "{cell}");
        }
    }
}
