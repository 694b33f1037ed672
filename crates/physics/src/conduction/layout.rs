//! Where a cell stands in the solver's arrays.

/// Order of cells: rows of y slowest; in each the columns of one colour, then those of the other, as on a
/// chessboard; in each colour z, then x. All neighbours of a column then stand in the other colour at the same place,
/// but one along x, which stands beside it: what is done to one colour runs over memory without gaps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Layout {
    pub(crate) nx: usize,
    pub(crate) ny: usize,
    pub(crate) nz: usize,
    /// Columns of one colour in a row; one of them may be nothing where the number of columns is odd.
    pub(crate) half: usize,
}

impl Layout {
    pub(crate) const fn new(nx: usize, ny: usize, nz: usize) -> Self {
        Self { nx, ny, nz, half: nx.div_ceil(2) }
    }

    /// Places of one colour in one row of y.
    pub(crate) const fn part(&self) -> usize {
        self.nz * self.half
    }

    /// Places of one row of y.
    pub(crate) const fn slab(&self) -> usize {
        2 * self.part()
    }

    /// Places in all.
    pub(crate) const fn places(&self) -> usize {
        self.ny * self.slab()
    }

    /// Place of a cell within its row of y.
    pub(crate) const fn in_slab(&self, x: usize, y: usize, z: usize) -> usize {
        ((x + y) % 2) * self.part() + z * self.half + x / 2
    }

    /// Whether the columns of a colour stand at even or at odd x in a row: 0 or 1.
    pub(crate) const fn side(y: usize, colour: usize) -> usize {
        (y + colour) % 2
    }

    /// Layout of the next coarser level: two by two columns are one.
    pub(crate) const fn coarser(&self) -> Self {
        Self::new(self.nx.div_ceil(2), self.ny.div_ceil(2), self.nz)
    }

    /// One row of y in the order in which people read: z, then x.
    pub(crate) fn read_slab<T: Copy>(&self, y: usize, slab: &[T], out: &mut [T]) {
        for (z, out) in out.chunks_mut(self.nx).enumerate() {
            for side in 0..2 {
                let from = Self::side(y, side) * self.part() + z * self.half;
                for (out, value) in out.iter_mut().skip(side).step_by(2).zip(&slab[from..from + self.half]) {
                    *out = *value;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Layout;

    #[test]
    fn every_cell_is_read_from_its_place() {
        for nx in [1, 4, 5] {
            let layout = Layout::new(nx, 2, 3);
            for y in 0..2 {
                let (mut slab, mut back) = (vec![0; layout.slab()], vec![0; nx * 3]);
                for cell in 0..nx * 3 {
                    slab[layout.in_slab(cell % nx, y, cell / nx)] = cell;
                }
                layout.read_slab(y, &slab, &mut back);
                assert_eq!(back, (0..nx * 3).collect::<Vec<_>>());
            }
        }
    }
}
