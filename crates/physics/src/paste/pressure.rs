//! The pressure in the wetted region: a symmetric five-point system, solved by conjugate gradients with
//! a multigrid cycle in front.
//!
//! Cells that are not full carry no pressure and take no part; their rows are empty.

/// One grid of the hierarchy. Arrays have a rim of one dead cell all round.
#[derive(Debug, Clone)]
struct Level {
    nx: usize,
    ny: usize,
    stride: usize,
    /// Link from a cell to the next in x.
    east: Vec<f64>,
    /// Link from a cell to the next in y.
    north: Vec<f64>,
    /// Sum of all links of a cell, those to the front and the edge included; 0 in a dead cell.
    diagonal: Vec<f64>,
    /// Damped inverse of the diagonal; 0 in a dead cell.
    smooth: Vec<f64>,
    x: Vec<f64>,
    other: Vec<f64>,
    rhs: Vec<f64>,
}

/// Damping of the point smoother: usual for five-point systems (textbook value 4/5).
const DAMPING: f64 = 0.8;

impl Level {
    fn new(nx: usize, ny: usize) -> Self {
        let count = (nx + 2) * (ny + 2);
        let zero = vec![0.0; count];
        Self {
            nx,
            ny,
            stride: nx + 2,
            east: zero.clone(),
            north: zero.clone(),
            diagonal: zero.clone(),
            smooth: zero.clone(),
            x: zero.clone(),
            other: zero.clone(),
            rhs: zero,
        }
    }

    /// `out = A x`.
    fn apply(&self, x: &[f64], out: &mut [f64]) {
        let s = self.stride;
        for row in 1..=self.ny {
            let a = row * s + 1;
            let b = a + self.nx;
            let n = self.nx;
            let (xc, xe, xw) = (&x[a..b], &x[a + 1..b + 1], &x[a - 1..b - 1]);
            let (xn, xs) = (&x[a + s..b + s], &x[a - s..b - s]);
            let (te, tw) = (&self.east[a..b], &self.east[a - 1..b - 1]);
            let (tn, ts) = (&self.north[a..b], &self.north[a - s..b - s]);
            let d = &self.diagonal[a..b];
            let o = &mut out[a..b];
            for k in 0..n {
                o[k] = d[k] * xc[k] - te[k] * xe[k] - tw[k] * xw[k] - tn[k] * xn[k] - ts[k] * xs[k];
            }
        }
    }

    /// One damped point sweep from `x` into `other`, then swapped.
    fn sweep(&mut self) {
        let s = self.stride;
        for row in 1..=self.ny {
            let a = row * s + 1;
            let b = a + self.nx;
            let n = self.nx;
            let x = &self.x;
            let (xc, xe, xw) = (&x[a..b], &x[a + 1..b + 1], &x[a - 1..b - 1]);
            let (xn, xs) = (&x[a + s..b + s], &x[a - s..b - s]);
            let (te, tw) = (&self.east[a..b], &self.east[a - 1..b - 1]);
            let (tn, ts) = (&self.north[a..b], &self.north[a - s..b - s]);
            let (d, m, r) = (&self.diagonal[a..b], &self.smooth[a..b], &self.rhs[a..b]);
            let o = &mut self.other[a..b];
            for k in 0..n {
                let residual =
                    r[k] - d[k] * xc[k] + te[k] * xe[k] + tw[k] * xw[k] + tn[k] * xn[k] + ts[k] * xs[k];
                o[k] = xc[k] + m[k] * residual;
            }
        }
        core::mem::swap(&mut self.x, &mut self.other);
    }

    /// First sweep from zero: one product.
    fn sweep_from_zero(&mut self) {
        for ((x, m), r) in self.x.iter_mut().zip(&self.smooth).zip(&self.rhs) {
            *x = m * r;
        }
    }

    fn finish_diagonal(&mut self) {
        for (m, d) in self.smooth.iter_mut().zip(&self.diagonal) {
            *m = if *d > 0.0 { DAMPING / d } else { 0.0 };
        }
    }
}

/// The system and its solver.
#[derive(Debug, Clone)]
pub(crate) struct System {
    levels: Vec<Level>,
    residual: Vec<f64>,
    direction: Vec<f64>,
    product: Vec<f64>,
}

impl System {
    /// Room for a grid.
    pub(crate) fn new(nx: usize, ny: usize) -> Self {
        let mut levels = vec![Level::new(nx, ny)];
        let (mut cx, mut cy) = (nx, ny);
        while cx.max(cy) > 3 {
            cx = cx.div_ceil(2);
            cy = cy.div_ceil(2);
            levels.push(Level::new(cx, cy));
        }
        let zero = vec![0.0; (nx + 2) * (ny + 2)];
        Self { levels, residual: zero.clone(), direction: zero.clone(), product: zero }
    }

