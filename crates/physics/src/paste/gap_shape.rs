//! The gap between lid and base when they just touch: neither is perfectly flat.

/// Where the faces are apart although they touch: metres over the lid's outline, zero or more.
#[derive(Debug, Clone, PartialEq)]
pub enum GapShape {
    /// Both faces flat.
    Flat,
    /// Lid or base arched: apart in the middle of the edges by `edge_m` (crown in the middle, positive) or in
    /// the centre (negative: hollow in the middle), a paraboloid; twice as much in the corners.
    Bowed {
        /// Height of the arch between centre and middle of an edge.
        edge_m: f64,
    },
    /// One face twisted: opposite corners up by `corner_m`, the others down.
    Twisted {
        /// Height of the corners.
        corner_m: f64,
    },
    /// Measured heights, rows from the lower edge, evenly spread over the outline, interpolated between.
    Map {
        /// Points in a row.
        columns: usize,
        /// Heights, row by row.
        heights_m: Vec<f64>,
    },
}

impl GapShape {
    /// Height at a place, both coordinates from -1 to 1 over the outline; not yet shifted to touch.
    pub(crate) fn height_m(&self, x: f64, y: f64) -> f64 {
        match self {
            Self::Flat => 0.0,
            Self::Bowed { edge_m } => edge_m * (x * x + y * y),
            Self::Twisted { corner_m } => corner_m * x * y,
            Self::Map { columns, heights_m } => {
                let rows = heights_m.len() / (*columns).max(1);
                let (u, i) = place(x, *columns);
                let (v, j) = place(y, rows);
                let at = |i: usize, j: usize| {
                    let (i, j) = (i.min(columns.saturating_sub(1)), j.min(rows.saturating_sub(1)));
                    heights_m.get(j * columns + i).copied().unwrap_or(0.0)
                };
                (at(i, j) * (1.0 - u) + at(i + 1, j) * u) * (1.0 - v)
                    + (at(i, j + 1) * (1.0 - u) + at(i + 1, j + 1) * u) * v
            }
        }
    }

    /// Whether left and right, and front and back, are alike.
    pub(crate) fn is_symmetric(&self) -> bool {
        matches!(self, Self::Flat | Self::Bowed { .. })
    }

    /// Whether the numbers mean anything.
    pub(crate) fn is_sound(&self) -> bool {
        match self {
            Self::Flat => true,
            Self::Bowed { edge_m: height } | Self::Twisted { corner_m: height } => height.abs() < 1e-2,
            Self::Map { columns, heights_m } => {
                *columns > 0
                    && !heights_m.is_empty()
                    && heights_m.len() % columns == 0
                    && heights_m.iter().all(|h| h.abs() < 1e-2)
            }
        }
    }
}

/// Share and index of a coordinate among `count` even points from -1 to 1.
fn place(x: f64, count: usize) -> (f64, usize) {
    let along = ((x + 1.0) / 2.0 * count.saturating_sub(1) as f64).max(0.0);
    let idx = (along as usize).min(count.saturating_sub(2));
    (along - idx as f64, idx)
}
