//! One level of cells: conductances, the operator, and the relaxation of whole columns.

/// Conductances of one level; y slowest, then z, then x. Kept in single precision: their rounding is far below
/// what any conductivity is known to, and the operator is used as it is, so balances close all the same.
#[derive(Debug, Clone)]
pub(crate) struct Level {
    pub(crate) nx: usize,
    pub(crate) ny: usize,
    pub(crate) nz: usize,
    /// To the next cell along x.
    pub(crate) gx: Vec<f32>,
    /// To the next along y.
    pub(crate) gy: Vec<f32>,
    /// To the next along z.
    pub(crate) gz: Vec<f32>,
    /// To the air.
    pub(crate) sink: Vec<f32>,
    /// Sum of a cell's conductances; one for a cell that is nothing.
    pub(crate) diagonal: Vec<f32>,
    /// Inverse pivots of the columns' tridiagonal systems.
    pivots: Vec<f32>,
    /// A row of no conductance.
    none: Vec<f32>,
}

/// The slabs beside one, where there are some.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beside<'a> {
    pub(crate) below: Option<&'a [f32]>,
    pub(crate) above: Option<&'a [f32]>,
}

impl Level {
    pub(crate) fn empty(nx: usize, ny: usize, nz: usize) -> Self {
        let zeros = || vec![0.0_f32; nx * ny * nz];
        Self {
            nx,
            ny,
            nz,
            gx: zeros(),
            gy: zeros(),
            gz: zeros(),
            sink: zeros(),
            diagonal: zeros(),
            pivots: zeros(),
            none: vec![0.0; nx],
        }
    }

    /// Cells of one row of y.
    pub(crate) fn slab(&self) -> usize {
        self.nz * self.nx
    }

    /// Sums the diagonal and factors the columns.
    pub(crate) fn finish(&mut self) {
        let (nx, ny, nz) = (self.nx, self.ny, self.nz);
        let slab = self.slab();
        for y in 0..ny {
            for z in 0..nz {
                for x in 0..nx {
                    let at = (y * nz + z) * nx + x;
                    let mut sum = self.sink[at] + self.gx[at] + self.gy[at] + self.gz[at];
                    if x > 0 {
                        sum += self.gx[at - 1];
                    }
                    if y > 0 {
                        sum += self.gy[at - slab];
                    }
                    if z > 0 {
                        sum += self.gz[at - nx];
                    }
                    self.diagonal[at] = if sum > 0.0 { sum } else { 1.0 };
                }
            }
        }
        for y in 0..ny {
            for z in 0..nz {
                for x in 0..nx {
                    let at = (y * nz + z) * nx + x;
                    let below =
                        if z > 0 { self.gz[at - nx] * self.gz[at - nx] * self.pivots[at - nx] } else { 0.0 };
                    self.pivots[at] = 1.0 / (self.diagonal[at] - below);
                }
            }
        }
    }

    /// The next coarser level: two by two columns are one. A way twice as long along x and y, through two
    /// faces side by side, has their mean conductance.
    pub(crate) fn coarser(&self) -> Self {
        let (nx, ny, nz) = (self.nx.div_ceil(2), self.ny.div_ceil(2), self.nz);
        let mut out = Self::empty(nx, ny, nz);
        for y in 0..self.ny {
            for z in 0..nz {
                for x in 0..self.nx {
                    let fine = (y * nz + z) * self.nx + x;
                    let coarse = ((y / 2) * nz + z) * nx + x / 2;
                    if x % 2 == 1 {
                        out.gx[coarse] += 0.5 * self.gx[fine];
                    }
                    if y % 2 == 1 {
                        out.gy[coarse] += 0.5 * self.gy[fine];
                    }
                    out.gz[coarse] += self.gz[fine];
                    out.sink[coarse] += self.sink[fine];
                }
            }
        }
        out.finish();
        out
    }

    /// Operator on one slab of `x`: `out = A x` there.
    ///
    /// Flows to the neighbours, so that what leaves one cell enters the next to the last digit.
    pub(crate) fn apply_slab(&self, y: usize, x: &[f64], out: &mut [f64]) {
        let (nx, nz, slab) = (self.nx, self.nz, self.slab());
        let flow = |out: &mut [f64], g: &[f32], own: &[f64], other: &[f64]| {
            for (((out, g), own), other) in out.iter_mut().zip(g).zip(own).zip(other) {
                *out += f64::from(*g) * (own - other);
            }
        };
        for (z, out) in out.chunks_mut(nx).enumerate() {
            let at = y * slab + z * nx;
            let row = at..at + nx;
            let own = &x[row.clone()];
            // Where there is no neighbour a cell stands beside itself, and nothing flows.
            let beside = |is_there: bool, start: usize| if is_there { &x[start..start + nx] } else { own };
            let under = beside(z > 0, at.wrapping_sub(nx));
            let over = beside(z + 1 < nz, at + nx);
            let before = beside(y > 0, at.wrapping_sub(slab));
            let after = beside(y + 1 < self.ny, at + slab);
            let g_under = &self.gz[if z > 0 { at - nx } else { at }..][..nx];
            let g_over = &self.gz[row.clone()];
            let g_before = &self.gy[if y > 0 { at - slab } else { at }..][..nx];
            let (g_after, sink) = (&self.gy[row.clone()], &self.sink[row.clone()]);
            let out = &mut out[..nx];
            for i in 0..nx {
                let here = own[i];
                out[i] = f64::from(sink[i]) * here
                    + f64::from(g_under[i]) * (here - under[i])
                    + f64::from(g_over[i]) * (here - over[i])
                    + f64::from(g_before[i]) * (here - before[i])
                    + f64::from(g_after[i]) * (here - after[i]);
            }
            let gx = &self.gx[at..at + nx - 1];
            flow(&mut out[..nx - 1], gx, own, &own[1..]);
            flow(&mut out[1..], gx, &own[1..], own);
        }
    }

