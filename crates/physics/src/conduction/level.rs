//! One level of cells: its conductances and the pivots of its columns.

use crate::conduction::layout::Layout;
use crate::conduction::outline::{Outline, Side};
use crate::conduction::runs::{deal, each, runs};
use crate::dot::dot;

/// Factors of one row of cells along x; with the row's outline they are its conductances.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Factors {
    /// Times the inverse way: to the next cell along x.
    pub(crate) along_x: f32,
    /// Times the width: to the next cell along y.
    pub(crate) along_y: f32,
    /// Times the width: to the next cell along z.
    pub(crate) along_z: f32,
    /// Times the width: to the air.
    pub(crate) ground: f32,
}

/// Conductances upwards that follow no outline: an interface with a map.
pub(crate) type Plane = Option<Vec<f32>>;

/// Conductances of one level. A grid of straight lines and layers with one conductivity each needs few figures: each
/// conductance is that of its row of cells times that of its column. In single precision: their rounding is far
/// below what any conductivity is known to, and the operator is used as it is, so balances close all the same.
#[derive(Debug, Clone)]
pub(crate) struct Level {
    pub(crate) layout: Layout,
    outlines: Vec<Outline>,
    /// Outline of each row of cells through the stack.
    own: Vec<usize>,
    /// Outline of its upper face.
    over: Vec<usize>,
    /// Factors of each row of cells, y slowest.
    pub(crate) factors: Vec<Factors>,
    /// Conductances of the faces above rows through the stack where they follow no outline, as an array with one z.
    planes: Vec<Plane>,
    /// Inverse pivots of the columns' tridiagonal systems.
    pub(crate) pivots: Vec<f32>,
}

/// The conductances at one row of cells of one colour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row<'a> {
    pub(crate) side: &'a Side,
    pub(crate) along_x: f32,
    pub(crate) before: f32,
    pub(crate) after: f32,
    pub(crate) ground: f32,
    /// Downwards: of the columns, and what they are taken times.
    pub(crate) under: (&'a [f32], f32),
    /// Upwards.
    pub(crate) over: (&'a [f32], f32),
}

impl Level {
    /// A level whose columns are not factored yet.
    pub(crate) fn new(
        layout: Layout,
        outlines: Vec<Outline>,
        (own, over): (Vec<usize>, Vec<usize>),
        factors: Vec<Factors>,
        planes: Vec<Plane>,
    ) -> Self {
        Self { layout, outlines, own, over, factors, planes, pivots: Vec::new() }
    }

    /// Upper faces of a row of cells of one colour.
    fn face(&self, y: usize, z: usize, colour: usize) -> (&[f32], f32) {
        let half = self.layout.half;
        match &self.planes[z] {
            Some(plane) => (&plane[(2 * y + colour) * half..][..half], 1.0),
            None => {
                let side = Layout::side(y, colour);
                (&self.outlines[self.over[z]].sides[side].wide, self.factors[y * self.layout.nz + z].along_z)
            }
        }
    }

    /// Conductances of a row of cells of one colour.
    pub(crate) fn row(&self, y: usize, z: usize, colour: usize) -> Row<'_> {
        let (ny, nz) = (self.layout.ny, self.layout.nz);
        let side = &self.outlines[self.own[z]].sides[Layout::side(y, colour)];
        let factors = &self.factors[y * nz + z];
        let none = (&side.wide[..], 0.0);
        Row {
            side,
            along_x: factors.along_x,
            before: if y > 0 { self.factors[(y - 1) * nz + z].along_y } else { 0.0 },
            after: if y + 1 < ny { factors.along_y } else { 0.0 },
            ground: factors.ground,
            under: if z > 0 { self.face(y, z - 1, colour) } else { none },
            over: if z + 1 < nz { self.face(y, z, colour) } else { none },
        }
    }

    /// Factors the columns.
    ///
    /// A pivot is what leads up plus what leads elsewhere, the way down being one of those with all that lies under it:
    /// sums of positive figures, so that a column that hardly leads anywhere keeps its digits.
    pub(crate) fn factor(&mut self, threads: usize) {
        let layout = self.layout;
        let mut pivots = core::mem::take(&mut self.pivots);
        pivots.resize(layout.places(), 0.0);
        let runs = runs(threads, layout.ny, layout.places());
        let level = &*self;
        each(deal(&mut pivots, &runs, layout.slab()).into_iter().zip(&runs), |(pivots, run)| {
            let mut down = vec![0.0_f32; layout.half];
            for (y, slab) in run.clone().zip(pivots.chunks_mut(layout.slab())) {
                for (colour, part) in slab.chunks_mut(layout.part()).enumerate() {
                    down.fill(0.0);
                    for (z, pivots) in part.chunks_mut(layout.half).enumerate() {
                        factor_row(&level.row(y, z, colour), &mut down, pivots);
                    }
                }
            }
        });
        self.pivots = pivots;
    }

    /// The next coarser level, its columns not factored: two by two columns are one. A way twice as long along x
    /// and y, through two faces side by side, has their mean conductance.
    pub(crate) fn coarser(&self) -> Self {
        let (fine, layout) = (self.layout, self.layout.coarser());
        let nz = layout.nz;
        let factors = (0..layout.ny * nz)
            .map(|at| {
                let (y, z) = (2 * (at / nz), at % nz);
                let low = self.factors[y * nz + z];
                let Some(high) = self.factors.get((y + 1) * nz + z) else {
                    return Factors { along_y: 0.0, ..low };
                };
                Factors {
                    along_x: low.along_x + high.along_x,
                    along_y: 0.5 * high.along_y,
                    along_z: low.along_z + high.along_z,
                    ground: low.ground + high.ground,
                }
            })
            .collect();
        let planes = self.planes.iter().map(|plane| plane.as_ref().map(|plane| coarser_plane(plane, fine)));
        Self::new(
            layout,
            self.outlines.iter().map(Outline::coarser).collect(),
            (self.own.clone(), self.over.clone()),
            factors,
            planes.collect(),
        )
    }
}

