//! One step of a job sheet.

use crate::sheet::caution::Caution;
use crate::sheet::fact::Fact;

/// A step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Id, unique on the sheet: ticks and notes hang on it.
    pub id: &'static str,
    /// What to do, in a few words.
    pub title: String,
    /// What to do, in full.
    pub what: String,
    /// Why.
    pub why: String,
    /// How one knows that it is right.
    pub right: String,
    /// What to do if it is not.
    pub otherwise: String,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Minutes for a practised person.
    pub minutes: u32,
    /// Tools.
    pub tools: &'static [&'static str],
    /// What must hold before it.
    pub needs: &'static [Fact],
    /// What must not hold before it.
    pub bars: &'static [Fact],
    /// What holds after it.
    pub gives: &'static [Fact],
    /// What no longer holds after it.
    pub takes: &'static [Fact],
    /// Why one must not go on if this is not right.
    pub stop: Option<&'static str>,
}

/// The words of a step; the rest is set where the step is made.
pub struct Words {
    /// What to do, in a few words.
    pub title: String,
    /// What to do, in full.
    pub what: String,
    /// Why.
    pub why: &'static str,
    /// How one knows that it is right.
    pub right: &'static str,
    /// What to do if it is not.
    pub otherwise: &'static str,
}

impl Step {
    /// A step with its words, without cautions, tools, conditions or effects.
    pub fn new(id: &'static str, minutes: u32, words: Words) -> Self {
        Self {
            id,
            title: words.title,
            what: words.what,
            why: words.why.to_owned(),
            right: words.right.to_owned(),
            otherwise: words.otherwise.to_owned(),
            cautions: Vec::new(),
            minutes,
            tools: &[],
            needs: &[],
            bars: &[],
            gives: &[],
            takes: &[],
            stop: None,
        }
    }
}
