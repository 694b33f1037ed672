//! How a column of a file, written by whatever program, becomes a column here.

use jiff::civil::Date;
use jiff::{Span, Timestamp};
use parquet::basic::{ConvertedType, LogicalType, TimeUnit, Type as Physical};
use parquet::schema::types::ColumnDescriptor;

use crate::table::Kind;

/// What the stored values mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Meaning {
    YesNo,
    /// Whole numbers with a sign.
    Whole,
    /// Whole numbers without one.
    Unsigned,
    Numbers,
    /// Whole numbers over a power of ten.
    Decimal(f64),
    Words,
    /// Days since 1970-01-01, told as `2026-11-26`.
    Day,
    /// Parts of a second since 1970-01-01 in universal time: how many make a second.
    Instant(i64),
    /// The same in a time zone that the file does not say.
    WallTime(i64),
}

impl Meaning {
    pub(crate) const fn kind(self) -> Kind {
        match self {
            Self::YesNo => Kind::YesNo,
            Self::Whole | Self::Unsigned => Kind::Whole,
            Self::Numbers | Self::Decimal(_) => Kind::Numbers,
            Self::Words | Self::Day | Self::Instant(_) | Self::WallTime(_) => Kind::Words,
        }
    }
}

/// What a column means, or why it cannot be read.
pub(crate) fn meaning(column: &ColumnDescriptor) -> Result<Meaning, String> {
    if column.max_rep_level() > 0 || column.path().parts().len() != 1 || column.max_def_level() > 1 {
        return Err("it is nested in another column; a table has one value in a cell".to_owned());
    }
    let logical = column.logical_type_ref();
    let converted = column.converted_type();
    let other = |what: &str| Err(format!("{what} cannot be read; write numbers, text, or a date"));
    if let Some(LogicalType::Decimal(kind)) = logical {
        return decimal(kind.scale);
    }
    if converted == ConvertedType::DECIMAL {
        return decimal(column.type_scale());
    }
    Ok(match column.physical_type() {
        Physical::BOOLEAN => Meaning::YesNo,
        Physical::FLOAT | Physical::DOUBLE => Meaning::Numbers,
        Physical::INT32 | Physical::INT64 => match (logical, converted) {
            (Some(LogicalType::Integer(kind)), _) if kind.is_signed => Meaning::Whole,
            (Some(LogicalType::Integer(_)), _)
            | (
                _,
                ConvertedType::UINT_8
                | ConvertedType::UINT_16
                | ConvertedType::UINT_32
                | ConvertedType::UINT_64,
            ) => Meaning::Unsigned,
            (Some(LogicalType::Date), _) | (_, ConvertedType::DATE) => Meaning::Day,
            (Some(LogicalType::Timestamp(kind)), _) => {
                let parts = match kind.unit {
                    TimeUnit::MILLIS => 1_000,
                    TimeUnit::MICROS => 1_000_000,
                    TimeUnit::NANOS => 1_000_000_000,
                };
                if kind.is_adjusted_to_u_t_c { Meaning::Instant(parts) } else { Meaning::WallTime(parts) }
            }
            (_, ConvertedType::TIMESTAMP_MILLIS) => Meaning::Instant(1_000),
            (_, ConvertedType::TIMESTAMP_MICROS) => Meaning::Instant(1_000_000),
            (Some(LogicalType::Time(_)), _)
            | (_, ConvertedType::TIME_MILLIS | ConvertedType::TIME_MICROS) => {
                return other("times of day");
            }
            _ => Meaning::Whole,
        },
        Physical::BYTE_ARRAY => match (logical, converted) {
            (Some(LogicalType::Bson), _) | (_, ConvertedType::BSON) => return other("binary documents"),
            _ => Meaning::Words,
        },
        Physical::INT96 => return other("times of an old kind (96 bits)"),
        Physical::FIXED_LEN_BYTE_ARRAY => return other("binary values of fixed length"),
    })
}

fn decimal(scale: i32) -> Result<Meaning, String> {
    if (0..=38).contains(&scale) {
        Ok(Meaning::Decimal(10_f64.powi(scale)))
    } else {
        Err(format!("decimals with {scale} places cannot be read"))
    }
}

/// A big-endian whole number in two's complement, as decimals of any length are stored.
pub(crate) fn big_endian(bytes: &[u8]) -> Option<f64> {
    if bytes.is_empty() || bytes.len() > 16 {
        return None;
    }
    let negative = bytes.first().is_some_and(|byte| byte & 0x80 != 0);
    let start: i128 = if negative { -1 } else { 0 };
    let whole = bytes.iter().fold(start, |sum, byte| (sum << 8) | i128::from(*byte));
    #[expect(
        clippy::cast_precision_loss,
        reason = "a decimal of more than 15 digits is rounded to the nearest f64"
    )]
    Some(whole as f64)
}

/// A day as `2026-11-26`; none outside the years -9999 to 9999.
pub(crate) fn day(days: i64) -> Option<String> {
    Date::new(1970, 1, 1)
        .ok()?
        .checked_add(Span::new().try_days(days).ok()?)
        .ok()
        .map(|date| date.to_string())
}

/// An instant as RFC 3339 in universal time, or a wall time without a zone; none outside the years -9999 to 9999.
pub(crate) fn instant(value: i64, parts_per_s: i64, zone_known: Zone) -> Option<String> {
    let nanoseconds = i32::try_from(value.rem_euclid(parts_per_s) * (1_000_000_000 / parts_per_s)).ok()?;
    let stamp = Timestamp::new(value.div_euclid(parts_per_s), nanoseconds).ok()?;
    let text = stamp.to_string();
    Some(match zone_known {
        Zone::Universal => text,
        Zone::NotSaid => text.trim_end_matches('Z').to_owned(),
    })
}

/// Whether a file says what zone its times are in.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Zone {
    Universal,
    NotSaid,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_instants_are_told_in_words() {
        // Source: POSIX.1-2017, 4.16 "Seconds since the epoch": 1970-01-01 is day 0; 2000-03-01 is day 11,017
        // (30 years of 365 days, 7 leap days before 2000, and 60 days of a leap year).
        assert_eq!(day(0).as_deref(), Some("1970-01-01"));
        assert_eq!(day(30 * 365 + 7 + 60).as_deref(), Some("2000-03-01"));
        assert_eq!(day(i64::MAX), None);
        // Source: 1,000,000,000 s of Unix time is 2001-09-09T01:46:40Z (`date -u -d @1000000000`, GNU coreutils).
        let text = instant(1_000_000_000_500, 1_000, Zone::Universal);
        assert_eq!(text.as_deref(), Some("2001-09-09T01:46:40.5Z"));
        assert_eq!(instant(-1, 1_000_000, Zone::NotSaid).as_deref(), Some("1969-12-31T23:59:59.999999"));
        assert_eq!(instant(i64::MIN, 1_000, Zone::Universal), None);
    }

    #[test]
    fn big_endian_numbers_keep_their_sign() {
        assert_eq!(big_endian(&[0xff, 0xfe]), Some(-2.0));
        assert_eq!(big_endian(&[0x01, 0x00]), Some(256.0));
        assert_eq!(big_endian(&[]), None);
        assert_eq!(big_endian(&[0; 17]), None);
    }
}
