//! Several `f64` side by side: the few operations that the kernels need, for every width of vector unit.
//!
//! Every function is inlined into a caller that has the processor's feature switched on; only there are the
//! instructions what they should be.

#[cfg(target_arch = "x86_64")]
pub(crate) mod x86;

/// Numbers side by side in one register.
///
/// # Safety
/// The processor must have the instructions of the implementation; whoever calls has asked
/// [`crate::width::Width::is_here`]. Pointers must be good for [`Lanes::COUNT`] numbers; they need no alignment.
pub(crate) trait Lanes: Copy {
    /// How many.
    const COUNT: usize;
    /// Whether [`Lanes::times_plus`] rounds once, after the sum.
    const FUSED: bool;
    /// As many whole numbers of 64 bits.
    type Whole: Copy;

    /// The same number in each lane.
    unsafe fn splat(number: f64) -> Self;
    /// Out of memory.
    unsafe fn load(from: *const f64) -> Self;
    /// Into memory.
    unsafe fn store(self, to: *mut f64);
    /// `self * by + plus`.
    unsafe fn times_plus(self, by: Self, plus: Self) -> Self;
    /// Sum.
    unsafe fn plus(self, other: Self) -> Self;
    /// Difference.
    unsafe fn minus(self, other: Self) -> Self;
    /// Whole numbers out of memory.
    unsafe fn load_whole(from: *const u64) -> Self::Whole;
    /// Whole numbers into memory.
    unsafe fn store_whole(whole: Self::Whole, to: *mut u64);
    /// Adds the bit patterns, as whole numbers, modulo 2^64.
    unsafe fn sum_bits(sum: Self::Whole, value: Self) -> Self::Whole;
}

/// Asks for the line of memory about a place to be brought near, while other work goes on.
#[inline(always)]
pub(crate) fn bring_near(place: *const f64) {
    #[cfg(target_arch = "x86_64")]
    {
        use core::arch::x86_64::{_MM_HINT_T0, _mm_prefetch};
        // SAFETY: a hint; it faults on no address.
        unsafe { _mm_prefetch::<_MM_HINT_T0>(place.cast()) }
    }
    #[cfg(not(target_arch = "x86_64"))]
    let _ = place;
}

/// One number, on any processor.
#[derive(Debug, Clone, Copy)]
pub(crate) struct One(f64);

impl Lanes for One {
    const COUNT: usize = 1;
    const FUSED: bool = false;
    type Whole = u64;

    #[inline(always)]
    unsafe fn splat(number: f64) -> Self {
        Self(number)
    }
    #[inline(always)]
    unsafe fn load(from: *const f64) -> Self {
        // SAFETY: the caller's pointer is good for one number.
        Self(unsafe { from.read() })
    }
    #[inline(always)]
    unsafe fn store(self, to: *mut f64) {
        // SAFETY: the caller's pointer is good for one number.
        unsafe { to.write(self.0) }
    }
    #[inline(always)]
    unsafe fn times_plus(self, by: Self, plus: Self) -> Self {
        Self(self.0 * by.0 + plus.0)
    }
    #[inline(always)]
    unsafe fn plus(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
    #[inline(always)]
    unsafe fn minus(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
    #[inline(always)]
    unsafe fn load_whole(from: *const u64) -> u64 {
        // SAFETY: the caller's pointer is good for one number.
        unsafe { from.read() }
    }
    #[inline(always)]
    unsafe fn store_whole(whole: u64, to: *mut u64) {
        // SAFETY: the caller's pointer is good for one number.
        unsafe { to.write(whole) }
    }
    #[inline(always)]
    unsafe fn sum_bits(sum: u64, value: Self) -> u64 {
        sum.wrapping_add(value.0.to_bits())
    }
}
