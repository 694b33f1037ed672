//! The film on cells: gap and paste, which cells are full, and the part of the lid where paste is.

use core::ops::Range;

use crate::paste::pressure::System;

/// A cell holding this share of its gap carries pressure. The rest is made up by the next solve.
const FULL: f64 = 0.999;
/// The state of the film and room for its solve. Arrays have a rim of one cell.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    pub(crate) nx: usize,
    pub(crate) ny: usize,
    pub(crate) stride: usize,
    pub(crate) dx: f64,
    pub(crate) dy: f64,
    /// How many times the computed part is on the lid: 4 where it is a quarter, 1 where the whole.
    pub(crate) copies: f64,
    /// Centre of the first cell.
    pub(crate) origin: (f64, f64),
    pub(crate) gap: Vec<f64>,
    pub(crate) column: Vec<f64>,
    pub(crate) live: Vec<bool>,
    pub(crate) mobility: Vec<f64>,
    pub(crate) east: Vec<f64>,
    pub(crate) north: Vec<f64>,
    pub(crate) open: Vec<f64>,
    pub(crate) rhs: Vec<f64>,
    pub(crate) modes: [Vec<f64>; 3],
    /// Volume a second through east and north faces at the speeds solved for.
    pub(crate) flux_east: Vec<f64>,
    pub(crate) flux_north: Vec<f64>,
    /// Size of the flux per width in a cell, with the speed it belongs to.
    pub(crate) flux: Vec<f64>,
    pub(crate) flux_speed: [f64; 3],
    /// Travel of the last step, by which left-over volume is spread.
    pub(crate) travel: f64,
    pub(crate) system: System,
    /// Volume over the lid's edge so far.
    pub(crate) overflow_m3: f64,
    pub(crate) queue: Vec<usize>,
    /// Rows and columns of the arrays where paste is, and one more on each side as far as the lid goes.
    pub(crate) wet: (Range<usize>, Range<usize>),
    /// Resistance to tilting as last solved for, and how many steps ago.
    pub(crate) tilt: Option<([[f64; 3]; 3], usize)>,
}

impl Field {
    pub(crate) fn new(nx: usize, ny: usize, size: (f64, f64), copies: f64) -> Self {
        let count = (nx + 2) * (ny + 2);
        let zero = vec![0.0; count];
        let (dx, dy) = (size.0 / nx as f64, size.1 / ny as f64);
        let origin = if copies > 1.0 {
            (dx / 2.0, dy / 2.0)
        } else {
            (dx / 2.0 - size.0 / 2.0, dy / 2.0 - size.1 / 2.0)
        };
        Self {
            nx,
            ny,
            stride: nx + 2,
            dx,
            dy,
            copies,
            origin,
            gap: vec![1.0; count],
            column: zero.clone(),
            live: vec![false; count],
            mobility: zero.clone(),
            east: zero.clone(),
            north: zero.clone(),
            open: zero.clone(),
            rhs: zero.clone(),
            modes: [zero.clone(), zero.clone(), zero.clone()],
            flux_east: zero.clone(),
            flux_north: zero.clone(),
            flux: zero,
            flux_speed: [0.0; 3],
            travel: 0.0,
            system: System::new(nx, ny),
            overflow_m3: 0.0,
            queue: Vec::new(),
            wet: (0..0, 0..0),
            tilt: None,
        }
    }

    /// Every cell's index with its centre.
    pub(crate) fn cells(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        (0..self.ny).flat_map(move |row| {
            let y = self.origin.1 + row as f64 * self.dy;
            (0..self.nx).map(move |column| {
                ((row + 1) * self.stride + column + 1, self.origin.0 + column as f64 * self.dx, y)
            })
        })
    }

    /// Rows of the arrays where paste is or may come in the next step, each with its cells' places.
    pub(crate) fn wet_rows(&self) -> impl Iterator<Item = (usize, Range<usize>)> + use<> {
        let (rows, columns, stride) = (self.wet.0.clone(), self.wet.1.clone(), self.stride);
        rows.map(move |row| (row, row * stride + columns.start..row * stride + columns.end))
    }

