//! The temperature at which a run stops, from what the machine itself reports.

/// Kelvins below the temperature at which the machine says harm begins.
const MARGIN_K: f64 = 5.0;
/// Where the machine says nothing (`common practice, no source`: below the limit of every desktop processor).
pub const ASSUMED: f64 = 85.0;
/// Reported limits outside of this are placeholders of firmware.
const PLAUSIBLE: (f64, f64) = (50.0, 125.0);

/// What a sensor's limit rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The critical temperature that the machine reports.
    Critical,
    /// The highest temperature that the machine reports as normal.
    Highest,
    /// Nothing that it reports: an assumption.
    Assumed,
    /// A person's word.
    Given,
}

impl Basis {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Critical => "5 K below the critical temperature that the machine reports",
            Self::Highest => "the highest temperature that the machine reports as normal",
            Self::Assumed => "assumed, since the machine reports none",
            Self::Given => "as given",
        }
    }
}

/// A limit in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Degrees Celsius.
    pub celsius: f64,
    /// What it rests on.
    pub basis: Basis,
}

/// Why a given limit is not taken.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("a limit of {given} °C is above {most} °C, which is {}: give less", basis.words())]
pub struct TooHigh {
    /// What was given.
    pub given: f64,
    /// The highest that is taken.
    pub most: f64,
    /// What that rests on.
    pub basis: Basis,
}

/// The limit of a sensor whose machine reports these; lower where a person says so.
///
/// # Errors
/// The given one is higher than what the machine reports allows; without such a report it may be up to 95 °C.
pub fn limit(critical: Option<f64>, highest: Option<f64>, given: Option<f64>) -> Result<Limit, TooHigh> {
    let believed = |value: &f64| (PLAUSIBLE.0..=PLAUSIBLE.1).contains(value);
    let own = match (critical.filter(believed), highest.filter(believed)) {
        (Some(critical), _) => Limit { celsius: critical - MARGIN_K, basis: Basis::Critical },
        (None, Some(highest)) => Limit { celsius: highest, basis: Basis::Highest },
        (None, None) => Limit { celsius: ASSUMED, basis: Basis::Assumed },
    };
    let most = if own.basis == Basis::Assumed { ASSUMED + 10.0 } else { own.celsius };
    match given {
        Some(given) if given > most => Err(TooHigh { given, most, basis: own.basis }),
        Some(given) => Ok(Limit { celsius: given, basis: Basis::Given }),
        None => Ok(own),
    }
}

#[cfg(test)]
mod tests {
    use super::{Basis, limit};

    #[test]
    fn the_machines_own_report_decides() {
        let own = limit(Some(100.0), Some(80.0), None).unwrap();
        assert_eq!((own.celsius, own.basis), (95.0, Basis::Critical));
        assert_eq!(limit(None, Some(80.0), None).unwrap().celsius, 80.0);
        assert_eq!(limit(Some(65_261.8), Some(0.0), None).unwrap().basis, Basis::Assumed);
    }

    #[test]
    fn a_person_may_lower_it_and_not_raise_it_past_what_is_reported() {
        assert_eq!(limit(Some(100.0), None, Some(70.0)).unwrap().basis, Basis::Given);
        assert!(limit(Some(100.0), None, Some(98.0)).is_err());
        assert!(limit(None, None, Some(96.0)).is_err());
    }
}
