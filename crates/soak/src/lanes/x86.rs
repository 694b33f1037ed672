//! Lanes in the registers of x86-64 processors.

use core::arch::x86_64::{
    __m128d, __m128i, __m256d, __m256i, __m512d, __m512i, _mm_add_epi64, _mm_add_pd, _mm_castpd_si128,
    _mm_loadu_pd, _mm_loadu_si128, _mm_mul_pd, _mm_set1_pd, _mm_storeu_pd, _mm_storeu_si128, _mm_sub_pd,
    _mm256_add_epi64, _mm256_add_pd, _mm256_castpd_si256, _mm256_fmadd_pd, _mm256_loadu_pd,
    _mm256_loadu_si256, _mm256_set1_pd, _mm256_storeu_pd, _mm256_storeu_si256, _mm256_sub_pd,
    _mm512_add_epi64, _mm512_add_pd, _mm512_castpd_si512, _mm512_fmadd_pd, _mm512_loadu_epi64,
    _mm512_loadu_pd, _mm512_set1_pd, _mm512_storeu_epi64, _mm512_storeu_pd, _mm512_sub_pd,
};

use crate::lanes::Lanes;

/// Two numbers (SSE2).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Two(__m128d);

impl Lanes for Two {
    const COUNT: usize = 2;
    const FUSED: bool = false;
    type Whole = __m128i;

    #[inline(always)]
    unsafe fn splat(number: f64) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm_set1_pd(number) })
    }
    #[inline(always)]
    unsafe fn load(from: *const f64) -> Self {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        Self(unsafe { _mm_loadu_pd(from) })
    }
    #[inline(always)]
    unsafe fn store(self, to: *mut f64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm_storeu_pd(to, self.0) }
    }
    #[inline(always)]
    unsafe fn times_plus(self, by: Self, plus: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm_add_pd(_mm_mul_pd(self.0, by.0), plus.0) })
    }
    #[inline(always)]
    unsafe fn plus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm_add_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn minus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm_sub_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn load_whole(from: *const u64) -> __m128i {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm_loadu_si128(from.cast()) }
    }
    #[inline(always)]
    unsafe fn store_whole(whole: __m128i, to: *mut u64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm_storeu_si128(to.cast(), whole) }
    }
    #[inline(always)]
    unsafe fn sum_bits(sum: __m128i, value: Self) -> __m128i {
        // SAFETY: the caller has seen that the processor has the instruction.
        unsafe { _mm_add_epi64(sum, _mm_castpd_si128(value.0)) }
    }
}

/// Four numbers (AVX2 and FMA).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Four(__m256d);

impl Lanes for Four {
    const COUNT: usize = 4;
    const FUSED: bool = true;
    type Whole = __m256i;

    #[inline(always)]
    unsafe fn splat(number: f64) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm256_set1_pd(number) })
    }
    #[inline(always)]
    unsafe fn load(from: *const f64) -> Self {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        Self(unsafe { _mm256_loadu_pd(from) })
    }
    #[inline(always)]
    unsafe fn store(self, to: *mut f64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm256_storeu_pd(to, self.0) }
    }
    #[inline(always)]
    unsafe fn times_plus(self, by: Self, plus: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm256_fmadd_pd(self.0, by.0, plus.0) })
    }
    #[inline(always)]
    unsafe fn plus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm256_add_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn minus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm256_sub_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn load_whole(from: *const u64) -> __m256i {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm256_loadu_si256(from.cast()) }
    }
    #[inline(always)]
    unsafe fn store_whole(whole: __m256i, to: *mut u64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm256_storeu_si256(to.cast(), whole) }
    }
    #[inline(always)]
    unsafe fn sum_bits(sum: __m256i, value: Self) -> __m256i {
        // SAFETY: the caller has seen that the processor has the instruction.
        unsafe { _mm256_add_epi64(sum, _mm256_castpd_si256(value.0)) }
    }
}

/// Eight numbers (AVX-512F).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Eight(__m512d);

impl Lanes for Eight {
    const COUNT: usize = 8;
    const FUSED: bool = true;
    type Whole = __m512i;

    #[inline(always)]
    unsafe fn splat(number: f64) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm512_set1_pd(number) })
    }
    #[inline(always)]
    unsafe fn load(from: *const f64) -> Self {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        Self(unsafe { _mm512_loadu_pd(from) })
    }
    #[inline(always)]
    unsafe fn store(self, to: *mut f64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm512_storeu_pd(to, self.0) }
    }
    #[inline(always)]
    unsafe fn times_plus(self, by: Self, plus: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm512_fmadd_pd(self.0, by.0, plus.0) })
    }
    #[inline(always)]
    unsafe fn plus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm512_add_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn minus(self, other: Self) -> Self {
        // SAFETY: the caller has seen that the processor has the instruction.
        Self(unsafe { _mm512_sub_pd(self.0, other.0) })
    }
    #[inline(always)]
    unsafe fn load_whole(from: *const u64) -> __m512i {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm512_loadu_epi64(from.cast()) }
    }
    #[inline(always)]
    unsafe fn store_whole(whole: __m512i, to: *mut u64) {
        // SAFETY: as above, and the caller's pointer is good for so many numbers.
        unsafe { _mm512_storeu_epi64(to.cast(), whole) }
    }
    #[inline(always)]
    unsafe fn sum_bits(sum: __m512i, value: Self) -> __m512i {
        // SAFETY: the caller has seen that the processor has the instruction.
        unsafe { _mm512_add_epi64(sum, _mm512_castpd_si512(value.0)) }
    }
}
