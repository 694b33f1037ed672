//! One grid of the pressure's hierarchy, its cells by colour.

/// Cells of a grid, and where those of one colour stand: row by row, `half` in each, with a row and a cell of rim before
/// and after in arrays that neighbours are read from.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Shape {
    pub(crate) nx: usize,
    pub(crate) ny: usize,
    pub(crate) half: usize,
}

impl Shape {
    pub(crate) const fn new(nx: usize, ny: usize) -> Self {
        Self { nx, ny, half: nx.div_ceil(2) }
    }

    /// Places of one colour.
    pub(crate) const fn part(&self) -> usize {
        self.ny * self.half
    }

    /// The same with the rim.
    pub(crate) const fn padded(&self) -> usize {
        (self.ny + 2) * self.half + 2
    }

    /// Where a row begins in an array with a rim.
    pub(crate) const fn at(&self, y: usize) -> usize {
        (y + 1) * self.half + 1
    }

    /// Where the far neighbours of a colour's row begin: the cells of the other colour that do not stand at the same
    /// place. The outermost cell has none; its link is zero.
    pub(crate) const fn far(&self, y: usize, colour: usize) -> usize {
        if (y + colour).is_multiple_of(2) { self.at(y) - 1 } else { self.at(y) + 1 }
    }

    pub(crate) const fn coarser(&self) -> Self {
        Self::new(self.nx.div_ceil(2), self.ny.div_ceil(2))
    }
}

/// What one colour's cells have. In single precision: the cycle is only a start for the next direction, and the
/// operator is used as it is.
#[derive(Debug, Clone, Default)]
pub(crate) struct Colour {
    /// Link to the cell beside it that stands at the same place of the other colour.
    pub(crate) near: Vec<f32>,
    /// Link to the other one beside it.
    pub(crate) far: Vec<f32>,
    /// Link to the cell of the row before.
    pub(crate) before: Vec<f32>,
    /// Link to that of the row after.
    pub(crate) after: Vec<f32>,
    /// Link to where the pressure is zero.
    pub(crate) open: Vec<f32>,
    /// Inverse sum of all links; 0 in a dead cell.
    pub(crate) inverse: Vec<f32>,
    pub(crate) rhs: Vec<f32>,
    /// Answer, with a rim.
    pub(crate) x: Vec<f32>,
}

/// One grid of the hierarchy.
#[derive(Debug, Clone, Default)]
pub(crate) struct Level {
    pub(crate) shape: Shape,
    /// Link from a cell to the next in x, row by row, the last of a row zero or outside.
    pub(crate) east: Vec<f32>,
    /// Link from a cell to the next in y.
    pub(crate) north: Vec<f32>,
    /// Link to where the pressure is zero.
    pub(crate) open: Vec<f32>,
    pub(crate) colours: [Colour; 2],
    /// Room for one row.
    row: Vec<f32>,
}

impl Level {
    /// Sorts the links by colour.
    pub(crate) fn finish(&mut self) {
        let Shape { nx, ny, half } = self.shape;
        let (part, padded) = (self.shape.part(), self.shape.padded());
        self.row.clear();
        self.row.resize(half, 0.0);
        for colour in &mut self.colours {
            let Colour { near, far, before, after, open, inverse, rhs, x } = colour;
            for values in [near, far, before, after, open, inverse, rhs] {
                values.clear();
                values.resize(part, 0.0);
            }
            x.clear();
            x.resize(padded, 0.0);
        }
        for y in 0..ny {
            for x in 0..nx {
                let (at, from) = (y * half + x / 2, y * nx + x);
                let colour = &mut self.colours[(x + y) % 2];
                let west = if x > 0 { self.east[from - 1] } else { 0.0 };
                let east = if x + 1 < nx { self.east[from] } else { 0.0 };
                let before = if y > 0 { self.north[from - nx] } else { 0.0 };
                let after = if y + 1 < ny { self.north[from] } else { 0.0 };
                (colour.near[at], colour.far[at]) = if x % 2 == 0 { (east, west) } else { (west, east) };
                (colour.before[at], colour.after[at]) = (before, after);
                colour.open[at] = self.open[from];
                let sum = self.open[from] + west + east + before + after;
                colour.inverse[at] = if sum > 0.0 { 1.0 / sum } else { 0.0 };
            }
        }
    }

