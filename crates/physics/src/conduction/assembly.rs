//! From a stack and its grid to the equations: conductances, heat, capacities.

use crate::conduction::grid::Grid;
use crate::conduction::layout::Layout;
use crate::conduction::level::{Factors, Level, Plane};
use crate::conduction::outline::Outline;
use crate::conduction::stack::{Interface, Stack};

/// Heat that is made, in watts a cell, in the rows of cells where there is some.
#[derive(Debug, Clone)]
pub(crate) struct Heat {
    layout: Layout,
    /// Row through the stack, and its cells as an array with one z.
    planes: Vec<(usize, Vec<f64>)>,
}

impl Heat {
    /// Adds the heat of one row of y, times a factor.
    pub(crate) fn add(&self, y: usize, times: f64, out: &mut [f64]) {
        let (part, half) = (self.layout.part(), self.layout.half);
        for (z, plane) in &self.planes {
            for colour in 0..2 {
                let out = &mut out[colour * part + z * half..][..half];
                for (out, heat) in out.iter_mut().zip(&plane[(2 * y + colour) * half..][..half]) {
                    *out += times * heat;
                }
            }
        }
    }

    /// All of it.
    pub(crate) fn made_w(&self) -> f64 {
        self.planes.iter().flat_map(|(_, plane)| plane).sum()
    }

    /// Length of the vector of it.
    pub(crate) fn norm(&self) -> f64 {
        self.planes.iter().flat_map(|(_, plane)| plane).map(|heat| heat * heat).sum::<f64>().sqrt()
    }
}

/// Ranges of lines between which a layer lies.
fn holds(lines: &[f64], range: (f64, f64)) -> Vec<bool> {
    lines.windows(2).map(|pair| is_in(range, 0.5 * (pair[0] + pair[1]))).collect()
}

fn is_in(range: (f64, f64), value: f64) -> bool {
    range.0 < value && value < range.1
}

