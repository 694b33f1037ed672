//! Matrix multiplication through registers, caches and memory, that finds its own errors.
//!
//! Both factors hold whole numbers below 2^20, so that every product and sum of floating-point arithmetic is exact.
//! The product is added to whole numbers about 1.5 * 2^52, where the last bit of a number counts ones: no error,
//! however small, hides behind rounding, and bit patterns can be added up as integers. What rows and columns
//! add up to is computed beforehand in integers; a sum that differs names the place that is wrong and by how much.
//! Every second round takes the product off again, as it stands in memory: what memory changed is found
//! too. The factors' own bits, of which the sums see only those that matter, are added up every sixteenth round.
//!
//! # Source
//! K.-H. Huang, J. A. Abraham, Algorithm-based fault tolerance for matrix operations, IEEE Trans. Computers C-33 (6),
//! 518-528, 1984: sums of rows and columns. Blocking after K. Goto, R. van de Geijn, Anatomy of high-performance
//! matrix multiplication, ACM Trans. Math. Software 34 (3), 12, 2008.

mod panel;

use crate::aligned::Aligned;
use crate::kernel::matrix::panel::{Job, Sums, Way};
use crate::kernel::progression::Affine;
use crate::kernel::{Done, Kernel, Wrong};
#[cfg(target_arch = "x86_64")]
use crate::lanes::x86::{Eight, Four, Two};
use crate::lanes::{Lanes, One};
use crate::width::Width;

/// Depth of a block: 31 kilobytes, a panel of either factor, stay in the nearest cache.
const DEPTH: usize = 120;
/// Rows of a block: 230 kilobytes of the left factor stay in the core's own second-level cache.
const ROWS: usize = 240;
/// Sides are multiples of the rows, which are a multiple of the depth.
const LONGEST: usize = 1200;
/// Numbers stay below this in size.
const BELOW: i64 = 1 << 20;
/// 1.5 * 2^52: a whole number below 2^51 in size added to it changes its bits by just that number.
const COUNTING: f64 = 6_755_399_441_055_744.0;
/// Rounds from one look at the factors' bits to the next.
const LOOK_AT_FACTORS: usize = 16;

/// The longest side whose three matrices fit.
pub fn side(bytes: usize) -> usize {
    (1..=LONGEST / ROWS)
        .rev()
        .map(|times| times * ROWS)
        .find(|side| 3 * 8 * side * side <= bytes)
        .unwrap_or(ROWS)
}

/// The load.
#[derive(Debug)]
pub struct Matrix {
    width: Width,
    side: usize,
    /// Rows and columns of the tile that is held in registers.
    tile: (usize, usize),
    /// Left factor: for each block of depth, panels of a tile's rows, each depth by depth.
    left: Aligned,
    /// Right factor: the same with columns.
    right: Aligned,
    /// What the product is added to and taken off: tiles, each column by column.
    product: Aligned,
    /// What the bits of its rows and columns add up to without the product, and what the product adds.
    rows: Vec<[u64; 2]>,
    columns: Vec<[u64; 2]>,
    /// What the factors' bits add up to.
    factors: [u64; 2],
    found_rows: Vec<u64>,
    /// Each column's sum in as many parts as there are lanes.
    found_columns: Vec<u64>,
    block: usize,
    round: usize,
}

fn sum_bits(numbers: &[f64]) -> u64 {
    numbers.iter().fold(0, |sum, number| sum.wrapping_add(number.to_bits()))
}

/// Writes a factor's numbers in the order in which a tile takes them.
fn panels(side: usize, across: usize, number: impl Fn(usize, usize) -> i64) -> Vec<f64> {
    let mut out = Vec::with_capacity(side * side);
    for depth in (0..side).step_by(DEPTH) {
        for panel in (0..side).step_by(across) {
            for k in depth..depth + DEPTH {
                out.extend((panel..panel + across).map(|place| number(place, k) as f64));
            }
        }
    }
    out
}

