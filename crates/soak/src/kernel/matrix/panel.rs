//! One block of a matrix product: tiles in registers along panels of both factors.

#[cfg(target_arch = "x86_64")]
use crate::lanes::x86::{Eight, Four, Two};
use crate::lanes::{Lanes, One, bring_near};
use crate::width::Width;

/// What is done with the product of two panels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// It is added to what is there.
    Add,
    /// It is taken off what is there.
    TakeOff,
}

/// Sums of the product's bits, for the last block of depth.
#[derive(Debug)]
pub(super) struct Sums<'m> {
    pub(super) rows: &'m mut [u64],
    pub(super) columns: &'m mut [u64],
}

/// A block of rows times all columns, at one block of depth.
#[derive(Debug)]
pub(super) struct Job<'m> {
    pub(super) depth: usize,
    /// Panels of the left factor, this block's first.
    pub(super) left: &'m [f64],
    /// Panels of the right factor at this depth.
    pub(super) right: &'m [f64],
    pub(super) product: &'m mut [f64],
    /// First panel of rows, how many, and how many the whole has.
    pub(super) first_panel: usize,
    pub(super) panels: usize,
    pub(super) all_panels: usize,
    /// Panels of columns.
    pub(super) columns: usize,
    pub(super) way: Way,
    pub(super) sums: Option<Sums<'m>>,
}

/// Runs a block at a width that is here.
pub(super) fn run(width: Width, job: Job<'_>) {
    match width {
        #[cfg(target_arch = "x86_64")]
        // SAFETY: the width is here, as whoever made the matrix saw.
        Width::Eight => unsafe { eight(job) },
        #[cfg(target_arch = "x86_64")]
        // SAFETY: as above.
        Width::Four => unsafe { four(job) },
        #[cfg(target_arch = "x86_64")]
        // SAFETY: as above.
        Width::Two => unsafe { two(job) },
        // SAFETY: needs nothing of the processor.
        _ => unsafe { block::<One, 4, 2>(job) },
    }
}

/// # Safety
/// The processor has AVX-512F.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx512f")]
unsafe fn eight(job: Job<'_>) {
    // SAFETY: the caller's promise.
    unsafe { block::<Eight, 3, 8>(job) }
}

/// # Safety
/// The processor has AVX2 and FMA.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2,fma")]
unsafe fn four(job: Job<'_>) {
    // SAFETY: the caller's promise.
    unsafe { block::<Four, 2, 6>(job) }
}

/// # Safety
/// The processor has SSE2.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "sse2")]
unsafe fn two(job: Job<'_>) {
    // SAFETY: the caller's promise.
    unsafe { block::<Two, 2, 4>(job) }
}

/// A block with tiles of `TALL` registers by `WIDE` columns.
///
/// # Safety
/// As [`Lanes`].
#[inline(always)]
unsafe fn block<L: Lanes, const TALL: usize, const WIDE: usize>(mut job: Job<'_>) {
    let height = TALL * L::COUNT;
    let (step_left, step_right) = (height * job.depth, WIDE * job.depth);
    // What the pointers below may reach; wrong sizes end the programme rather than leave the slices.
    assert!(job.left.len() >= job.panels * step_left && job.right.len() >= job.columns * step_right);
    assert!(job.product.len() >= job.columns * job.all_panels * height * WIDE);
    assert!(job.first_panel + job.panels <= job.all_panels);
    if let Some(sums) = &job.sums {
        assert!(sums.rows.len() >= job.all_panels * height);
        assert!(sums.columns.len() >= job.columns * WIDE * L::COUNT);
    }
    for column in 0..job.columns {
        for panel in 0..job.panels {
            let tile = (column * job.all_panels + job.first_panel + panel) * height * WIDE;
            // SAFETY: inside the slices by the sizes asserted above.
            unsafe {
                let product = job.product.as_mut_ptr().add(tile);
                // The tile itself is wanted only when the product of the panels is done.
                for line in (0..height * WIDE).step_by(8) {
                    bring_near(product.add(line));
                }
                // A part of the next column's panel, so that it is there when its turn comes.
                let share = step_right.div_ceil(job.panels);
                let next = job.right.as_ptr().wrapping_add((column + 1) * step_right + panel * share);
                for line in (0..share).step_by(8) {
                    bring_near(next.wrapping_add(line));
                }
                let done = product_of::<L, TALL, WIDE>(
                    job.depth,
                    job.left.as_ptr().add(panel * step_left),
                    job.right.as_ptr().add(column * step_right),
                );
                let done = put::<L, TALL, WIDE>(done, product, job.way);
                if let Some(sums) = &mut job.sums {
                    let rows = sums.rows.as_mut_ptr().add((job.first_panel + panel) * height);
                    let columns = sums.columns.as_mut_ptr().add(column * WIDE * L::COUNT);
                    count::<L, TALL, WIDE>(&done, rows, columns);
                }
            }
        }
    }
}

