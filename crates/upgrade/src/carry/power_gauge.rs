//! A limit of the power path, what it is held against, and how much of it is used.

use quantity::dimension::Dimension;
use quantity::interval::Interval;
use quantity::measure::Quantity;

/// One limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// What is limited.
    pub what: String,
    /// What it comes to, at the good end and at the bad end of what is unknown, with unit.
    pub value: String,
    /// The limit, with unit.
    pub limit: String,
    /// What is left of it, with unit and sign.
    pub margin: String,
    /// Share of the limit that is used, at the good end and at the bad one; infinite where the heat runs
    /// away. Temperatures count from the air.
    pub used: (f64, f64),
    /// What takes it there and where the limit comes from.
    pub note: &'static str,
    /// Whether only bursts take it there.
    pub burst: bool,
}

/// Both ends of something unknown: the good one and the bad one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// The good end.
    pub good: f64,
    /// The bad end.
    pub bad: f64,
}

impl Ends {
    /// The interval that they bound.
    pub fn interval<D: Dimension>(self) -> Interval<D> {
        Interval::between(Quantity::from_si(self.good), Quantity::from_si(self.bad))
    }
}

impl Gauge {
    /// A value that must stay below its limit; SI ends of both, the good end being the lower value and the
    /// higher limit. `zero` is what shares count from, at both ends.
    pub fn below<D: Dimension, M: Dimension>(
        what: impl Into<String>,
        value: Ends,
        limit: Ends,
        zero: Ends,
        note: &'static str,
    ) -> Self {
        let left = Ends { good: limit.good - value.good, bad: limit.bad - value.bad };
        let used = |value: f64, limit: f64, zero: f64| (value - zero) / (limit - zero);
        if !value.bad.is_finite() {
            let at_best = Ends { good: value.good, bad: value.good }.interval::<D>().rounded(3);
            return Self {
                what: what.into(),
                value: format!("{at_best} at best; at worst the heat runs away"),
                limit: limit.interval::<D>().rounded(3),
                margin: "none at worst".to_owned(),
                used: (used(value.good, limit.good, zero.good), f64::INFINITY),
                note,
                burst: false,
            };
        }
        let margin = left.interval::<M>();
        let sign = if margin.low().si() > 0.0 { "+" } else { "" };
        Self {
            what: what.into(),
            value: value.interval::<D>().rounded(3),
            limit: limit.interval::<D>().rounded(3),
            margin: format!("{sign}{}", margin.rounded(2)),
            used: (used(value.good, limit.good, zero.good), used(value.bad, limit.bad, zero.bad)),
            note,
            burst: false,
        }
    }

    /// The same, reached by bursts alone.
    #[must_use]
    pub fn in_bursts(mut self) -> Self {
        self.burst = true;
        self
    }

    /// Whether it is kept even at the bad end, only at the good one, or at neither.
    pub fn kept(&self) -> Kept {
        if self.used.1 <= 1.0 {
            Kept::Surely
        } else if self.used.0 <= 1.0 {
            Kept::Perhaps
        } else {
            Kept::Not
        }
    }
}

/// Whether a limit is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// Even at the bad end.
    Surely,
    /// Only at the good end.
    Perhaps,
    /// At neither.
    Not,
}

impl Kept {
    /// The word used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Surely => "kept",
            Self::Perhaps => "perhaps",
            Self::Not => "passed",
        }
    }
}