    /// Solves the columns of one colour of a slab, their neighbours as they are; the others stay.
    pub(crate) fn relax(
        &self,
        y: usize,
        colour: usize,
        rhs: &[f32],
        beside: &Beside<'_>,
        own: &mut [f32],
        work: &mut [f32],
    ) {
        let (nx, nz, slab) = (self.nx, self.nz, self.slab());
        let base = y * slab;
        // Both colours are computed, for a vector of cells costs no more than every other one of them.
        for z in 0..nz {
            let at = base + z * nx;
            let row = z * nx..(z + 1) * nx;
            let (under, out) = work.split_at_mut(z * nx);
            let out = &mut out[..nx];
            let rhs = &rhs[at..at + nx];
            let pivots = &self.pivots[at..at + nx];
            // Where there is no neighbour its conductance is none, whatever stands in its place.
            let before = beside.below.map_or(rhs, |slab| &slab[row.clone()]);
            let g_before =
                if beside.below.is_some() { &self.gy[at - slab..][..nx] } else { &self.none[..nx] };
            let after = beside.above.map_or(rhs, |slab| &slab[row.clone()]);
            let g_after = if beside.above.is_some() { &self.gy[at..at + nx] } else { &self.none[..nx] };
            let (g_under, under) = match z.checked_sub(1) {
                Some(z) => (&self.gz[at - nx..at], &under[z * nx..][..nx]),
                None => (&self.none[..nx], rhs),
            };
            for i in 0..nx {
                out[i] = rhs[i] + g_before[i] * before[i] + g_after[i] * after[i] + g_under[i] * under[i];
            }
            self.add_along_x(at, &own[row], out);
            for (out, pivot) in out.iter_mut().zip(pivots) {
                *out *= pivot;
            }
        }
        for z in (0..nz.saturating_sub(1)).rev() {
            let at = base + z * nx;
            let (out, over) = work[z * nx..].split_at_mut(nx);
            let factors = self.gz[at..at + nx].iter().zip(&self.pivots[at..at + nx]);
            for ((out, (g, pivot)), over) in out.iter_mut().zip(factors).zip(&over[..nx]) {
                *out += g * pivot * over;
            }
        }
        let wanted = (colour + y) % 2;
        for (own, out) in own.chunks_mut(nx).zip(work.chunks(nx)) {
            let ((own, own_rest), (out, out_rest)) = (own.as_chunks_mut::<2>(), out.as_chunks::<2>());
            if wanted == 0 {
                for (own, out) in own.iter_mut().zip(out) {
                    own[0] = out[0];
                }
                own_rest.copy_from_slice(out_rest);
            } else {
                for (own, out) in own.iter_mut().zip(out) {
                    own[1] = out[1];
                }
            }
        }
    }

    /// What the neighbours along x bring into one row, added to `out`.
    fn add_along_x(&self, at: usize, x: &[f32], out: &mut [f32]) {
        let gx = &self.gx[at..at + self.nx - 1];
        add(&mut out[..self.nx - 1], gx, &x[1..]);
        add(&mut out[1..], gx, x);
    }

    /// Residual of one row in single precision.
    pub(crate) fn residual_row(&self, y: usize, z: usize, rhs: &[f32], x: &[f32], out: &mut [f32]) {
        let (nx, slab) = (self.nx, self.slab());
        let at = y * slab + z * nx;
        let row = at..at + nx;
        let (rhs, diagonal, own) = (&rhs[row.clone()], &self.diagonal[row.clone()], &x[row.clone()]);
        let beside = |is_there: bool, start: usize| if is_there { &x[start..start + nx] } else { own };
        let before = beside(y > 0, at.wrapping_sub(slab));
        let after = beside(y + 1 < self.ny, at + slab);
        let under = beside(z > 0, at.wrapping_sub(nx));
        let over = beside(z + 1 < self.nz, at + nx);
        let g_before = if y > 0 { &self.gy[at - slab..][..nx] } else { &self.none[..nx] };
        let g_after = if y + 1 < self.ny { &self.gy[row.clone()] } else { &self.none[..nx] };
        let g_under = if z > 0 { &self.gz[at - nx..at] } else { &self.none[..nx] };
        let g_over = if z + 1 < self.nz { &self.gz[row] } else { &self.none[..nx] };
        let out = &mut out[..nx];
        for i in 0..nx {
            out[i] = rhs[i] - diagonal[i] * own[i]
                + g_before[i] * before[i]
                + g_after[i] * after[i]
                + g_under[i] * under[i]
                + g_over[i] * over[i];
        }
        self.add_along_x(at, own, out);
    }
}

/// Adds `g` times `other` to `out`.
fn add(out: &mut [f32], g: &[f32], other: &[f32]) {
    for ((out, g), other) in out.iter_mut().zip(g).zip(other) {
        *out += g * other;
    }
}
