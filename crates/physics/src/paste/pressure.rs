//! The pressure in the wetted region: a symmetric five-point system, solved by conjugate gradients with
//! a multigrid cycle in front.
//!
//! Cells that are not full carry no pressure and take no part. Only the rectangle around the full cells is solved, its
//! cells by colour, as on a chessboard: all neighbours of one colour are of the other.

use core::ops::Range;

use crate::dot::dot;
use crate::paste::colours::{Colour, Level, Shape};

/// The system and its solver.
#[derive(Debug, Clone)]
pub(crate) struct System {
    /// Cells of a row with its rim.
    stride: usize,
    /// Rectangle that is solved, in cells of the arrays with a rim.
    rows: Range<usize>,
    columns: Range<usize>,
    /// Largest link: the levels hold links over it.
    unit: f64,
    levels: Vec<Level>,
    x: [Vec<f64>; 2],
    residual: [Vec<f64>; 2],
    direction: [Vec<f64>; 2],
    product: [Vec<f64>; 2],
}

impl System {
    /// Room for a grid.
    pub(crate) fn new(nx: usize, _ny: usize) -> Self {
        let none = || [Vec::new(), Vec::new()];
        Self {
            stride: nx + 2,
            rows: 0..0,
            columns: 0..0,
            unit: 1.0,
            levels: Vec::new(),
            x: none(),
            residual: none(),
            direction: none(),
            product: none(),
        }
    }

    fn shape(&self) -> Shape {
        Shape::new(self.columns.len(), self.rows.len())
    }

    /// Sets the links: `east`, `north` and the links to where the pressure is zero, all with a rim, and 0 where a cell
    /// is not live.
    pub(crate) fn set(&mut self, east: &[f64], north: &[f64], open: &[f64], live: &[bool]) {
        let stride = self.stride;
        let (mut rows, mut columns) = (0..0, 0..0);
        for (row, live) in live.chunks(stride).enumerate() {
            let Some(first) = live.iter().position(|live| *live) else { continue };
            let last = live.iter().rposition(|live| *live).unwrap_or(first);
            if rows.is_empty() {
                (rows, columns) = (row..row + 1, first..last + 1);
            }
            rows.end = row + 1;
            columns = columns.start.min(first)..columns.end.max(last + 1);
        }
        (self.rows, self.columns) = (rows, columns);
        let cells = || {
            self.rows.clone().flat_map(|row| self.columns.clone().map(move |column| row * stride + column))
        };
        let unit = cells().map(|k| east[k].max(north[k]).max(open[k])).fold(0.0, f64::max);
        self.unit = if unit > 0.0 { unit } else { 1.0 };
        let shape = self.shape();
        let mut count = 1;
        let mut next = shape;
        while next.nx.max(next.ny) > 1 {
            next = next.coarser();
            count += 1;
        }
        self.levels.resize_with(count, Level::default);
        let unit = self.unit;
        let of = |values: &[f64], out: &mut Vec<f32>| {
            out.clear();
            out.extend(cells().map(|k| (values[k] / unit) as f32));
        };
        let fine = &mut self.levels[0];
        fine.shape = shape;
        of(east, &mut fine.east);
        of(north, &mut fine.north);
        of(open, &mut fine.open);
        fine.finish();
        for idx in 1..count {
            let (left, right) = self.levels.split_at_mut(idx);
            right[0].coarsen(&left[idx - 1]);
        }
        for colour in 0..2 {
            for (values, size) in [
                (&mut self.x, shape.padded()),
                (&mut self.direction, shape.padded()),
                (&mut self.residual, shape.part()),
                (&mut self.product, shape.part()),
            ] {
                values[colour].clear();
                values[colour].resize(size, 0.0);
            }
        }
    }

    /// Solves for a right-hand side, from the values in `x`; returns the steps it took.
    pub(crate) fn solve(&mut self, rhs: &[f64], x: &mut [f64], tolerance: f64) -> usize {
        let shape = self.shape();
        if shape.part() == 0 {
            x.fill(0.0);
            return 0;
        }
        self.read(rhs, x);
        x.fill(0.0);
        let steps = self.conjugate(tolerance);
        let (rows, columns, stride) = (self.rows.clone(), self.columns.clone(), self.stride);
        for (y, row) in rows.enumerate() {
            let out = &mut x[row * stride + columns.start..][..columns.len()];
            for side in 0..2 {
                let from = &self.x[(y + side) % 2][shape.at(y)..][..shape.half];
                for (out, value) in out.iter_mut().skip(side).step_by(2).zip(from) {
                    *out = *value;
                }
            }
        }
        steps
    }

    /// Takes the right side as the residual, and the start.
    fn read(&mut self, rhs: &[f64], x: &[f64]) {
        let shape = self.shape();
        for (y, row) in self.rows.clone().enumerate() {
            let from = row * self.stride + self.columns.start;
            let cut = from..from + self.columns.len();
            for side in 0..2 {
                let colour = (y + side) % 2;
                let inverse = &self.levels[0].colours[colour].inverse[y * shape.half..];
                let starts = &mut self.x[colour][shape.at(y)..][..shape.half];
                let rights = &mut self.residual[colour][y * shape.half..][..shape.half];
                let values = x[cut.clone()].iter().zip(&rhs[cut.clone()]).skip(side).step_by(2);
                for (((start, right), (x, rhs)), inverse) in
                    starts.iter_mut().zip(rights).zip(values).zip(inverse)
                {
                    // A cell that is not live has neither.
                    let share = if *inverse > 0.0 { 1.0 } else { 0.0 };
                    *start = share * x;
                    *right = share * rhs / self.unit;
                }
            }
        }
    }

