//! A processor under its cooler as plates in a plane: cores on a die, lid and base as grids that conduct sideways, paste of a
//! thickness of its own at each place, fins, air in the case, and a board that takes some of the heat.
//!
//! Nothing of it is shared with what reads the log: that has five lumps in a row, and no sideways. The plates are marched by implicit steps
//! with a banded matrix that is factored once; fins, air and board store so much that they are marched explicitly.

use super::run::{Body, Heat};

/// Cells of lid and base along the cores and across them.
pub(crate) const ALONG: usize = 12;
pub(crate) const ACROSS: usize = 6;
/// The die's cells lie under the middle ones.
const DIE_ALONG: core::ops::Range<usize> = 3..9;
const DIE_ACROSS: core::ops::Range<usize> = 2..4;
const FINS: usize = 4;
const CELLS: usize = ALONG * ACROSS;
const DIE_CELLS: usize = (DIE_ALONG.end - DIE_ALONG.start) * (DIE_ACROSS.end - DIE_ACROSS.start);
/// Nodes of one column: lid, base, and die where there is one. All columns have room for a die, so that the matrix is plain.
const COLUMN: usize = 2 * ACROSS + 2;
const NODES: usize = ALONG * COLUMN;
/// From a node to its neighbour in the next column.
const BAND: usize = COLUMN;
const COPPER_W_MK: f64 = 385.0;

/// Sizes of the plates.
#[derive(Debug, Clone)]
pub(crate) struct Sizes {
    /// Die to lid under it, in K/W for all of the die.
    pub(crate) die_k_w: f64,
    pub(crate) die_j_k: f64,
    pub(crate) lid_m: (f64, f64),
    pub(crate) lid_thick_m: f64,
    pub(crate) lid_j_k: f64,
    /// Conductance of the paste at each cell, in W/K.
    pub(crate) paste_w_k: Vec<f64>,
    pub(crate) base_thick_m: f64,
    /// Base to fins, in K/W.
    pub(crate) metal_k_w: f64,
    pub(crate) cooler_j_k: f64,
    pub(crate) case_k_w: f64,
    pub(crate) case_j_k: f64,
    pub(crate) board_k_w: f64,
    /// Columns at one end of the die without cores, and those at the other.
    pub(crate) bare: (f64, f64),
    /// Places of the cores: from 0 to 1 along the die's part with cores, and the row of two, by their numbers; none where a core
    /// takes both rows.
    pub(crate) cores: Vec<(f64, f64, Option<usize>)>,
    /// Share of a core's power that is its own, about one, and how much its hot spot is warmer than its cell, in K/W.
    pub(crate) own: Vec<(f64, f64)>,
}

pub(crate) struct Plates {
    sizes: Sizes,
    /// Factored matrix: rows of the lower band, the diagonal last.
    lower: Vec<[f64; BAND + 1]>,
    stores_step: Vec<f64>,
    at: Vec<f64>,
    fins: [f64; FINS],
    root: f64,
    air: f64,
    board: f64,
    /// Share of each core on each cell of the die.
    weights: Vec<[f64; DIE_CELLS]>,
    core_w: Vec<f64>,
    step_s: f64,
    /// Heat to the board at the last step.
    lost_w: f64,
}

fn lid(x: usize, y: usize) -> usize {
    x * COLUMN + y
}

fn base(x: usize, y: usize) -> usize {
    x * COLUMN + ACROSS + y
}

fn die(x: usize, row: usize) -> usize {
    x * COLUMN + 2 * ACROSS + row
}

/// Every link between two nodes of the plates, in W/K.
fn links(sizes: &Sizes) -> Vec<(usize, usize, f64)> {
    let (long_m, wide_m) = (sizes.lid_m.0 / ALONG as f64, sizes.lid_m.1 / ACROSS as f64);
    let sideways =
        |thick_m: f64| (COPPER_W_MK * thick_m * wide_m / long_m, COPPER_W_MK * thick_m * long_m / wide_m);
    let (lid_along, lid_across) = sideways(sizes.lid_thick_m);
    let (base_along, base_across) = sideways(sizes.base_thick_m);
    // Half of each plate lies between its middle and its face.
    let through = |thick_m: f64| 0.5 * thick_m / (COPPER_W_MK * long_m * wide_m);
    let (half_lid, half_base) = (through(sizes.lid_thick_m), through(sizes.base_thick_m));
    let mut out = Vec::new();
    for x in 0..ALONG {
        for y in 0..ACROSS {
            let paste = 1.0 / sizes.paste_w_k[x * ACROSS + y];
            out.push((lid(x, y), base(x, y), 1.0 / (half_lid + paste + half_base)));
            if x + 1 < ALONG {
                out.push((lid(x, y), lid(x + 1, y), lid_along));
                out.push((base(x, y), base(x + 1, y), base_along));
            }
            if y + 1 < ACROSS {
                out.push((lid(x, y), lid(x, y + 1), lid_across));
                out.push((base(x, y), base(x, y + 1), base_across));
            }
        }
    }
    for x in DIE_ALONG {
        for row in 0..2 {
            let link = 1.0 / (sizes.die_k_w * DIE_CELLS as f64 + half_lid);
            out.push((die(x, row), lid(x, DIE_ACROSS.start + row), link));
            // Silicon conducts sideways too: 0.7 mm of 120 W/mK.
            if x + 1 < DIE_ALONG.end {
                out.push((die(x, row), die(x + 1, row), 120.0 * 0.0007 * wide_m / long_m));
            }
        }
        out.push((die(x, 0), die(x, 1), 120.0 * 0.0007 * long_m / wide_m));
    }
    out
}

