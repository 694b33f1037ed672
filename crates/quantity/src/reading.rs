//! A value with its origin, or the plain statement that it is unknown.

use crate::interval::Interval;

/// Where a value comes from. Earlier means more trusted when two readings of one thing disagree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// Set or corrected by a person at the bench.
    Hand,
    /// Measured on this machine.
    Measured,
    /// Reported by firmware or by the part itself.
    Firmware,
    /// From a maker's sheet or the parts library.
    Sheet,
    /// Worked out from other readings, or from the class the part belongs to.
    Estimated,
}

impl Origin {
    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hand => "set by hand",
            Self::Measured => "measured",
            Self::Firmware => "reported by firmware",
            Self::Sheet => "maker's sheet",
            Self::Estimated => "estimated",
        }
    }
}

/// A value and where it comes from, or unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reading<T> {
    /// Known, from this origin.
    Known(T, Origin),
    /// Not known. It never stands for zero.
    #[default]
    Unknown,
}

/// A physical reading: an interval of a dimension, or unknown.
pub type Figure<D> = Reading<Interval<D>>;

impl<T> Reading<T> {
    /// The value, where there is one.
    pub fn known(&self) -> Option<&T> {
        match self {
            Self::Known(value, _) => Some(value),
            Self::Unknown => None,
        }
    }

    /// Where it comes from, where it is known.
    pub fn origin(&self) -> Option<Origin> {
        match self {
            Self::Known(_, origin) => Some(*origin),
            Self::Unknown => None,
        }
    }

    /// Whether nothing is known.
    pub const fn is_unknown(&self) -> bool {
        matches!(self, Self::Unknown)
    }

    /// A reading from an optional value.
    pub fn from_option(value: Option<T>, origin: Origin) -> Self {
        value.map_or(Self::Unknown, |value| Self::Known(value, origin))
    }

    /// The same reading of something computed from the value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Reading<U> {
        match self {
            Self::Known(value, origin) => Reading::Known(f(value), origin),
            Self::Unknown => Reading::Unknown,
        }
    }

    /// This reading, or the other where this one is unknown.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        if self.is_unknown() { other } else { self }
    }

    /// A reading that needs both; its origin is the less trusted of the two.
    pub fn with<U, V>(self, other: Reading<U>, f: impl FnOnce(T, U) -> V) -> Reading<V> {
        match (self, other) {
            (Self::Known(one, a), Reading::Known(two, b)) => Reading::Known(f(one, two), a.max(b)),
            _ => Reading::Unknown,
        }
    }
}

impl<T: Copy> Reading<T> {
    /// The value by copy, where there is one.
    pub fn get(&self) -> Option<T> {
        self.known().copied()
    }
}

#[cfg(test)]
mod tests {
    use crate::reading::{Origin, Reading};

    #[test]
    fn what_needs_an_unknown_is_unknown() {
        let known = Reading::Known(2.0, Origin::Sheet);
        assert_eq!(known.with(Reading::<f64>::Unknown, |a, b| a + b), Reading::Unknown);
    }

    #[test]
    fn a_result_is_trusted_no_more_than_its_weakest_reading() {
        let sum =
            Reading::Known(2, Origin::Measured).with(Reading::Known(3, Origin::Estimated), |a, b| a + b);
        assert_eq!(sum, Reading::Known(5, Origin::Estimated));
    }
}
