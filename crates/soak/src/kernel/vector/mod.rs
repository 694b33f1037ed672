//! Multiply and add in registers: as many independent chains as keep every vector unit busy.
//!
//! Each chain goes `x -> m x + c` with `m` a little below -1: numbers swing about 1.5 with all their bits and stay
//! between 1 and 2, where the last bit of a number is always worth the same. Two values that differ therefore
//! differ by more after each step, and no deviation rounds away. After each round, some microseconds, every
//! lane of every chain is compared bit by bit with what integer arithmetic found for it beforehand.

mod exact;

use core::hint::black_box;

use crate::kernel::progression::Affine;
use crate::kernel::{Done, Kernel, Wrong};
#[cfg(target_arch = "x86_64")]
use crate::lanes::x86::{Eight, Four, Two};
use crate::lanes::{Lanes, One};
use crate::width::Width;

/// Steps of a round: (1 + 2^-12)^4000 = 2.66, so that what starts within 0.165 of the centre stays within 0.44.
const STEPS: usize = 4000;
/// Rounds of a block.
const ROUNDS: usize = 32;
/// Chains at once: a step takes 4 cycles or more and two begin in each, and the registers hold so many.
const CHAINS_WIDE: usize = 24;
const CHAINS: usize = 12;
/// `m`: -(1 + 2^-12) with low bits set, so that every product is long.
const FACTOR: f64 = -1.000_244_140_625_171_3;
/// Where the chains swing about, and `c`, which makes them do so.
const CENTRE: f64 = 1.5;
const PLUS: f64 = CENTRE * (1.0 - FACTOR);

/// The load.
#[derive(Debug)]
pub struct Vector {
    width: Width,
    start: Vec<f64>,
    end: Vec<f64>,
    found: Vec<f64>,
}

impl Vector {
    /// The load at a width; where this processor does not have it, at the widest that it has.
    pub fn new(width: Width, seed: u64) -> Self {
        let width = if width.is_here() { width } else { Width::widest() };
        let (lanes, chains, fused) = match width {
            Width::Portable => (One::COUNT, CHAINS, One::FUSED),
            #[cfg(target_arch = "x86_64")]
            Width::Two => (Two::COUNT, CHAINS, Two::FUSED),
            #[cfg(target_arch = "x86_64")]
            Width::Four => (Four::COUNT, CHAINS, Four::FUSED),
            #[cfg(target_arch = "x86_64")]
            Width::Eight => (Eight::COUNT, CHAINS_WIDE, Eight::FUSED),
            #[cfg(not(target_arch = "x86_64"))]
            _ => (One::COUNT, CHAINS, One::FUSED),
        };
        let mut x = seed;
        let start: Vec<f64> = (0..lanes * chains)
            .map(|_| {
                x = Affine::WALK.next(x);
                // 53 random bits: 0.05 to 0.165 away from the centre, on either side.
                let share = (x >> 11) as f64 / (1_u64 << 53) as f64;
                let away = 0.05 + 0.115 * share;
                if x & 1024 == 0 { CENTRE - away } else { CENTRE + away }
            })
            .collect();
        let end = start
            .iter()
            .map(|x| (0..STEPS).fold(*x, |x, _| exact::times_plus(x, FACTOR, PLUS, fused)))
            .collect();
        let found = vec![0.0; start.len()];
        Self { width, start, end, found }
    }

    fn round(&mut self) {
        let (start, found) = (black_box(self.start.as_ptr()), self.found.as_mut_ptr());
        match self.width {
            #[cfg(target_arch = "x86_64")]
            // SAFETY: the width is here, as `new` saw, and both hold lanes times chains numbers of this width.
            Width::Eight => unsafe { eight(start, found) },
            #[cfg(target_arch = "x86_64")]
            // SAFETY: as above.
            Width::Four => unsafe { four(start, found) },
            #[cfg(target_arch = "x86_64")]
            // SAFETY: as above.
            Width::Two => unsafe { two(start, found) },
            // SAFETY: needs nothing of the processor; both hold so many numbers.
            _ => unsafe { chains::<One, CHAINS>(start, found) },
        }
    }

    fn compared(&self) -> Option<Wrong> {
        let differ = self
            .found
            .iter()
            .zip(&self.end)
            .fold(0, |differ, (found, end)| differ | (found.to_bits() ^ end.to_bits()));
        if differ == 0 { None } else { self.named() }
    }

    #[cold]
    fn named(&self) -> Option<Wrong> {
        let lane = self.found.iter().zip(&self.end).position(|(a, b)| a.to_bits() != b.to_bits())?;
        let (found, end) = (self.found.get(lane)?, self.end.get(lane)?);
        Some(Wrong {
            what: format!(
                "after {STEPS} multiply-adds lane {lane} holds {found:e} where integer arithmetic says {end:e}"
            ),
        })
    }
}

impl Kernel for Vector {
    fn block(&mut self) -> Done {
        let flops_of_a_round = (2 * STEPS * self.start.len()) as f64;
        for round in 1..=ROUNDS {
            self.round();
            if let Some(wrong) = self.compared() {
                return Done { work: flops_of_a_round * round as f64, wrong: Some(wrong) };
            }
        }
        Done { work: flops_of_a_round * ROUNDS as f64, wrong: None }
    }

    fn disturb(&mut self, bit: u32) {
        let middle = self.start.len() / 2;
        if let Some(x) = self.start.get_mut(middle) {
            *x = f64::from_bits(x.to_bits() ^ 1 << (bit % 52));
        }
    }
}

/// One round of every chain.
///
/// # Safety
/// As [`Lanes`]; both pointers are good for `N` times its count.
#[inline(always)]
unsafe fn chains<L: Lanes, const N: usize>(start: *const f64, found: *mut f64) {
    // SAFETY: the caller's promise; places stay below N times the count.
    unsafe {
        let (factor, plus) = (L::splat(FACTOR), L::splat(PLUS));
        let mut x: [L; N] = core::array::from_fn(|chain| L::load(start.add(chain * L::COUNT)));
        for _ in 0..STEPS {
            for one in &mut x {
                *one = one.times_plus(factor, plus);
            }
        }
        for (chain, one) in x.iter().enumerate() {
            one.store(found.add(chain * L::COUNT));
        }
    }
}

/// # Safety
/// The processor has AVX-512F; as [`chains`] besides.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx512f")]
unsafe fn eight(start: *const f64, found: *mut f64) {
    // SAFETY: the caller's promise.
    unsafe { chains::<Eight, CHAINS_WIDE>(start, found) }
}

/// # Safety
/// The processor has AVX2 and FMA; as [`chains`] besides.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2,fma")]
unsafe fn four(start: *const f64, found: *mut f64) {
    // SAFETY: the caller's promise.
    unsafe { chains::<Four, CHAINS>(start, found) }
}

/// # Safety
/// The processor has SSE2; as [`chains`] besides.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "sse2")]
unsafe fn two(start: *const f64, found: *mut f64) {
    // SAFETY: the caller's promise.
    unsafe { chains::<Two, CHAINS>(start, found) }
}
