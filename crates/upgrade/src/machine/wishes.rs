//! What the owner wants and does not want.

use quantity::dimension::{CapacityDim, DurationDim, PowerDim, RatioDim};
use quantity::money::Money;
use quantity::reading::Figure;

/// Budget and wishes. What is not said is not a limit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// Most that may be spent, resale taken off.
    pub budget: Option<Money>,
    /// What an hour saved is worth to the owner.
    pub hour_value: Option<Money>,
    /// Whether the board must stay.
    pub board: BoardWish,
    /// Whether second-hand parts are welcome.
    pub second_hand: SecondHandWish,
    /// Whether quiet counts before speed.
    pub noise: NoiseWish,
    /// Most power from the wall.
    pub wall_power: Figure<PowerDim>,
    /// Least memory that must be in it.
    pub memory: Figure<CapacityDim>,
    /// Least gain for which a change is worth the trouble.
    pub least_gain: Figure<RatioDim>,
    /// Longest time in which it must have paid for itself.
    pub payback: Figure<DurationDim>,
}

/// Whether the board must stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BoardWish {
    /// It may be changed.
    #[default]
    MayChange,
    /// It must stay.
    Keep,
}

/// Whether second-hand parts are welcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SecondHandWish {
    /// They are.
    #[default]
    Welcome,
    /// Only new parts.
    Never,
}

/// Whether quiet counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NoiseWish {
    /// It does not matter.
    #[default]
    Indifferent,
    /// Of two routes alike, the quieter one.
    Quiet,
}
