//! The exact front over very large tables of parts, in whole numbers.
//!
//! Tables of thousands of processors and boards, as price lists have them, with the few figures that
//! decide: sets as bit masks, power in tenths of a watt, money in cents. The answer is the set of
//! distinct vectors (cost, speed, wall power) that no other beats, with one witness each.

pub mod fits;
pub mod skyline;
pub mod solve;
pub mod table;
