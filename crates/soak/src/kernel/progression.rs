//! Sequences that can be jumped ahead in: what a kernel reaches step by step is known by a short cut.

/// `x -> factor * x + step`, modulo 2^64.
///
/// # Source
/// F. B. Brown, Random number generation with arbitrary strides, Trans. Am. Nucl. Soc. 71, 202-203, 1994: the map
/// applied `n` times is again such a map, found by squaring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Affine {
    /// Factor; odd, so that every step can be undone.
    pub factor: u64,
    /// What is added.
    pub step: u64,
}

impl Affine {
    /// The multiplier and increment that every kernel walks with.
    ///
    /// # Source
    /// D. E. Knuth, The Art of Computer Programming, volume 2, third edition, section 3.3.4, table 1, line 26
    /// (from memory): a multiplier that does well in the spectral test.
    pub const WALK: Self = Self { factor: 6_364_136_223_846_793_005, step: 1_442_695_040_888_963_407 };

    /// One step.
    #[inline]
    pub const fn next(self, x: u64) -> u64 {
        x.wrapping_mul(self.factor).wrapping_add(self.step)
    }

    /// This map, then another.
    const fn then(self, after: Self) -> Self {
        Self {
            factor: self.factor.wrapping_mul(after.factor),
            step: self.step.wrapping_mul(after.factor).wrapping_add(after.step),
        }
    }

    /// The map applied `times` over.
    pub const fn power(self, mut times: u64) -> Self {
        let mut whole = Self { factor: 1, step: 0 };
        let mut square = self;
        while times > 0 {
            if times & 1 == 1 {
                whole = whole.then(square);
            }
            square = square.then(square);
            times >>= 1;
        }
        whole
    }

    /// The map that undoes it.
    pub const fn inverse(self) -> Self {
        // Newton's iteration doubles the bits that are right; an odd number is its own inverse in three bits.
        let mut inverse = self.factor;
        let mut round = 0;
        while round < 5 {
            inverse = inverse.wrapping_mul(2_u64.wrapping_sub(self.factor.wrapping_mul(inverse)));
            round += 1;
        }
        Self { factor: inverse, step: self.step.wrapping_mul(inverse).wrapping_neg() }
    }
}

/// A linear map of 64 bits: what each single bit becomes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BitMap([u64; 64]);

impl BitMap {
    /// The map of a function that is linear over bits.
    pub fn of(function: impl Fn(u64) -> u64) -> Self {
        Self(core::array::from_fn(|bit| function(1 << bit)))
    }

    /// The map of one number.
    pub fn apply(&self, x: u64) -> u64 {
        self.0.iter().enumerate().filter(|(bit, _)| x >> bit & 1 == 1).fold(0, |sum, (_, image)| sum ^ image)
    }

    /// The map applied `times` over.
    pub fn power(&self, mut times: u64) -> Self {
        let mut whole = Self::of(|x| x);
        let mut square = self.clone();
        while times > 0 {
            if times & 1 == 1 {
                whole = Self(core::array::from_fn(|bit| square.apply(whole.0[bit])));
            }
            square = Self(core::array::from_fn(|bit| square.apply(square.0[bit])));
            times >>= 1;
        }
        whole
    }
}

#[cfg(test)]
mod tests {
    use super::{Affine, BitMap};
    use crate::kernel::integer::scramble;

    #[test]
    fn a_jump_lands_where_single_steps_do_and_comes_back() {
        let mut x = 7_u64;
        for steps in 0..500_u64 {
            let jump = Affine::WALK.power(steps);
            assert_eq!(jump.next(7), x, "{steps} steps");
            assert_eq!(jump.inverse().next(x), 7, "{steps} steps back");
            x = Affine::WALK.next(x);
        }
    }

    #[test]
    fn bits_jump_too() {
        let map = BitMap::of(scramble);
        let mut x = 0x1234_5678_9ABC_DEF1;
        for steps in 0..200 {
            assert_eq!(map.power(steps).apply(0x1234_5678_9ABC_DEF1), x, "{steps} steps");
            x = scramble(x);
        }
    }
}
