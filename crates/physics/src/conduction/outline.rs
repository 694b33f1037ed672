//! Which cells of a row along x a layer has, and how wide they are.

/// A row of cells along x as far as a layer has them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outline {
    /// Width of each cell; zero where the layer is not.
    wide: Vec<f64>,
    /// Inverse way from each cell's middle to that of the next; zero where one of them is nothing.
    reach: Vec<f64>,
    /// The same as columns of the two sides stand in arrays.
    pub(crate) sides: [Side; 2],
}

/// An outline at the columns of one side, even or odd.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Side {
    pub(crate) wide: Vec<f32>,
    /// Inverse way to the column of the other side at the same place.
    pub(crate) near: Vec<f32>,
    /// Inverse way to the column of the other side beside it: before it for even columns, after it for odd ones.
    pub(crate) far: Vec<f32>,
}

impl Outline {
    /// Cells of these widths, where they are; ways between those that follow each other.
    pub(crate) fn new(wide: Vec<f64>, reach: Vec<f64>) -> Self {
        let half = wide.len().div_ceil(2);
        let zero = || Side { wide: vec![0.0; half], near: vec![0.0; half], far: vec![0.0; half] };
        let mut sides = [zero(), zero()];
        for (x, (wide, reach)) in wide.iter().zip(&reach).enumerate() {
            let at = x / 2;
            sides[x % 2].wide[at] = *wide as f32;
            let reach = *reach as f32;
            if x % 2 == 0 {
                sides[0].near[at] = reach;
                sides[1].near[at] = reach;
            } else {
                sides[1].far[at] = reach;
                if let Some(next) = sides[0].far.get_mut(at + 1) {
                    *next = reach;
                }
            }
        }
        Self { wide, reach, sides }
    }

    /// Two cells are one. A way twice as long has half the conductance.
    pub(crate) fn coarser(&self) -> Self {
        let wide = self.wide.chunks(2).map(|pair| pair.iter().sum()).collect();
        let reach = self.reach.chunks(2).map(|pair| pair.get(1).map_or(0.0, |reach| 0.5 * reach)).collect();
        Self::new(wide, reach)
    }
}