impl Level {
    /// Sum of values, each times its cell's width along x and the weight of its row of cells.
    pub(crate) fn sum_by_width(&self, weights: &[f32], x: &[f64]) -> f64 {
        let (nz, half) = (self.layout.nz, self.layout.half);
        let mut sum = 0.0;
        for (at, x) in x.chunks(half).enumerate() {
            let (y, colour, z) = (at / (2 * nz), at / nz % 2, at % nz);
            let weight = weights[y * nz + z];
            if weight != 0.0 {
                sum += f64::from(weight) * dot(x, &self.row(y, z, colour).side.wide);
            }
        }
        sum
    }

    /// Sum of all cells' widths along x, each times the weight of its row of cells.
    pub(crate) fn sum_of_widths(&self, weights: &[f32]) -> f64 {
        let nz = self.layout.nz;
        let rows = weights.iter().enumerate().filter(|(_, weight)| **weight != 0.0);
        let widths = |at: usize| {
            let outline = &self.outlines[self.own[at % nz]];
            outline.sides.iter().flat_map(|side| &side.wide).map(|wide| f64::from(*wide)).sum::<f64>()
        };
        rows.map(|(at, weight)| f64::from(*weight) * widths(at)).sum()
    }

    /// Adds each cell's width along x times the weight of its row of cells.
    pub(crate) fn add_widths(&self, weights: &[f64], out: &mut [f64]) {
        let (nz, half) = (self.layout.nz, self.layout.half);
        for (at, out) in out.chunks_mut(half).enumerate() {
            let (y, colour, z) = (at / (2 * nz), at / nz % 2, at % nz);
            let weight = weights[y * nz + z];
            for (out, wide) in out.iter_mut().zip(&self.row(y, z, colour).side.wide) {
                *out += weight * f64::from(*wide);
            }
        }
    }

    /// What leads to the air from each row of cells, over the width along x.
    pub(crate) fn grounds(&self) -> Vec<f32> {
        self.factors.iter().map(|factors| factors.ground).collect()
    }

    /// Grounds of the finer level's rows, summed.
    pub(crate) fn take_ground(&mut self, finer: &Self) {
        let nz = self.layout.nz;
        for (at, factors) in self.factors.iter_mut().enumerate() {
            let low = 2 * (at / nz) * nz + at % nz;
            let ground = |at: usize| finer.factors.get(at).map_or(0.0, |factors| factors.ground);
            factors.ground = ground(low) + ground(low + nz);
        }
    }
}

/// Sums of two by two columns of one row through the stack.
fn coarser_plane(plane: &[f32], fine: Layout) -> Vec<f32> {
    let (fine, coarse) = (Layout::new(fine.nx, fine.ny, 1), Layout::new(fine.nx, fine.ny, 1).coarser());
    let mut out = vec![0.0; coarse.places()];
    for y in 0..fine.ny {
        for x in 0..fine.nx {
            let to = (y / 2) * coarse.slab() + coarse.in_slab(x / 2, y / 2, 0);
            out[to] += plane[y * fine.slab() + fine.in_slab(x, y, 0)];
        }
    }
    out
}

/// Pivots of one row of cells; `down` is what each conducts downwards, and then what it conducts to the next.
fn factor_row(row: &Row<'_>, down: &mut [f32], pivots: &mut [f32]) {
    let count = pivots.len();
    let (wide, near, far) = (&row.side.wide[..count], &row.side.near[..count], &row.side.far[..count]);
    let (over, down) = (&row.over.0[..count], &mut down[..count]);
    for i in 0..count {
        let beside = row.along_x * (near[i] + far[i]) + wide[i] * (row.before + row.after + row.ground);
        let up = over[i] * row.over.1;
        let elsewhere = beside + down[i];
        let all = up + elsewhere;
        // A cell that is nothing keeps the value zero.
        let pivot = if all > 0.0 { 1.0 / all } else { 0.0 };
        pivots[i] = pivot;
        down[i] = up * elsewhere * pivot;
    }
}
