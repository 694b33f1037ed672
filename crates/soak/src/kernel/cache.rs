//! Inside the core's own cache: following addresses, each found only in the one before, and changing values in place.
//!
//! The addresses form one ring through all places; where a walk along it ends is known by a jump. The values step
//! along a sequence whose sum is known by a jump too.

use crate::kernel::progression::Affine;
use crate::kernel::{Done, Kernel, Wrong};

/// Steps along the ring in a block.
const STEPS: u64 = 20_000;
/// Walks at once.
const WALKS: usize = 4;
/// Smallest and largest ring.
const LEAST: usize = 1 << 10;
const MOST: usize = 1 << 18;

/// The load.
#[derive(Debug)]
pub struct Cache {
    ring: Vec<u64>,
    at: [u64; WALKS],
    must: [u64; WALKS],
    jump: Affine,
    values: Vec<u64>,
    sum: u64,
}

impl Cache {
    /// The load in three quarters of a cache of so many bytes.
    pub fn new(cache_bytes: usize, seed: u64) -> Self {
        // Half for the ring, whose length is a power of two; a quarter for the values.
        let places = (cache_bytes / 16).clamp(LEAST, MOST);
        let places = 1_usize << places.ilog2();
        let mask = places as u64 - 1;
        // Modulo a power of two a factor one more than a multiple of four and an odd step visit every place.
        let ring = (0..places as u64).map(|place| Affine::WALK.next(place) & mask).collect();
        let values: Vec<u64> = (0..places as u64 / 2).map(|place| Affine::WALK.next(place ^ seed)).collect();
        let at = core::array::from_fn(|walk| seed.wrapping_add(walk as u64 * (mask / 3)) & mask);
        let sum = values.iter().fold(0, |sum: u64, value| sum.wrapping_add(*value));
        Self { ring, at, must: at, jump: Affine::WALK.power(STEPS), values, sum }
    }
}

impl Kernel for Cache {
    fn block(&mut self) -> Done {
        let mask = self.ring.len() - 1;
        for _ in 0..STEPS {
            // The mask keeps a wrong address inside; its length is a power of two.
            self.at = self.at.map(|place| self.ring[place as usize & mask]);
        }
        self.must = self.must.map(|place| self.jump.next(place) & mask as u64);
        let mut sum = 0_u64;
        for value in &mut self.values {
            *value = Affine::WALK.next(*value);
            sum = sum.wrapping_add(*value);
        }
        // A sum of such steps is the step of the sum, with as many additions as there are values.
        let count = self.values.len() as u64;
        self.sum =
            self.sum.wrapping_mul(Affine::WALK.factor).wrapping_add(Affine::WALK.step.wrapping_mul(count));
        let wrong = if let Some(walk) = (0..WALKS).find(|walk| self.at[*walk] != self.must[*walk]) {
            Some(Wrong {
                what: format!(
                    "after {STEPS} addresses walk {walk} is at {} where a jump lands on {}",
                    self.at[walk], self.must[walk]
                ),
            })
        } else if sum != self.sum {
            Some(Wrong {
                what: format!("{count} values in the cache add up to {sum:#x}, not to {:#x}", self.sum),
            })
        } else {
            None
        };
        Done { work: (STEPS * WALKS as u64 + 2 * count) as f64, wrong }
    }

    fn disturb(&mut self, bit: u32) {
        let middle = self.values.len() / 2;
        self.values[middle] ^= 1 << (bit % 64);
    }
}