    /// Links of the coarse grid: those across each border of a two by two block, halved, because the way
    /// between centres doubles.
    pub(crate) fn coarsen(&mut self, fine: &Self) {
        self.shape = fine.shape.coarser();
        let (nx, ny, fx) = (self.shape.nx, self.shape.ny, fine.shape.nx);
        for values in [&mut self.east, &mut self.north, &mut self.open] {
            values.clear();
            values.resize(nx * ny, 0.0);
        }
        for (from, y) in (0..fine.shape.ny).map(|y| (y * fx, y)) {
            for x in 0..fx {
                let to = (y / 2) * nx + x / 2;
                self.open[to] += 0.5 * fine.open[from + x];
                if x % 2 == 1 {
                    self.east[to] += 0.5 * fine.east[from + x];
                }
                if y % 2 == 1 {
                    self.north[to] += 0.5 * fine.north[from + x];
                }
            }
        }
        self.finish();
    }

    /// Both colours from nothing.
    pub(crate) fn down(&mut self) {
        let shape = self.shape;
        let [first, second] = &mut self.colours;
        let cells = first.x[shape.at(0)..].iter_mut().zip(&first.inverse).zip(&first.rhs);
        for ((x, inverse), rhs) in cells {
            *x = inverse * rhs;
        }
        relax(&shape, second, 1, &first.x);
    }

    /// What is left of the right side, summed over two by two cells. The second colour was solved last and the first
    /// before it, so all that is left is what the second brings into the first.
    pub(crate) fn restrict(&mut self, coarse: &mut Self) {
        let (shape, next) = (self.shape, coarse.shape);
        let [first, second] = &self.colours;
        for y in 0..next.ny {
            self.row.fill(0.0);
            for fine_y in (2 * y)..(2 * y + 2).min(shape.ny) {
                let from = fine_y * shape.half;
                add_brought(first, from, beside(&shape, fine_y, 0, &second.x), &mut self.row);
            }
            for side in 0..2 {
                let rhs = &mut coarse.colours[(y + side) % 2].rhs[y * next.half..][..next.half];
                for (rhs, left) in rhs.iter_mut().zip(self.row.iter().skip(side).step_by(2)) {
                    *rhs = *left;
                }
            }
        }
    }

    /// The coarse answer is added, then both colours are solved, the second one first.
    pub(crate) fn up(&mut self, coarse: &Self) {
        let (shape, next) = (self.shape, coarse.shape);
        let [first, second] = &mut self.colours;
        for y in 0..shape.ny {
            let row = &mut first.x[shape.at(y)..][..shape.half];
            for side in 0..2 {
                let from = &coarse.colours[(y / 2 + side) % 2].x[next.at(y / 2)..][..next.half];
                for (x, add) in row.iter_mut().skip(side).step_by(2).zip(from) {
                    *x += add;
                }
            }
        }
        relax(&shape, second, 1, &first.x);
        relax(&shape, first, 0, &second.x);
    }
}

/// The other colour's cells around a row.
fn beside<'a>(shape: &Shape, y: usize, colour: usize, other: &'a [f32]) -> [&'a [f32]; 4] {
    let (at, half) = (shape.at(y), shape.half);
    [at, shape.far(y, colour), at - half, at + half].map(|from| &other[from..from + half])
}

/// Solves each cell of one colour, the other as it is.
fn relax(shape: &Shape, own: &mut Colour, colour: usize, other: &[f32]) {
    for y in 0..shape.ny {
        let mut x = core::mem::take(&mut own.x);
        relax_row(own, y * shape.half, beside(shape, y, colour, other), &mut x[shape.at(y)..][..shape.half]);
        own.x = x;
    }
}

#[inline(never)]
fn relax_row(links: &Colour, from: usize, [near, far, before, after]: [&[f32]; 4], x: &mut [f32]) {
    let n = x.len();
    let (near, far, before, after) = (&near[..n], &far[..n], &before[..n], &after[..n]);
    let (g_near, g_far) = (&links.near[from..][..n], &links.far[from..][..n]);
    let (g_before, g_after) = (&links.before[from..][..n], &links.after[from..][..n]);
    let (rhs, inverse) = (&links.rhs[from..][..n], &links.inverse[from..][..n]);
    for i in 0..n {
        let brought =
            g_near[i] * near[i] + g_far[i] * far[i] + g_before[i] * before[i] + g_after[i] * after[i];
        x[i] = inverse[i] * (rhs[i] + brought);
    }
}

#[inline(never)]
fn add_brought(links: &Colour, from: usize, [near, far, before, after]: [&[f32]; 4], out: &mut [f32]) {
    let n = out.len();
    let (near, far, before, after) = (&near[..n], &far[..n], &before[..n], &after[..n]);
    let (g_near, g_far) = (&links.near[from..][..n], &links.far[from..][..n]);
    let (g_before, g_after) = (&links.before[from..][..n], &links.after[from..][..n]);
    for i in 0..n {
        out[i] += g_near[i] * near[i] + g_far[i] * far[i] + g_before[i] * before[i] + g_after[i] * after[i];
    }
}
