//! What a rule says of a machine-to-be.

use quantity::dimension::Dimension;
use quantity::reading::{Figure, Origin};

/// One rule's answer. Better verdicts come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It fits.
    Fits,
    /// It fits if something is done or accepted first.
    OnCondition,
    /// A reading is missing that decides it.
    CannotTell,
    /// It does not fit.
    DoesNotFit,
}

impl Verdict {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fits => "fits",
            Self::OnCondition => "fits on a condition",
            Self::CannotTell => "cannot tell",
            Self::DoesNotFit => "does not fit",
        }
    }

    /// One character that stands for it beside the words; never colour alone.
    pub const fn mark(self) -> char {
        match self {
            Self::Fits => '=',
            Self::OnCondition => '~',
            Self::CannotTell => '?',
            Self::DoesNotFit => 'x',
        }
    }
}

/// A finding: a verdict with everything that led to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which rule, by its id.
    pub rule: &'static str,
    /// Verdict.
    pub verdict: Verdict,
    /// One sentence that says why, with the numbers.
    pub sentence: String,
    /// Readings it rests on.
    pub readings: Vec<UsedReading>,
    /// How much is left, or missing, against the nearest limit.
    pub margin: Option<Margin>,
    /// What would make it fit, or what must be done first.
    pub cure: Option<String>,
    /// The one reading that would settle an unknown.
    pub settle: Option<String>,
}

/// A reading that a finding rests on, as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedReading {
    /// What was read.
    pub what: String,
    /// The value, with unit, or `unknown`.
    pub value: String,
    /// Where it comes from; none for an unknown.
    pub origin: Option<Origin>,
}

impl Finding {
    /// A finding of this rule, without readings, margin, cure or settling reading.
    pub fn new(rule: &'static str, verdict: Verdict, sentence: impl Into<String>) -> Self {
        Self {
            rule,
            verdict,
            sentence: sentence.into(),
            readings: Vec::new(),
            margin: None,
            cure: None,
            settle: None,
        }
    }

    /// Adds a physical reading it rests on.
    #[must_use]
    pub fn reading<D: Dimension>(mut self, what: impl Into<String>, figure: &Figure<D>) -> Self {
        let value = figure.known().map_or_else(|| "unknown".to_owned(), |value| value.rounded(4));
        self.readings.push(UsedReading { what: what.into(), value, origin: figure.origin() });
        self
    }

    /// Adds a reading that is a word or a count.
    #[must_use]
    pub fn word(mut self, what: impl Into<String>, value: impl ToString, origin: Origin) -> Self {
        self.readings.push(UsedReading { what: what.into(), value: value.to_string(), origin: Some(origin) });
        self
    }

    /// Adds a reading that is not known.
    #[must_use]
    pub fn unknown(mut self, what: impl Into<String>) -> Self {
        self.readings.push(UsedReading { what: what.into(), value: "unknown".to_owned(), origin: None });
        self
    }

    /// Sets the margin.
    #[must_use]
    pub fn margin(mut self, margin: Option<Margin>) -> Self {
        self.margin = margin;
        self
    }

    /// Sets the cure.
    #[must_use]
    pub fn cure(mut self, cure: impl Into<String>) -> Self {
        self.cure = Some(cure.into());
        self
    }

    /// Sets the reading that would settle it.
    #[must_use]
    pub fn settle(mut self, settle: impl Into<String>) -> Self {
        self.settle = Some(settle.into());
        self
    }
}

/// A margin: worst case and best case, and the limit it is measured against.
#[derive(Debug, Clone, PartialEq)]
pub struct Margin {
    /// What is left, with unit and sign, as `+12 W` or `-8..+14 W`.
    pub text: String,
    /// Smallest share of the limit that is left, negative where it is exceeded.
    pub worst_share: f64,
    /// Largest share of the limit that is left.
    pub best_share: f64,
}
