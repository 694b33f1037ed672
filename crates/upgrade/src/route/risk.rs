//! Risk points: how much of a route hangs on conditions and unknowns.

use crate::fit::finding::Verdict;

/// Points of one finding: what must be done or accepted counts one, what cannot be told three.
///
/// # Source
/// common practice, no source: an order, not a probability.
pub const fn points(verdict: Verdict) -> u32 {
    match verdict {
        Verdict::Fits => 0,
        Verdict::OnCondition => 1,
        Verdict::CannotTell => 3,
        Verdict::DoesNotFit => 100,
    }
}
