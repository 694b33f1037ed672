//! Cells of a stack, and the conductances between them.

use crate::conduction::level::Level;
use crate::conduction::stack::{ConductionError, Interface, Stack};

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

/// Value of a map at a share of its sides, straight between its points.
fn at_map(columns: usize, values: &[f64], u: f64, v: f64) -> f64 {
    let rows = values.len() / columns;
    let place = |share: f64, count: usize| {
        let along = share.clamp(0.0, 1.0) * (count - 1) as f64;
        let low = (along as usize).min(count.saturating_sub(2));
        (low, along - low as f64)
    };
    let ((i, a), (j, b)) = (place(u, columns), place(v, rows));
    let get = |i: usize, j: usize| values[j.min(rows - 1) * columns + i.min(columns - 1)];
    (get(i, j) * (1.0 - a) + get(i + 1, j) * a) * (1.0 - b)
        + (get(i, j + 1) * (1.0 - a) + get(i + 1, j + 1) * a) * b
}

/// Middle of a cell.
fn middle(lines: &[f64], i: usize) -> f64 {
    0.5 * (lines[i] + lines[i + 1])
}

fn is_in(range: (f64, f64), value: f64) -> bool {
    range.0 < value && value < range.1
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

    /// Whether a cell lies in its layer.
    fn holds(&self, stack: &Stack, x: usize, y: usize, z: usize) -> bool {
        let layer = &stack.layers[self.layer_of[z]];
        is_in(layer.x_m, middle(&self.x_m, x)) && is_in(layer.y_m, middle(&self.y_m, y))
    }

    /// Heat that one kelvin takes in each cell, in J/K, from what a cubic metre of each layer takes.
    pub(crate) fn capacity(&self, stack: &Stack, of_layer_j_m3k: &[f64]) -> Vec<f64> {
        let (nx, ny, nz) = self.cells();
        let mut out = vec![0.0; nx * ny * nz];
        let wide = |lines: &[f64], i: usize| lines[i + 1] - lines[i];
        for y in 0..ny {
            for z in 0..nz {
                for x in (0..nx).filter(|x| self.holds(stack, *x, y, z)) {
                    out[self.at(x, y, z)] = of_layer_j_m3k[self.layer_of[z]]
                        * wide(&self.x_m, x)
                        * wide(&self.y_m, y)
                        * wide(&self.z_m, z);
                }
            }
        }
        out
    }

    /// The system of equations and its right side.
    pub(crate) fn system(&self, stack: &Stack) -> (Level, Vec<f64>) {
        let (nx, ny, nz) = self.cells();
        let mut level = Level::empty(nx, ny, nz);
        let mut heat = vec![0.0; nx * ny * nz];
        let dx: Vec<f64> = self.x_m.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let dy: Vec<f64> = self.y_m.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let dz: Vec<f64> = self.z_m.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let holds = |x: usize, y: usize, z: usize| self.holds(stack, x, y, z);
        let k = |z: usize, along: usize| stack.layers[self.layer_of[z]].conductivity_w_mk[along];
        for y in 0..ny {
            for z in 0..nz {
                for x in 0..nx {
                    if !holds(x, y, z) {
                        continue;
                    }
                    let at = self.at(x, y, z);
                    if x + 1 < nx && holds(x + 1, y, z) {
                        level.gx[at] = (dy[y] * dz[z] * k(z, 0) / (0.5 * (dx[x] + dx[x + 1]))) as f32;
                    }
                    if y + 1 < ny && holds(x, y + 1, z) {
                        level.gy[at] = (dx[x] * dz[z] * k(z, 1) / (0.5 * (dy[y] + dy[y + 1]))) as f32;
                    }
                    let face = dx[x] * dy[y];
                    if z + 1 < nz && holds(x, y, z + 1) {
                        let between = if self.layer_of[z] == self.layer_of[z + 1] {
                            0.0
                        } else {
                            self.interface(stack, z, x, y)
                        };
                        let way = 0.5 * dz[z] / k(z, 2) + between + 0.5 * dz[z + 1] / k(z + 1, 2);
                        level.gz[at] = (face / way) as f32;
                    }
                    let out = |film: f64| {
                        if film > 0.0 { face / (1.0 / film + 0.5 * dz[z] / k(z, 2)) } else { 0.0 }
                    };
                    let mut sink = 0.0;
                    if z + 1 == nz {
                        sink += out(stack.top_film_w_m2k);
                    }
                    if z == 0 {
                        sink += out(stack.bottom_film_w_m2k);
                    }
                    level.sink[at] = sink as f32;
                }
            }
        }
        for source in &stack.sources {
            let Some(z) = self.layer_of.iter().position(|layer| *layer == source.layer) else { continue };
            let area = (source.x_m.1 - source.x_m.0) * (source.y_m.1 - source.y_m.0);
            for y in (0..ny).filter(|y| is_in(source.y_m, middle(&self.y_m, *y))) {
                for x in (0..nx).filter(|x| is_in(source.x_m, middle(&self.x_m, *x))) {
                    heat[self.at(x, y, z)] += source.power_w * dx[x] * dy[y] / area;
                }
            }
        }
        level.finish();
        (level, heat)
    }

    /// Resistance of unit area between the layers below and above a row's upper face.
    fn interface(&self, stack: &Stack, z: usize, x: usize, y: usize) -> f64 {
        let layer = &stack.layers[self.layer_of[z]];
        match &layer.above {
            Interface::Even(resistance) => *resistance,
            Interface::Map { columns, resistance_m2k_w } => {
                let share = |lines: &[f64], i: usize, range: (f64, f64)| {
                    (0.5 * (lines[i] + lines[i + 1]) - range.0) / (range.1 - range.0)
                };
                at_map(
                    *columns,
                    resistance_m2k_w,
                    share(&self.x_m, x, layer.x_m),
                    share(&self.y_m, y, layer.y_m),
                )
            }
        }
    }
}