    /// The same with the faces before the first row and column.
    pub(crate) fn wet_faces(&self) -> impl Iterator<Item = (usize, Range<usize>)> + use<> {
        let (rows, columns, stride) = (self.wet.0.clone(), self.wet.1.clone(), self.stride);
        let (from, first) = (rows.start.saturating_sub(1), columns.start.saturating_sub(1));
        (from..rows.end).map(move |row| (row, row * stride + first..row * stride + columns.end))
    }

    /// Every cell where paste is or may come in the next step, with its centre.
    pub(crate) fn wet_cells(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        self.wet_rows().flat_map(move |(row, cells)| {
            let y = self.origin.1 + (row - 1) as f64 * self.dy;
            let from = row * self.stride + 1;
            cells.map(move |k| (k, self.origin.0 + (k - from) as f64 * self.dx, y))
        })
    }

    /// Grows the wet part until no paste is at its rim but where the lid ends.
    fn widen(&mut self) {
        let (nx, ny, s) = (self.nx, self.ny, self.stride);
        if self.wet.0.is_empty() {
            let (mut rows, mut columns) = (0..0, 0..0);
            for k in (0..self.column.len()).filter(|k| self.column[*k] > 0.0) {
                let (row, column) = (k / s, k % s);
                if rows.is_empty() {
                    (rows, columns) = (row..row, column..column);
                }
                rows = rows.start.min(row)..rows.end.max(row + 1);
                columns = columns.start.min(column)..columns.end.max(column + 1);
            }
            if rows.is_empty() {
                return;
            }
            self.wet = (rows, columns);
        }
        loop {
            let (rows, columns) = self.wet.clone();
            let in_row = |row: usize| columns.clone().any(|column| self.column[row * s + column] > 0.0);
            let in_column = |column: usize| rows.clone().any(|row| self.column[row * s + column] > 0.0);
            let low = rows.start > 1 && in_row(rows.start);
            let high = rows.end <= ny && in_row(rows.end - 1);
            let left = columns.start > 1 && in_column(columns.start);
            let right = columns.end <= nx && in_column(columns.end - 1);
            if !(low || high || left || right) {
                return;
            }
            let grown = |range: Range<usize>, low: bool, high: bool| {
                range.start - usize::from(low)..range.end + usize::from(high)
            };
            self.wet = (grown(rows, low, high), grown(columns, left, right));
        }
    }

    pub(crate) fn area(&self) -> f64 {
        self.dx * self.dy
    }

    /// Volume under the whole lid.
    pub(crate) fn volume_m3(&self) -> f64 {
        // Rim cells hold none.
        self.column.iter().sum::<f64>() * self.area() * self.copies
    }

    /// Marks full cells; tells how many. A cell filled by the last step takes over the largest flux beside
    /// it: its own was that of a front passing, and a mobility from it would dam the paste up.
    pub(crate) fn mark_full(&mut self) -> usize {
        self.widen();
        let mut count = 0;
        let s = self.stride;
        let mut fresh = core::mem::take(&mut self.queue);
        fresh.clear();
        for (_, cells) in self.wet_rows() {
            for k in cells {
                let full = self.column[k] >= FULL * self.gap[k];
                if full && !self.live[k] {
                    fresh.push(k);
                }
                self.live[k] = full;
                count += usize::from(full);
            }
        }
        if self.flux_speed != [0.0; 3] {
            for k in &fresh {
                let beside = [k + 1, k - 1, k + s, k - s, k + s + 1, k + s - 1, k - s + 1, k - s - 1];
                let largest = beside.into_iter().filter(|n| self.live[*n]).map(|n| self.flux[n]);
                self.flux[*k] = largest.fold(self.flux[*k], f64::max);
            }
        }
        self.queue = fresh;
        count
    }

    /// Lowers the lid by a height.
    pub(crate) fn lower(&mut self, by_m: f64) {
        for row in 1..=self.ny {
            for k in row * self.stride + 1..=row * self.stride + self.nx {
                self.gap[k] -= by_m;
            }
        }
    }

    /// The largest share by which a full cell's gap closes in a second.
    pub(crate) fn closing_rate(&self, v: &[f64; 3]) -> f64 {
        let full = self.wet_cells().filter(|(k, _, _)| self.live[*k]);
        full.map(|(k, x, y)| (v[0] + v[1] * x + v[2] * y).abs() / self.gap[k]).fold(0.0, f64::max)
    }
}