/// The product of two panels, in registers.
///
/// # Safety
/// As [`Lanes`]; the panels hold `depth` times a tile's rows and columns.
#[inline(always)]
unsafe fn product_of<L: Lanes, const TALL: usize, const WIDE: usize>(
    depth: usize,
    mut left: *const f64,
    mut right: *const f64,
) -> [[L; TALL]; WIDE] {
    // SAFETY: the caller's promise; each step of depth takes one tile's rows and columns.
    unsafe {
        let mut tile = [[L::splat(0.0); TALL]; WIDE];
        for _ in 0..depth {
            let rows: [L; TALL] = core::array::from_fn(|row| L::load(left.add(row * L::COUNT)));
            for (column, sums) in tile.iter_mut().enumerate() {
                let by = L::splat(*right.add(column));
                for (sum, row) in sums.iter_mut().zip(rows) {
                    *sum = row.times_plus(by, *sum);
                }
            }
            left = left.add(TALL * L::COUNT);
            right = right.add(WIDE);
        }
        tile
    }
}

/// Adds a tile to what is there, or takes it off; gives what now stands there.
///
/// # Safety
/// As [`Lanes`]; the pointer is good for a tile.
#[inline(always)]
unsafe fn put<L: Lanes, const TALL: usize, const WIDE: usize>(
    mut tile: [[L; TALL]; WIDE],
    product: *mut f64,
    way: Way,
) -> [[L; TALL]; WIDE] {
    for (column, sums) in tile.iter_mut().enumerate() {
        for (row, sum) in sums.iter_mut().enumerate() {
            // SAFETY: the place is inside the tile.
            unsafe {
                let place = product.add((column * TALL + row) * L::COUNT);
                let was = L::load(place);
                *sum = match way {
                    Way::Add => was.plus(*sum),
                    Way::TakeOff => was.minus(*sum),
                };
                sum.store(place);
            }
        }
    }
    tile
}

/// Adds a tile's numbers to the sums of their rows and columns.
///
/// # Safety
/// As [`Lanes`]; `rows` is good for a tile's rows, `columns` for its columns times the count.
#[inline(always)]
unsafe fn count<L: Lanes, const TALL: usize, const WIDE: usize>(
    tile: &[[L; TALL]; WIDE],
    rows: *mut u64,
    columns: *mut u64,
) {
    // SAFETY: the caller's promise; every place is below the tile's rows or columns.
    unsafe {
        let mut of_rows: [L::Whole; TALL] =
            core::array::from_fn(|row| L::load_whole(rows.add(row * L::COUNT)));
        for (column, sums) in tile.iter().enumerate() {
            let mut of_column = L::load_whole(columns.add(column * L::COUNT));
            for (of_row, sum) in of_rows.iter_mut().zip(sums) {
                *of_row = L::sum_bits(*of_row, *sum);
                of_column = L::sum_bits(of_column, *sum);
            }
            L::store_whole(of_column, columns.add(column * L::COUNT));
        }
        for (row, sum) in of_rows.into_iter().enumerate() {
            L::store_whole(sum, rows.add(row * L::COUNT));
        }
    }
}