impl Matrix {
    /// The load at a width (the widest here where this processor does not have it) and with a side that is a
    /// multiple of 240.
    pub fn new(width: Width, side: usize, seed: u64) -> Self {
        let width = if width.is_here() { width } else { Width::widest() };
        let side = side.div_ceil(ROWS).clamp(1, LONGEST / ROWS) * ROWS;
        let (tile, lanes) = match width {
            #[cfg(target_arch = "x86_64")]
            Width::Eight => ((3 * Eight::COUNT, 8), Eight::COUNT),
            #[cfg(target_arch = "x86_64")]
            Width::Four => ((2 * Four::COUNT, 6), Four::COUNT),
            #[cfg(target_arch = "x86_64")]
            Width::Two => ((2 * Two::COUNT, 4), Two::COUNT),
            _ => ((4 * One::COUNT, 2), One::COUNT),
        };
        // A number of a factor by its place: a jump into a sequence, cut to 21 bits with its sign.
        let number = |factor: u64, place: usize, k: usize| {
            let x = Affine::WALK.next(seed ^ factor ^ (place * side + k) as u64);
            let x = crate::kernel::integer::scramble(Affine::WALK.next(x));
            (x >> 43) as i64 - BELOW
        };
        let (a, b) = (|i: usize, k: usize| number(0, i, k), |j: usize, k: usize| number(1 << 40, j, k));
        let sums = |of: &dyn Fn(usize, usize) -> i64| -> Vec<i64> {
            (0..side).map(|k| (0..side).map(|place| of(place, k)).sum()).collect()
        };
        let (sum_a, sum_b) = (sums(&a), sums(&b));
        let against = |of: &dyn Fn(usize, usize) -> i64, sums: &[i64]| -> Vec<[u64; 2]> {
            let added = |place| sums.iter().enumerate().map(|(k, sum)| of(place, k) * sum).sum::<i64>();
            (0..side).map(|place| [0, added(place).cast_unsigned()]).collect()
        };
        let (mut rows, mut columns) = (against(&a, &sum_b), against(&b, &sum_a));
        let mut product = vec![0.0; side * side];
        let (height, width_of_tile) = tile;
        for (at, place) in product.iter_mut().enumerate() {
            let (tile_at, inside) = (at / (height * width_of_tile), at % (height * width_of_tile));
            let row = tile_at % (side / height) * height + inside % height;
            let column = tile_at / (side / height) * width_of_tile + inside / height;
            // Below 2^49 in size: with the product, below 2^50.3, it stays within 2^51.
            *place = COUNTING + number(1 << 41, row, column) as f64 * f64::from(1 << 29);
            rows[row][0] = rows[row][0].wrapping_add(place.to_bits());
            columns[column][0] = columns[column][0].wrapping_add(place.to_bits());
        }
        let (left, right) = (Aligned::of(&panels(side, tile.0, a)), Aligned::of(&panels(side, tile.1, b)));
        let factors = [sum_bits(&left), sum_bits(&right)];
        Self {
            width,
            side,
            tile,
            left,
            right,
            product: Aligned::of(&product),
            rows,
            columns,
            factors,
            found_rows: vec![0; side],
            found_columns: vec![0; side * lanes],
            block: 0,
            round: 0,
        }
    }

    /// One block of rows at one block of depth.
    fn part(&mut self) -> f64 {
        let blocks = self.side / ROWS;
        let (depth, rows) = (self.block / blocks, self.block % blocks);
        let (height, width) = self.tile;
        let first_panel = rows * ROWS / height;
        let job = Job {
            depth: DEPTH,
            left: &self.left[(depth * self.side + rows * ROWS) * DEPTH..],
            right: &self.right[depth * self.side * DEPTH..],
            product: &mut self.product,
            first_panel,
            panels: ROWS / height,
            all_panels: self.side / height,
            columns: self.side / width,
            way: if self.round.is_multiple_of(2) { Way::Add } else { Way::TakeOff },
            sums: (depth + 1 == self.side / DEPTH)
                .then_some(Sums { rows: &mut self.found_rows, columns: &mut self.found_columns }),
        };
        panel::run(self.width, job);
        (2 * ROWS * DEPTH * self.side) as f64
    }

    /// Compares sums after a round, and readies the next.
    fn compared(&mut self) -> Option<Wrong> {
        // After an odd number of rounds the product is in, after an even one it is out again.
        let times = (self.round % 2) as u64;
        let off = |[without, product]: &[u64; 2], found: u64| {
            found.wrapping_sub(*without).wrapping_sub(product.wrapping_mul(times)).cast_signed()
        };
        let lanes = self.found_columns.len() / self.side;
        let found_columns = self.found_columns.chunks(lanes);
        let column_sums =
            found_columns.map(|parts| parts.iter().fold(0, |sum: u64, part| sum.wrapping_add(*part)));
        let first = |off: i64, at: usize| (off != 0).then_some((at, off));
        let mut rows =
            self.rows.iter().zip(&self.found_rows).map(|(must, found)| off(must, *found)).enumerate();
        let mut columns =
            self.columns.iter().zip(column_sums).map(|(must, found)| off(must, found)).enumerate();
        let row = rows.find_map(|(at, off)| first(off, at));
        let column = columns.find_map(|(at, off)| first(off, at));
        let place = |what: &str, found: Option<(usize, i64)>| match found {
            Some((at, by)) => format!("{what} {at} by {by}"),
            None => format!("no {what}"),
        };
        let wrong = (row.is_some() || column.is_some()).then(|| Wrong {
            what: format!(
                "the sums of a matrix product of side {} are off: {}, {}",
                self.side,
                place("row", row),
                place("column", column)
            ),
        });
        self.found_rows.fill(0);
        self.found_columns.fill(0);
        wrong.or_else(|| self.factors_changed())
    }

    /// Whether a factor's bits are still what they were.
    fn factors_changed(&self) -> Option<Wrong> {
        if !self.round.is_multiple_of(LOOK_AT_FACTORS)
            || [sum_bits(&self.left), sum_bits(&self.right)] == self.factors
        {
            return None;
        }
        Some(Wrong {
            what: "a factor of a matrix product is no longer what was written to memory".to_owned(),
        })
    }
}

impl Kernel for Matrix {
    fn block(&mut self) -> Done {
        let work = self.part();
        self.block += 1;
        let mut wrong = None;
        if self.block == (self.side / ROWS) * (self.side / DEPTH) {
            self.block = 0;
            self.round += 1;
            wrong = self.compared();
        }
        Done { work, wrong }
    }

    fn disturb(&mut self, bit: u32) {
        let middle = self.product.len() / 2;
        let target = match bit / 64 % 3 {
            0 => &mut self.product[middle],
            1 => &mut self.left[middle],
            _ => &mut self.right[middle],
        };
        *target = f64::from_bits(target.to_bits() ^ 1 << (bit % 52));
    }
}