    fn conjugate(&mut self, tolerance: f64) -> usize {
        let goal = tolerance * tolerance * square(&self.residual);
        apply(&self.levels[0], &self.x, &mut self.product);
        // The start keeps its shape, its size is chosen best: while a film thins the pressure mostly grows.
        let shape = self.levels[0].shape;
        let curvature = across(&shape, &self.x, &self.product);
        if curvature > 0.0 {
            let size = across(&shape, &self.x, &self.residual) / curvature;
            for colour in 0..2 {
                self.x[colour].iter_mut().for_each(|x| *x *= size);
                for (residual, product) in self.residual[colour].iter_mut().zip(&self.product[colour]) {
                    *residual -= size * product;
                }
            }
        } else {
            self.x.iter_mut().for_each(|x| x.fill(0.0));
        }
        let mut norm = square(&self.residual);
        let mut rho = 0.0;
        for count in 0..200 {
            if norm <= goal || !norm.is_finite() {
                return count;
            }
            let scale = norm.sqrt();
            for (colour, residual) in self.levels[0].colours.iter_mut().zip(&self.residual) {
                for (rhs, residual) in colour.rhs.iter_mut().zip(residual) {
                    *rhs = (residual / scale) as f32;
                }
            }
            self.cycle(0);
            let z = &self.levels[0].colours;
            let rho_new = scale * (0..2).map(|c| dot_rows(&shape, &z[c], &self.residual[c])).sum::<f64>();
            let beta = if count == 0 { 0.0 } else { rho_new / rho };
            rho = rho_new;
            for (direction, z) in self.direction.iter_mut().zip(z) {
                for (direction, z) in direction.iter_mut().zip(&z.x) {
                    *direction = scale * f64::from(*z) + beta * *direction;
                }
            }
            apply(&self.levels[0], &self.direction, &mut self.product);
            let curvature = across(&shape, &self.direction, &self.product);
            if curvature <= 0.0 || rho == 0.0 {
                return count;
            }
            let alpha = rho / curvature;
            for colour in 0..2 {
                for (x, direction) in self.x[colour].iter_mut().zip(&self.direction[colour]) {
                    *x += alpha * direction;
                }
                for (residual, product) in self.residual[colour].iter_mut().zip(&self.product[colour]) {
                    *residual -= alpha * product;
                }
            }
            norm = square(&self.residual);
        }
        200
    }

    /// One symmetric cycle on a level, its right side given, the answer in its `x`.
    fn cycle(&mut self, idx: usize) {
        let is_last = idx + 1 == self.levels.len();
        let (left, right) = self.levels.split_at_mut(idx + 1);
        left[idx].down();
        if is_last {
            return;
        }
        left[idx].restrict(&mut right[0]);
        self.cycle(idx + 1);
        let (left, right) = self.levels.split_at_mut(idx + 1);
        left[idx].up(&right[0]);
    }
}

/// `out = A x`, by flows.
fn apply(level: &Level, x: &[Vec<f64>; 2], out: &mut [Vec<f64>; 2]) {
    let shape = level.shape;
    for colour in 0..2 {
        let links = &level.colours[colour];
        for y in 0..shape.ny {
            let (at, half) = (shape.at(y), shape.half);
            let far = shape.far(y, colour);
            let other = &x[1 - colour];
            let beside = [
                &other[at..][..half],
                &other[far..][..half],
                &other[at - half..][..half],
                &other[at + half..][..half],
            ];
            leaving(links, y * half, &x[colour][at..][..half], beside, &mut out[colour][y * half..][..half]);
        }
    }
}

#[inline(never)]
fn leaving(links: &Colour, from: usize, own: &[f64], beside: [&[f64]; 4], out: &mut [f64]) {
    let n = out.len();
    let own = &own[..n];
    let [near, far, before, after] = beside.map(|values| &values[..n]);
    let (g_near, g_far) = (&links.near[from..][..n], &links.far[from..][..n]);
    let (g_before, g_after, open) =
        (&links.before[from..][..n], &links.after[from..][..n], &links.open[from..][..n]);
    for i in 0..n {
        let here = own[i];
        out[i] = f64::from(open[i]) * here
            + f64::from(g_near[i]) * (here - near[i])
            + f64::from(g_far[i]) * (here - far[i])
            + f64::from(g_before[i]) * (here - before[i])
            + f64::from(g_after[i]) * (here - after[i]);
    }
}

fn square(values: &[Vec<f64>; 2]) -> f64 {
    values.iter().map(|values| dot(values, values)).sum()
}

/// Product of an array with a rim and one without.
fn across(shape: &Shape, padded: &[Vec<f64>; 2], values: &[Vec<f64>; 2]) -> f64 {
    padded
        .iter()
        .zip(values)
        .map(|(padded, values)| dot(&padded[shape.at(0)..][..values.len()], values))
        .sum()
}

fn dot_rows(shape: &Shape, colour: &Colour, values: &[f64]) -> f64 {
    dot(values, &colour.x[shape.at(0)..][..values.len()])
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