fn widths(lines: &[f64]) -> Vec<f64> {
    lines.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// The widths of cells that are there, and the inverse ways between neighbours that are.
fn outline(widths: &[f64], holds: &[bool]) -> Outline {
    let wide = widths.iter().zip(holds).map(|(width, holds)| if *holds { *width } else { 0.0 }).collect();
    let reach = (0..widths.len()).map(|x| {
        let both = holds[x] && holds.get(x + 1) == Some(&true);
        if both { 2.0 / (widths[x] + widths[x + 1]) } else { 0.0 }
    });
    Outline::new(wide, reach.collect())
}

/// Where each layer is: cells along x, and along y.
#[derive(Debug)]
pub(crate) struct Extents {
    pub(crate) x: Vec<Vec<bool>>,
    pub(crate) y: Vec<Vec<bool>>,
}

impl Extents {
    pub(crate) fn new(grid: &Grid, stack: &Stack) -> Self {
        Self {
            x: stack.layers.iter().map(|layer| holds(&grid.x_m, layer.x_m)).collect(),
            y: stack.layers.iter().map(|layer| holds(&grid.y_m, layer.y_m)).collect(),
        }
    }
}

/// The equations' operator, its columns not factored yet.
pub(crate) fn operator(grid: &Grid, stack: &Stack) -> Level {
    let (nx, ny, nz) = grid.cells();
    let (dx, dy, dz) = (widths(&grid.x_m), widths(&grid.y_m), widths(&grid.z_m));
    let extents = Extents::new(grid, stack);
    let mut outlines: Vec<Outline> = extents.x.iter().map(|holds| outline(&dx, holds)).collect();
    let over: Vec<usize> = (0..nz)
        .map(|z| {
            let below = grid.layer_of[z];
            let Some(above) = grid.layer_of.get(z + 1).filter(|above| **above != below) else { return below };
            let both: Vec<bool> =
                extents.x[below].iter().zip(&extents.x[*above]).map(|(a, b)| *a && *b).collect();
            outlines.push(outline(&dx, &both));
            outlines.len() - 1
        })
        .collect();
    let k = |z: usize, along: usize| stack.layers[grid.layer_of[z]].conductivity_w_mk[along];
    let film =
        |z: usize, film: f64| if film > 0.0 { 1.0 / (1.0 / film + 0.5 * dz[z] / k(z, 2)) } else { 0.0 };
    let way = |z: usize, between: f64| 0.5 * dz[z] / k(z, 2) + between + 0.5 * dz[z + 1] / k(z + 1, 2);
    let is_between = |z: usize| grid.layer_of[z] != grid.layer_of[z + 1];
    let mut factors = vec![Factors::default(); ny * nz];
    for (at, factors) in factors.iter_mut().enumerate() {
        let (y, z) = (at / nz, at % nz);
        let there = &extents.y[grid.layer_of[z]];
        if !there[y] {
            continue;
        }
        factors.along_x = (dy[y] * dz[z] * k(z, 0)) as f32;
        if there.get(y + 1) == Some(&true) {
            factors.along_y = (dz[z] * k(z, 1) * 2.0 / (dy[y] + dy[y + 1])) as f32;
        }
        if z + 1 < nz && extents.y[grid.layer_of[z + 1]][y] {
            let between = match &stack.layers[grid.layer_of[z]].above {
                Interface::Even(resistance) if is_between(z) => *resistance,
                _ => 0.0,
            };
            factors.along_z = (dy[y] / way(z, between)) as f32;
        }
        let mut ground = 0.0;
        if z + 1 == nz {
            ground += film(z, stack.top_film_w_m2k);
        }
        if z == 0 {
            ground += film(z, stack.bottom_film_w_m2k);
        }
        factors.ground = (dy[y] * ground) as f32;
    }
    let planes: Vec<Plane> = (0..nz)
        .map(|z| {
            let layer = &stack.layers[grid.layer_of[z]];
            let Interface::Map { columns, resistance_m2k_w } = &layer.above else { return None };
            if z + 1 == nz || !is_between(z) {
                return None;
            }
            let flat = Layout::new(nx, ny, 1);
            let mut plane = vec![0.0_f32; flat.places()];
            let (below, above) = (grid.layer_of[z], grid.layer_of[z + 1]);
            for y in (0..ny).filter(|y| extents.y[below][*y] && extents.y[above][*y]) {
                for x in (0..nx).filter(|x| extents.x[below][*x] && extents.x[above][*x]) {
                    let share = |lines: &[f64], i: usize, range: (f64, f64)| {
                        (0.5 * (lines[i] + lines[i + 1]) - range.0) / (range.1 - range.0)
                    };
                    let (u, v) = (share(&grid.x_m, x, layer.x_m), share(&grid.y_m, y, layer.y_m));
                    let between = at_map(*columns, resistance_m2k_w, u, v);
                    plane[y * flat.slab() + flat.in_slab(x, y, 0)] = (dx[x] * dy[y] / way(z, between)) as f32;
                }
            }
            Some(plane)
        })
        .collect();
    Level::new(Layout::new(nx, ny, nz), outlines, (grid.layer_of.clone(), over), factors, planes)
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

/// Heat of the sources.
pub(crate) fn heat(grid: &Grid, stack: &Stack) -> Heat {
    let (nx, ny, nz) = grid.cells();
    let (dx, dy) = (widths(&grid.x_m), widths(&grid.y_m));
    let flat = Layout::new(nx, ny, 1);
    let mut planes: Vec<(usize, Vec<f64>)> = Vec::new();
    for source in &stack.sources {
        let Some(z) = grid.layer_of.iter().position(|layer| *layer == source.layer) else { continue };
        let place = planes.iter().position(|(of, _)| *of == z).unwrap_or_else(|| {
            planes.push((z, vec![0.0; flat.places()]));
            planes.len() - 1
        });
        let plane = &mut planes[place].1;
        let area = (source.x_m.1 - source.x_m.0) * (source.y_m.1 - source.y_m.0);
        let (in_x, in_y) = (holds(&grid.x_m, source.x_m), holds(&grid.y_m, source.y_m));
        for y in (0..ny).filter(|y| in_y[*y]) {
            for x in (0..nx).filter(|x| in_x[*x]) {
                plane[y * flat.slab() + flat.in_slab(x, y, 0)] += source.power_w * dx[x] * dy[y] / area;
            }
        }
    }
    Heat { layout: Layout::new(nx, ny, nz), planes }
}

/// What a kelvin takes in each row of cells, in J/(K m): times the width of a cell along x it is the cell's. One figure
/// for each row, y slowest, from what a cubic metre of each layer takes.
pub(crate) fn capacity(grid: &Grid, stack: &Stack, of_layer_j_m3k: &[f64]) -> Vec<f64> {
    let (_, ny, nz) = grid.cells();
    let (dy, dz) = (widths(&grid.y_m), widths(&grid.z_m));
    let extents = Extents::new(grid, stack);
    let of = |y: usize, z: usize| {
        let layer = grid.layer_of[z];
        if extents.y[layer][y] { of_layer_j_m3k[layer] * dy[y] * dz[z] } else { 0.0 }
    };
    (0..ny * nz).map(|at| of(at / nz, at % nz)).collect()
}
