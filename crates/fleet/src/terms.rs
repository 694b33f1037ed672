//! What is wanted of a fleet's plan.

use std::collections::BTreeMap;

use quantity::money::Currency;
use upgrade::part::id::PartId;

/// What is made as large as can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Money over the years judged: value of the time saved, less the price of more energy, less what is spent.
    Worth,
    /// Hours a year that nobody waits any more; of equal hours the cheaper.
    Hours,
}

/// Whether a processor that comes out of one machine may go into another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reuse {
    /// It may.
    Welcome,
    /// It may not.
    Never,
}

/// Whether what comes out and is not used again brings money.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resale {
    /// It brings the price that record or library say; nothing where they say none.
    Counted,
    /// It brings nothing.
    Nothing,
}

/// Terms of a plan. What is not said is no limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// Currency of every amount.
    pub currency: Currency,
    /// What is made as large as can be.
    pub goal: Goal,
    /// Years over which a change is judged, for machines whose owner names no payback time.
    pub years: f64,
    /// Whether processors move between machines.
    pub reuse: Reuse,
    /// Whether what is left over is sold.
    pub resale: Resale,
    /// Most that may be spent in all, resale taken off, in minor units.
    pub budget: Option<i64>,
    /// Most minutes at the bench in all.
    pub minutes: Option<i64>,
    /// How many of a part can be had; as many as are wanted where it is not named.
    pub stock: BTreeMap<PartId, u32>,
}
