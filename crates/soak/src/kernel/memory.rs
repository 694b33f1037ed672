//! Streams through memory: what is read is compared with a formula of its place, changed and written elsewhere.

use crate::kernel::{Done, Kernel, Wrong};

/// Numbers of a block: one mebibyte is read and one written.
const BLOCK: usize = 1 << 17;
/// Least and most memory, in bytes.
const LEAST: usize = 4 << 20;
const MOST: usize = 256 << 20;
/// What a place adds to its value, and what a pass does. Odd, with bits everywhere.
const BY_PLACE: u64 = 0x9E37_79B9_7F4A_7C15;
const BY_PASS: u64 = 0xC2B2_AE3D_27D4_EB4F;

/// The load.
#[derive(Debug)]
pub struct Memory {
    from: Vec<u64>,
    to: Vec<u64>,
    at: usize,
    pass: u64,
}

/// What a place holds before a pass.
const fn formula(place: usize, pass: u64) -> u64 {
    (place as u64).wrapping_mul(BY_PLACE).wrapping_add(pass.wrapping_mul(BY_PASS))
}

impl Memory {
    /// The load in so many bytes.
    pub fn new(bytes: usize, seed: u64) -> Self {
        let count = (bytes.clamp(LEAST, MOST) / 16 / BLOCK).max(2) * BLOCK;
        let from = (0..count).map(|place| formula(place, seed)).collect();
        Self { from, to: vec![0; count], at: 0, pass: seed }
    }
}

impl Kernel for Memory {
    fn block(&mut self) -> Done {
        let range = self.at..self.at + BLOCK;
        let (Some(from), Some(to)) = (self.from.get(range.clone()), self.to.get_mut(range)) else {
            return Done { work: 0.0, wrong: None };
        };
        let mut must = formula(self.at, self.pass);
        let mut differ = 0;
        for (from, to) in from.iter().zip(to) {
            differ |= *from ^ must;
            must = must.wrapping_add(BY_PLACE);
            *to = from.wrapping_add(BY_PASS);
        }
        let wrong = (differ != 0).then(|| {
            let place = (0..BLOCK).find(|place| from[*place] != formula(self.at + place, self.pass));
            let place = self.at + place.unwrap_or(0);
            let (found, must) = (self.from.get(place).copied().unwrap_or(0), formula(place, self.pass));
            Wrong {
                what: format!(
                    "place {place} of {} in memory holds {found:#x}, written was {must:#x}: bits {:#x} differ",
                    self.from.len(),
                    found ^ must
                ),
            }
        });
        self.at += BLOCK;
        if self.at >= self.from.len() {
            core::mem::swap(&mut self.from, &mut self.to);
            self.at = 0;
            self.pass = self.pass.wrapping_add(1);
        }
        Done { work: (16 * BLOCK) as f64, wrong }
    }

    fn disturb(&mut self, bit: u32) {
        // The place that is read next, whichever pass it is.
        if let Some(value) = self.from.get_mut(self.at) {
            *value ^= 1 << (bit % 64);
        }
    }
}
