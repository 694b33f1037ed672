//! Cells of a stack: lines through all edges.

use crate::conduction::stack::{ConductionError, Stack};

/// Wanted number of cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Resolution {
    /// Along x.
    pub x: usize,
    /// Along y.
    pub y: usize,
    /// Through all layers.
    pub z: usize,
}

/// Lines of the grid and the layer of each row of cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Lines along x, one more than cells.
    pub x_m: Vec<f64>,
    /// Lines along y.
    pub y_m: Vec<f64>,
    /// Lines along z, zero at the die's lower face.
    pub z_m: Vec<f64>,
    /// Layer of each row of cells through the stack.
    pub layer_of: Vec<usize>,
}

/// Lines through all edges, about `wanted` cells between them, at least one in each gap.
fn lines(mut edges: Vec<f64>, wanted: usize) -> Vec<f64> {
    edges.sort_by(f64::total_cmp);
    let span = edges.last().copied().unwrap_or(1.0) - edges.first().copied().unwrap_or(0.0);
    edges.dedup_by(|a, b| (*a - *b).abs() < 1e-9 * span);
    let gaps: Vec<f64> = edges.windows(2).map(|pair| pair[1] - pair[0]).collect();
    // Cells are dealt one by one to the gap whose cells are widest.
    let mut counts = vec![1_usize; gaps.len()];
    while counts.iter().sum::<usize>() < wanted {
        let widest = (0..gaps.len())
            .max_by(|a, b| (gaps[*a] / counts[*a] as f64).total_cmp(&(gaps[*b] / counts[*b] as f64)));
        let Some(widest) = widest else { break };
        counts[widest] += 1;
    }
    let mut out = vec![edges[0]];
    for (place, count) in counts.iter().enumerate() {
        for step in 1..=*count {
            out.push(edges[place] + gaps[place] * step as f64 / *count as f64);
        }
    }
    out
}

impl Grid {
    /// A grid for a stack.
    ///
    /// # Errors
    /// Fewer than two cells along a side, or more than sixteen million in all.
    pub fn new(stack: &Stack, wanted: Resolution) -> Result<Self, ConductionError> {
        let cells = wanted.x * wanted.y * wanted.z;
        if wanted.x < 2 || wanted.y < 2 || wanted.z < stack.layers.len() || cells > 1 << 24 {
            return Err(ConductionError::Figure {
                what: "cells".to_owned(),
                found: cells as f64,
                expected: "at least 2 by 2 and one for each layer, at most 16 million",
            });
        }
        let edges = |of: fn((f64, f64)) -> [f64; 2],
                     layer: fn(&crate::conduction::stack::Layer) -> (f64, f64),
                     source: fn(&crate::conduction::stack::Source) -> (f64, f64)| {
            stack
                .layers
                .iter()
                .map(layer)
                .chain(stack.sources.iter().map(source))
                .flat_map(of)
                .collect::<Vec<f64>>()
        };
        let both = |(from, to): (f64, f64)| [from, to];
        let x_m = lines(edges(both, |layer| layer.x_m, |source| source.x_m), wanted.x);
        let y_m = lines(edges(both, |layer| layer.y_m, |source| source.y_m), wanted.y);
        // Rows are dealt by the root of the thickness: thin layers get more than their share.
        let weights: Vec<f64> = stack.layers.iter().map(|layer| layer.thickness_m.sqrt()).collect();
        let mut counts = vec![1_usize; weights.len()];
        while counts.iter().sum::<usize>() < wanted.z {
            let neediest = (0..weights.len()).max_by(|a, b| {
                (weights[*a] / counts[*a] as f64).total_cmp(&(weights[*b] / counts[*b] as f64))
            });
            let Some(neediest) = neediest else { break };
            counts[neediest] += 1;
        }
        let (mut z_m, mut layer_of) = (vec![0.0], Vec::new());
        for (place, (layer, count)) in stack.layers.iter().zip(&counts).enumerate() {
            let from = z_m.last().copied().unwrap_or(0.0);
            for step in 1..=*count {
                z_m.push(from + layer.thickness_m * step as f64 / *count as f64);
                layer_of.push(place);
            }
        }
        Ok(Self { x_m, y_m, z_m, layer_of })
    }

    /// Cells along x, y and z.
    pub fn cells(&self) -> (usize, usize, usize) {
        (self.x_m.len() - 1, self.y_m.len() - 1, self.z_m.len() - 1)
    }

    /// Place of a cell in arrays: y slowest, then z, then x.
    pub(crate) fn at(&self, x: usize, y: usize, z: usize) -> usize {
        let (nx, _, nz) = self.cells();
        (y * nz + z) * nx + x
    }
}
