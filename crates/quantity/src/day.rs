//! Days of the calendar, as prices carry them.

use core::fmt;
use core::str::FromStr;

/// A day of the Gregorian calendar.
///
/// # Example
/// ```
/// use quantity::day::Day;
/// let taken: Day = "2026-11-02".parse()?;
/// let today: Day = "2026-11-20".parse()?;
/// assert_eq!(today.days_since(taken), 18);
/// assert!("2026-02-30".parse::<Day>().is_err());
/// # Ok::<(), quantity::day::NoDay>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

/// Why a text is no day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{text}\" is no day: write it as \"2026-11-20\"")]
pub struct NoDay {
    /// The text, shortened.
    pub text: String,
}

const fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

const fn days_of(year: u16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if is_leap(year) => 29,
        2 => 28,
        _ => 31,
    }
}

impl Day {
    /// The day of this year, month and day, where there is one from 1970 to 9999.
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let good = year >= 1970
            && year <= 9999
            && month >= 1
            && month <= 12
            && day >= 1
            && day <= days_of(year, month);
        if good { Some(Self { year, month, day }) } else { None }
    }

    /// Year, month and day, each from one.
    pub const fn parts(self) -> (u16, u8, u8) {
        (self.year, self.month, self.day)
    }

    /// Days from 1 January 1970 on.
    fn number(self) -> i64 {
        let before = i64::from(self.year - 1970) * 365
            + (1970..self.year).filter(|year| is_leap(*year)).count() as i64;
        let months: i64 = (1..self.month).map(|month| i64::from(days_of(self.year, month))).sum();
        before + months + i64::from(self.day) - 1
    }

    /// Whole days from another day to this one; below zero where the other is later.
    pub fn days_since(self, other: Self) -> i64 {
        self.number() - other.number()
    }
}

impl FromStr for Day {
    type Err = NoDay;

    /// As ISO 8601-1:2019, 5.2.2.1 has it in the extended format.
    fn from_str(text: &str) -> Result<Self, NoDay> {
        let fail = || NoDay { text: text.chars().take(40).collect() };
        let parts: Vec<&str> = text.trim().split('-').collect();
        let number = |part: &str, digits: usize| {
            (part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit()))
                .then(|| part.parse::<u16>().ok())
                .flatten()
        };
        let [year, month, day] = parts[..] else { return Err(fail()) };
        let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2)) else {
            return Err(fail());
        };
        let (Ok(month), Ok(day)) = (u8::try_from(month), u8::try_from(day)) else { return Err(fail()) };
        Self::new(year, month, day).ok_or_else(fail)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Day;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    #[test]
    fn days_between_are_those_of_the_calendar() {
        // Independent: `date -u -d 2026-11-26 +%s` of GNU coreutils 9 is 1795651200, and 86400 seconds are a day.
        assert_eq!(day("2026-11-26").days_since(day("1970-01-01")), 1_795_651_200 / 86_400);
        // The same for 2000-03-01, after a leap day of a year that is a multiple of 400: 951868800.
        assert_eq!(day("2000-03-01").days_since(day("1970-01-01")), 951_868_800 / 86_400);
        assert_eq!(day("2024-02-28").days_since(day("2024-03-01")), -2);
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in
            ["", "2026-11", "2026-13-01", "2025-02-29", "26-11-02", "2026-11-2", "2026-11-02x", "٢٠٢٦-11-02"]
        {
            assert!(text.parse::<Day>().is_err(), "{text}");
        }
    }
}
