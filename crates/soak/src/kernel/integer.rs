//! Whole numbers: multiplications and shifts in chains that are jumped ahead in to know their end.

use crate::kernel::progression::{Affine, BitMap};
use crate::kernel::{Done, Kernel, Wrong};

/// Steps of a block.
const STEPS: u64 = 100_000;
/// Chains of each kind.
const CHAINS: usize = 4;
/// Operations of a step of one chain: a product and a sum, or three shifts and three combinations.
const OPERATIONS: u64 = 2 + 6;

/// Three shifts, each combined with what it came from: linear over bits, so that it can be jumped ahead in.
///
/// # Source
/// G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8 (14), 2003: (13, 7, 17) has full period.
#[inline]
pub const fn scramble(x: u64) -> u64 {
    let x = x ^ x << 13;
    let x = x ^ x >> 7;
    x ^ x << 17
}

/// The load.
#[derive(Debug)]
pub struct Integer {
    walked: [u64; CHAINS],
    scrambled: [u64; CHAINS],
    walk: Affine,
    jump: BitMap,
    /// Where the chains must be; follows by jumps alone.
    walked_to: [u64; CHAINS],
    scrambled_to: [u64; CHAINS],
}

impl Integer {
    /// The load.
    pub fn new(seed: u64) -> Self {
        let walked = core::array::from_fn(|chain| Affine::WALK.next(seed ^ chain as u64));
        let scrambled = walked.map(|x| Affine::WALK.next(x) | 1);
        Self {
            walked,
            scrambled,
            walk: Affine::WALK.power(STEPS),
            jump: BitMap::of(scramble).power(STEPS),
            walked_to: walked,
            scrambled_to: scrambled,
        }
    }

    fn wrong(&self) -> Option<Wrong> {
        let found = self.walked.iter().chain(&self.scrambled);
        let must = self.walked_to.iter().chain(&self.scrambled_to);
        let (chain, (found, must)) = found.zip(must).enumerate().find(|(_, (found, must))| found != must)?;
        Some(Wrong {
            what: format!(
                "after {STEPS} steps chain {chain} holds {found:#x} where a jump lands on {must:#x}"
            ),
        })
    }
}

impl Kernel for Integer {
    fn block(&mut self) -> Done {
        for _ in 0..STEPS {
            self.walked = self.walked.map(|x| Affine::WALK.next(x));
            self.scrambled = self.scrambled.map(scramble);
        }
        self.walked_to = self.walked_to.map(|x| self.walk.next(x));
        self.scrambled_to = self.scrambled_to.map(|x| self.jump.apply(x));
        Done { work: (STEPS * OPERATIONS * CHAINS as u64) as f64, wrong: self.wrong() }
    }

    fn disturb(&mut self, bit: u32) {
        let place = if bit & 64 == 0 { &mut self.walked[1] } else { &mut self.scrambled[1] };
        *place ^= 1 << (bit % 64);
    }
}