    /// Sets the links: `east`, `north` and the links to where the pressure is zero, all with a rim.
    pub(crate) fn set(&mut self, east: &[f64], north: &[f64], open: &[f64], live: &[bool]) {
        let fine = &mut self.levels[0];
        fine.east.copy_from_slice(east);
        fine.north.copy_from_slice(north);
        let s = fine.stride;
        for row in 1..=fine.ny {
            for k in row * s + 1..row * s + 1 + fine.nx {
                fine.diagonal[k] = if live[k] {
                    (open[k] + east[k] + east[k - 1] + north[k] + north[k - s]).max(f64::MIN_POSITIVE)
                } else {
                    0.0
                };
            }
        }
        fine.finish_diagonal();
        for idx in 1..self.levels.len() {
            let (left, right) = self.levels.split_at_mut(idx);
            coarsen(&left[idx - 1], &mut right[0]);
        }
    }

    /// Solves for a right-hand side, from the values in `x`; returns the steps it took.
    pub(crate) fn solve(&mut self, rhs: &[f64], x: &mut [f64], tolerance: f64) -> usize {
        let fine = &self.levels[0];
        for (x, d) in x.iter_mut().zip(&fine.diagonal) {
            if *d == 0.0 {
                *x = 0.0;
            }
        }
        fine.apply(x, &mut self.product);
        // The start keeps its shape, its size is chosen best: while a film thins the pressure mostly grows.
        let curvature = dot(x, &self.product);
        if curvature > 0.0 {
            let size = dot(x, rhs) / curvature;
            for (x, p) in x.iter_mut().zip(&mut self.product) {
                *x *= size;
                *p *= size;
            }
        }
        let mut norm_rhs = 0.0;
        let mut norm = 0.0;
        let cells = rhs.iter().zip(&fine.diagonal).zip(&self.product).zip(&mut self.residual);
        for (((rhs, diagonal), product), residual) in cells {
            if *diagonal > 0.0 {
                let r = rhs - product;
                *residual = r;
                norm += r * r;
                norm_rhs += rhs * rhs;
            } else {
                *residual = 0.0;
            }
        }
        let goal = tolerance * tolerance * norm_rhs;
        let mut rho = 0.0;
        for count in 0..200 {
            if norm <= goal || !norm.is_finite() {
                return count;
            }
            self.levels[0].rhs.copy_from_slice(&self.residual);
            self.cycle(0);
            let z = &self.levels[0].x;
            let rho_new = dot(&self.residual, z);
            let beta = if count == 0 { 0.0 } else { rho_new / rho };
            rho = rho_new;
            for (d, z) in self.direction.iter_mut().zip(z) {
                *d = z + beta * *d;
            }
            self.levels[0].apply(&self.direction, &mut self.product);
            let curvature = dot(&self.direction, &self.product);
            if curvature <= 0.0 || rho == 0.0 {
                return count;
            }
            let alpha = rho / curvature;
            norm = 0.0;
            let cells = x.iter_mut().zip(&self.direction).zip(&mut self.residual).zip(&self.product);
            for (((x, direction), residual), product) in cells {
                *x += alpha * direction;
                let r = *residual - alpha * product;
                *residual = r;
                norm += r * r;
            }
        }
        200
    }

