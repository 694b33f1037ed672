//! What a part costs and what it brings when it is sold.

use quantity::money::Money;

/// Prices of one part. A price that is absent is unknown, not zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Offers {
    /// Price new.
    pub new: Option<Money>,
    /// Price second-hand, where it is offered so.
    pub second_hand: Option<Money>,
    /// What it brings when sold used.
    pub resale: Option<Money>,
    /// Day the prices were taken, as `2026-11-20`.
    pub priced_on: Option<String>,
}