impl Plates {
    pub(crate) fn new(sizes: Sizes, step_s: f64) -> Self {
        let mut stores = vec![1e-3; NODES];
        for x in 0..ALONG {
            for y in 0..ACROSS {
                stores[lid(x, y)] = sizes.lid_j_k / CELLS as f64;
                stores[base(x, y)] = 0.25 * sizes.cooler_j_k / CELLS as f64;
            }
        }
        for x in DIE_ALONG {
            stores[die(x, 0)] = sizes.die_j_k / DIE_CELLS as f64;
            stores[die(x, 1)] = stores[die(x, 0)];
        }
        // A core's share of each cell: what of it lies there, along the die and in its row.
        let columns = DIE_ALONG.len() as f64;
        let with_cores = columns - sizes.bare.0 - sizes.bare.1;
        let weights = sizes
            .cores
            .iter()
            .map(|(from, to, row)| {
                let mut out = [0.0; DIE_CELLS];
                let (from, to) = (sizes.bare.0 + from * with_cores, sizes.bare.0 + to * with_cores);
                for column in 0..DIE_ALONG.len() {
                    let overlap = (to.min(column as f64 + 1.0) - from.max(column as f64)).max(0.0);
                    for own in 0..2 {
                        let share =
                            if *row == Some(own) { 1.0 } else { f64::from(u8::from(row.is_none())) * 0.5 };
                        out[2 * column + own] = overlap / (to - from) * share;
                    }
                }
                out
            })
            .collect();
        let mut out = Self {
            stores_step: stores.iter().map(|store| store / step_s).collect(),
            lower: Vec::new(),
            at: vec![0.0; NODES],
            fins: [0.0; FINS],
            root: 0.0,
            air: 0.0,
            board: 0.0,
            core_w: vec![0.0; sizes.cores.len()],
            weights,
            sizes,
            step_s,
            lost_w: 0.0,
        };
        out.factor();
        out
    }

    /// The same with the side of the case open: of the air's warming a part stays.
    pub(crate) fn opened(self, stays: f64) -> Self {
        let (mut sizes, step_s) = (self.sizes, self.step_s);
        sizes.case_k_w *= stays;
        Self::new(sizes, step_s)
    }

    pub(crate) const fn sizes(&self) -> &Sizes {
        &self.sizes
    }

    fn root_w_k(&self) -> f64 {
        1.0 / (0.5 * self.sizes.metal_k_w)
    }

    /// Cholesky's factor of stores over step and links; the base's link to the fins' root counts on the diagonal alone.
    fn factor(&mut self) {
        let mut lower = vec![[0.0; BAND + 1]; NODES];
        for (row, store) in lower.iter_mut().zip(&self.stores_step) {
            row[BAND] = *store;
        }
        for (one, other, link) in links(&self.sizes) {
            lower[one][BAND] += link;
            lower[other][BAND] += link;
            let (low, high) = (one.min(other), one.max(other));
            lower[high][BAND - (high - low)] -= link;
        }
        for x in 0..ALONG {
            for y in 0..ACROSS {
                lower[base(x, y)][BAND] += self.root_w_k() / CELLS as f64;
            }
        }
        for row in 0..NODES {
            for column in row.saturating_sub(BAND)..=row {
                let mut sum = lower[row][BAND - (row - column)];
                for before in row.saturating_sub(BAND)..column {
                    if column - before <= BAND {
                        sum -= lower[row][BAND - (row - before)] * lower[column][BAND - (column - before)];
                    }
                }
                lower[row][BAND - (row - column)] =
                    if row == column { sum.sqrt() } else { sum / lower[column][BAND] };
            }
        }
        self.lower = lower;
    }

    fn solve(&self, right: &mut [f64]) {
        for row in 0..NODES {
            let from = row.saturating_sub(BAND);
            let entries = &self.lower[row][BAND - (row - from)..BAND];
            let known: f64 = entries.iter().zip(&right[from..row]).map(|(entry, value)| entry * value).sum();
            right[row] = (right[row] - known) / self.lower[row][BAND];
        }
        for row in (0..NODES).rev() {
            right[row] /= self.lower[row][BAND];
            let value = right[row];
            let from = row.saturating_sub(BAND);
            let entries = &self.lower[row][BAND - (row - from)..BAND];
            right[from..row].iter_mut().zip(entries).for_each(|(other, entry)| *other -= entry * value);
        }
    }

