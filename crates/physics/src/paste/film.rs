//! The pressed film: maps, pockets, and the history of the way there.

use crate::paste::field::Field;
use crate::paste::input::PressInput;
use crate::paste::pockets::{Pocket, find};

/// Why the pressing ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The film is final: the paste carries the load and hardly moves.
    Stalled,
    /// The film is final: grains or faces carry the load.
    Touching,
    /// The time was over.
    TimeUp,
    /// The caller stopped it, or the steps ran out.
    Stopped,
}

/// One moment of the history.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since first contact.
    pub time_s: f64,
    /// Gap in the middle of the lid.
    pub gap_m: f64,
    /// Share of the lid that paste covers.
    pub coverage: f64,
    /// Mounting force.
    pub force_n: f64,
}

/// One picture of the film, on coarse cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// When, and how far.
    pub moment: Moment,
    /// Share of paste, row by row from the lower edge.
    pub fill: Vec<f32>,
}

/// The film at the end.
#[derive(Debug, Clone, PartialEq)]
pub struct PressOutcome {
    /// Why it ended.
    pub end: End,
    /// Cells in a row and rows of the maps.
    pub cells: (usize, usize),
    /// Size of the lid.
    pub size_m: (f64, f64),
    /// Height of paste in each cell, row by row from the lower edge; 0 where none is.
    pub thickness_m: Vec<f64>,
    /// Gap in each cell.
    pub gap_m: Vec<f64>,
    /// Share of each cell's gap that paste fills, 0 to 1.
    pub fill: Vec<f64>,
    /// Share of the lid that paste covers.
    pub coverage: f64,
    /// Volume that ran over the edge.
    pub overflow_m3: f64,
    /// Air shut in, largest first.
    pub pockets: Vec<Pocket>,
    /// The history: gap and coverage over time.
    pub history: Vec<Moment>,
    /// Cells in a row and rows of a frame.
    pub frame_cells: (usize, usize),
    /// Pictures of the way.
    pub frames: Vec<Frame>,
    /// Time at the end.
    pub time_s: f64,
    /// Steps taken.
    pub steps: usize,
    /// Volume in and over the edge against volume put, relative.
    pub volume_drift: f64,
}

/// Largest side of a frame in cells.
const FRAME_SIDE: usize = 64;
/// A frame each time the gap has shrunk by this factor.
const FRAME_RATIO: f64 = 0.93;
/// Most frames.
const FRAME_COUNT: usize = 64;
/// What is kept on the way.
pub(crate) struct Run<'a> {
    input: &'a PressInput,
    history: Vec<Moment>,
    frames: Vec<Frame>,
    next_frame: f64,
}

impl<'a> Run<'a> {
    pub(crate) fn new(input: &'a PressInput) -> Self {
        Self { input, history: Vec::new(), frames: Vec::new(), next_frame: f64::INFINITY }
    }

    /// Keeps a moment; its coverage.
    pub(crate) fn note(&mut self, field: &Field, moment: Moment, steps: usize) -> f64 {
        let wet = field.wet_rows().flat_map(|(_, cells)| cells);
        let fill: f64 = wet.map(|k| (field.column[k] / field.gap[k]).min(1.0)).sum();
        let moment = Moment { coverage: fill / (field.nx * field.ny) as f64, ..moment };
        self.history.push(moment);
        if (steps == 0 || moment.gap_m < self.next_frame) && self.frames.len() + 1 < FRAME_COUNT {
            self.next_frame = moment.gap_m * FRAME_RATIO;
            self.frame(field, moment);
        }
        moment.coverage
    }

    fn frame_cells(&self) -> (usize, usize, usize) {
        let block = self.input.cells.0.max(self.input.cells.1).div_ceil(FRAME_SIDE);
        (block, self.input.cells.0.div_ceil(block), self.input.cells.1.div_ceil(block))
    }