    /// One symmetric V-cycle on a level, its `rhs` given, the answer in its `x`.
    fn cycle(&mut self, idx: usize) {
        let last = idx + 1 == self.levels.len();
        self.levels[idx].sweep_from_zero();
        if last {
            for _ in 0..12 {
                self.levels[idx].sweep();
            }
            return;
        }
        self.levels[idx].sweep();
        let (left, right) = self.levels.split_at_mut(idx + 1);
        restrict(&mut left[idx], &mut right[0]);
        self.cycle(idx + 1);
        let (left, right) = self.levels.split_at_mut(idx + 1);
        prolong(&right[0], &mut left[idx]);
        self.levels[idx].sweep();
        self.levels[idx].sweep();
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    // Four running sums keep the processor busy; the order is fixed, so the result is too.
    let mut sums = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a4.zip(b4) {
        for k in 0..4 {
            sums[k] += a[k] * b[k];
        }
    }
    sums.iter().sum::<f64>() + rest
}

/// Links of the coarse grid: those across each border of a two by two block, halved, because the way
/// between centres doubles.
fn coarsen(fine: &Level, coarse: &mut Level) {
    let (fs, cs) = (fine.stride, coarse.stride);
    coarse.east.fill(0.0);
    coarse.north.fill(0.0);
    coarse.diagonal.fill(0.0);
    for row in 0..coarse.ny {
        for column in 0..coarse.nx {
            let k = (row + 1) * cs + column + 1;
            let (mut east, mut north, mut open) = (0.0, 0.0, 0.0);
            for (dy, dx) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                let (y, x) = (2 * row + dy, 2 * column + dx);
                if x >= fine.nx || y >= fine.ny {
                    continue;
                }
                let f = (y + 1) * fs + x + 1;
                open +=
                    fine.diagonal[f] - fine.east[f] - fine.east[f - 1] - fine.north[f] - fine.north[f - fs];
                if dx == 1 {
                    east += fine.east[f];
                }
                if dy == 1 {
                    north += fine.north[f];
                }
            }
            coarse.east[k] = 0.5 * east;
            coarse.north[k] = 0.5 * north;
            coarse.diagonal[k] = 0.5 * open.max(0.0);
        }
    }
    for row in 1..=coarse.ny {
        for k in row * cs + 1..row * cs + 1 + coarse.nx {
            coarse.diagonal[k] +=
                coarse.east[k] + coarse.east[k - 1] + coarse.north[k] + coarse.north[k - cs];
        }
    }
    coarse.finish_diagonal();
}

fn restrict(fine: &mut Level, coarse: &mut Level) {
    let s = fine.stride;
    let mut out = core::mem::take(&mut fine.other);
    fine.apply(&fine.x, &mut out);
    for row in 0..coarse.ny {
        let k0 = (row + 1) * coarse.stride + 1;
        for column in 0..coarse.nx {
            let f = (2 * row + 1) * s + 2 * column + 1;
            // The rim and dead cells hold zeros in both arrays' live parts.
            let mut sum = fine.rhs[f] - out[f];
            if 2 * column + 1 < fine.nx {
                sum += fine.rhs[f + 1] - out[f + 1];
            }
            if 2 * row + 1 < fine.ny {
                sum += fine.rhs[f + s] - out[f + s];
                if 2 * column + 1 < fine.nx {
                    sum += fine.rhs[f + s + 1] - out[f + s + 1];
                }
            }
            coarse.rhs[k0 + column] = sum;
        }
    }
    fine.other = out;
}

fn prolong(coarse: &Level, fine: &mut Level) {
    let s = fine.stride;
    for row in 0..fine.ny {
        let c0 = (row / 2 + 1) * coarse.stride + 1;
        let f0 = (row + 1) * s + 1;
        for column in 0..fine.nx {
            if fine.diagonal[f0 + column] > 0.0 {
                fine.x[f0 + column] += coarse.x[c0 + column / 2];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::System;

    #[test]
    fn square_film_converges_to_the_textbook_mean_at_second_order() {
        // Poisson on the unit square, zero on the rim: the mean of the solution of -lap u = 1 is
        // 0.0351442537 (torsion of a square bar: J = 0.1405770 a^4 = 4 x mean; e.g. Timoshenko &
        // Goodier, "Theory of Elasticity", table of torsion constants: k1 = 0.1406).
        let error = |n: usize| mean_of_square(n) / 0.035_144_253_7 - 1.0;
        let (coarse, fine) = (error(64), error(128));
        assert!(fine.abs() < 5e-4, "{fine}");
        assert!((coarse / fine - 4.0).abs() < 0.4, "{coarse} {fine}");
    }

    fn mean_of_square(n: usize) -> f64 {
        let count = (n + 2) * (n + 2);
        let (mut east, mut north, mut open) = (vec![0.0; count], vec![0.0; count], vec![0.0; count]);
        let mut live = vec![false; count];
        let mut rhs = vec![0.0; count];
        for y in 1..=n {
            for x in 1..=n {
                let k = y * (n + 2) + x;
                live[k] = true;
                rhs[k] = 1.0 / (n * n) as f64;
                if x < n {
                    east[k] = 1.0;
                }
                if y < n {
                    north[k] = 1.0;
                }
                open[k] = 2.0
                    * f64::from(u8::from(x == 1) + u8::from(x == n) + u8::from(y == 1) + u8::from(y == n));
            }
        }
        let mut system = System::new(n, n);
        system.set(&east, &north, &open, &live);
        let mut x = vec![0.0; count];
        let steps = system.solve(&rhs, &mut x, 1e-9);
        let mean = x.iter().sum::<f64>() / (n * n) as f64;
        assert!(steps < 25, "{steps} steps");
        mean
    }
}