    /// What lies between the hottest place and the lid's face, in the paste, and between base and air, in K/W: mean temperatures of the
    /// faces by the heat that goes through each place.
    pub(crate) fn steps_k_w(&self) -> (f64, f64, f64) {
        let half = |thick_m: f64| {
            0.5 * thick_m / (COPPER_W_MK * self.sizes.lid_m.0 * self.sizes.lid_m.1 / CELLS as f64)
        };
        let (half_lid, half_base) = (half(self.sizes.lid_thick_m), half(self.sizes.base_thick_m));
        let (mut through, mut above, mut below) = (0.0, 0.0, 0.0);
        for x in 0..ALONG {
            for y in 0..ACROSS {
                let paste = 1.0 / self.sizes.paste_w_k[x * ACROSS + y];
                let heat = (self.at[lid(x, y)] - self.at[base(x, y)]) / (half_lid + paste + half_base);
                through += heat;
                above += heat * (self.at[lid(x, y)] - heat * half_lid);
                below += heat * (self.at[base(x, y)] + heat * half_base);
            }
        }
        let (above, below) = (above / through, below / through);
        // What goes to the board is counted as the sensors count it: as power of the processor.
        let power = through + self.lost_w;
        ((self.junction_c() - above) / power, (above - below) / power, (below - self.air) / power)
    }
}

impl Body for Plates {
    fn step(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64, _step_s: f64) {
        let step_s = self.step_s;
        let mut right: Vec<f64> =
            self.stores_step.iter().zip(&self.at).map(|(store, at)| store * at).collect();
        // Heat that all of the die gives, and what is lost to the board.
        let to_board = 1.0 / self.sizes.board_k_w;
        let mut board_w = 0.0;
        for x in DIE_ALONG {
            for row in 0..2 {
                let lost = (self.at[die(x, row)] - self.board) * to_board / DIE_CELLS as f64;
                board_w += lost;
                right[die(x, row)] += heat.even_w / DIE_CELLS as f64 - lost;
            }
        }
        self.lost_w = board_w;
        let count = self.weights.len() as f64;
        for (core, ((weights, (own, _)), at)) in
            self.weights.iter().zip(&self.sizes.own).zip(&mut self.core_w).enumerate()
        {
            *at = own * heat.cores_w * heat.share_of(core, count);
            for (cell, weight) in weights.iter().enumerate() {
                right[die(DIE_ALONG.start + cell / 2, cell % 2)] += weight * *at;
            }
        }
        let each = self.root_w_k() / CELLS as f64;
        let mut root_w = 0.0;
        for x in 0..ALONG {
            for y in 0..ACROSS {
                right[base(x, y)] += each * self.root;
            }
        }
        self.solve(&mut right);
        self.at = right;
        for x in 0..ALONG {
            for y in 0..ACROSS {
                root_w += each * (self.at[base(x, y)] - self.root);
            }
        }
        // Fins farther out have a longer way.
        let metal = 0.5 * self.sizes.metal_k_w * FINS as f64;
        let fin_j_k = 0.65 * self.sizes.cooler_j_k / FINS as f64;
        let mut air_w = (self.board - self.air) / 1.5 - (self.air - room_c) / self.sizes.case_k_w;
        for (place, fin) in self.fins.iter_mut().enumerate() {
            let along = (self.root - *fin) / (metal * (0.7 + 0.2 * place as f64));
            let off = film_w_k / FINS as f64 * (*fin - self.air);
            root_w -= along;
            air_w += off;
            *fin += step_s * (along - off) / fin_j_k;
        }
        self.root += step_s * root_w / (0.1 * self.sizes.cooler_j_k);
        self.board += step_s * (board_w - (self.board - self.air) / 1.5) / 90.0;
        self.air += step_s * air_w / self.sizes.case_j_k;
    }

    fn settle(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64) {
        self.at = vec![room_c; NODES];
        (self.fins, self.root, self.air, self.board) = ([room_c; FINS], room_c, room_c, room_c);
        // With smaller stores in fins and case it comes to rest sooner, and at the same place.
        let (cooler, case) = (self.sizes.cooler_j_k, self.sizes.case_j_k);
        (self.sizes.cooler_j_k, self.sizes.case_j_k) = (120.0, 30.0);
        for _ in 0..12_000 {
            self.step(heat, film_w_k, room_c, 0.0);
        }
        (self.sizes.cooler_j_k, self.sizes.case_j_k) = (cooler, case);
    }

    fn junction_c(&self) -> f64 {
        (0..self.weights.len()).map(|core| self.core_c(core)).fold(f64::NEG_INFINITY, f64::max)
    }

    fn core_c(&self, core: usize) -> f64 {
        let cells = self.weights[core].iter().enumerate();
        let mean: f64 =
            cells.map(|(cell, weight)| weight * self.at[die(DIE_ALONG.start + cell / 2, cell % 2)]).sum();
        mean + self.sizes.own[core].1 * self.core_w[core]
    }

    fn air_c(&self) -> f64 {
        self.air
    }
}