    fn frame(&mut self, field: &Field, moment: Moment) {
        let (block, columns, rows) = self.frame_cells();
        let (nx, ny) = self.input.cells;
        let mut sums = vec![0.0_f32; columns * rows];
        let mut counts = vec![0.0_f32; columns * rows];
        for y in 0..ny {
            for x in 0..nx {
                let k = cell_of(field, self.input.cells, x, y);
                let slot = y / block * columns + x / block;
                sums[slot] += (field.column[k] / field.gap[k]).min(1.0) as f32;
                counts[slot] += 1.0;
            }
        }
        for (sum, count) in sums.iter_mut().zip(&counts) {
            *sum /= count;
        }
        self.frames.push(Frame { moment, fill: sums });
    }

    /// The film at the end.
    pub(crate) fn finish(
        mut self,
        field: &Field,
        last: Moment,
        end: End,
        steps: usize,
        volume_put: f64,
    ) -> PressOutcome {
        let coverage = self.note(field, last, usize::MAX);
        let last = Moment { coverage, ..last };
        self.frame(field, last);
        let cells = self.input.cells;
        let count = cells.0 * cells.1;
        let (mut thickness, mut gap, mut fill) =
            (Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count));
        for y in 0..cells.1 {
            for x in 0..cells.0 {
                let k = cell_of(field, cells, x, y);
                thickness.push(field.column[k].max(0.0).min(field.gap[k].max(0.0)));
                gap.push(field.gap[k]);
                fill.push((field.column[k] / field.gap[k]).clamp(0.0, 1.0));
            }
        }
        let (_, columns, rows) = self.frame_cells();
        let size = (self.input.length_m, self.input.width_m);
        let pockets = find(&fill, cells.0, cells.1, size.0 / cells.0 as f64, size.1 / cells.1 as f64);
        PressOutcome {
            end,
            cells,
            size_m: size,
            thickness_m: thickness,
            gap_m: gap,
            fill,
            coverage,
            overflow_m3: field.overflow_m3,
            pockets,
            history: self.history,
            frame_cells: (columns, rows),
            frames: self.frames,
            time_s: last.time_s,
            steps,
            volume_drift: ((field.volume_m3() + field.overflow_m3) / volume_put - 1.0).abs(),
        }
    }
}

/// The computed cell that stands for a cell of the lid.
fn cell_of(field: &Field, cells: (usize, usize), x: usize, y: usize) -> usize {
    let fold = |i: usize, n: usize| {
        if field.copies > 1.0 { if i >= n / 2 { i - n / 2 } else { n / 2 - 1 - i } } else { i }
    };
    (fold(y, cells.1) + 1) * field.stride + fold(x, cells.0) + 1
}

impl PressOutcome {
    /// Gap in the middle of the lid at a time, between the moments of the history, both in logarithms.
    pub fn gap_at_m(&self, time_s: f64) -> Option<f64> {
        let after = self.history.partition_point(|moment| moment.time_s < time_s);
        let (b, a) = (self.history.get(after)?, after.checked_sub(1).and_then(|k| self.history.get(k)));
        let Some(a) = a.filter(|a| a.time_s > 0.0) else { return Some(b.gap_m) };
        let part = (time_s / a.time_s).ln() / (b.time_s / a.time_s).ln();
        Some((a.gap_m.ln() * (1.0 - part) + b.gap_m.ln() * part).exp())
    }

    /// Thickness of the thinnest and thickest filled cell.
    pub fn thickness_range_m(&self) -> Option<(f64, f64)> {
        let filled =
            self.thickness_m.iter().zip(&self.fill).filter(|(_, fill)| **fill > 0.98).map(|(t, _)| *t);
        filled.fold(None, |range, t| match range {
            None => Some((t, t)),
            Some((low, high)) => Some((low.min(t), high.max(t))),
        })
    }

    /// Force over the lid's area at the end.
    pub fn mean_pressure_pa(&self) -> f64 {
        let force = self.history.last().map_or(0.0, |moment| moment.force_n);
        force / (self.size_m.0 * self.size_m.1)
    }
}
