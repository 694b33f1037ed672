//! The film on cells: gap, paste, links between full cells, and the move of paste for a step.

use crate::paste::contact::{inverse, multiply, product};
use crate::paste::pressure::System;
use crate::paste::rheology::Walls;

/// A cell holding this share of its gap carries pressure. The rest is made up by the next solve.
const FULL: f64 = 0.999;
/// No lid is pressed down faster than this.
///
/// # Source
/// common practice, no source: 50 N on half a kilogram over half a millimetre come to 0.3 m/s.
const FASTEST_M_S: f64 = 10.0;

/// Share of the flux law's mobility below which none goes: the regularisation of the yield stress.
/// A plug that would not move at all creeps with a millionth of the paste's fluidity without yield stress.
const CREEP: f64 = 1e-6;

/// Relative residual of each pressure solve. Volume does not depend on it, force to the same share.
const TOLERANCE: f64 = 1e-3;

/// The state of the film and room for its solve. Arrays have a rim of one cell.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    pub(crate) nx: usize,
    pub(crate) ny: usize,
    pub(crate) stride: usize,
    pub(crate) dx: f64,
    pub(crate) dy: f64,
    /// How many times the computed part is on the lid: 4 where it is a quarter, 1 where the whole.
    pub(crate) copies: f64,
    /// Centre of the first cell.
    origin: (f64, f64),
    pub(crate) gap: Vec<f64>,
    pub(crate) column: Vec<f64>,
    pub(crate) live: Vec<bool>,
    mobility: Vec<f64>,
    east: Vec<f64>,
    north: Vec<f64>,
    open: Vec<f64>,
    rhs: Vec<f64>,
    modes: [Vec<f64>; 3],
    /// Volume a second through east and north faces at the speeds solved for.
    flux_east: Vec<f64>,
    flux_north: Vec<f64>,
    /// Size of the flux per width in a cell, with the speed it belongs to.
    flux: Vec<f64>,
    flux_speed: [f64; 3],
    /// Travel of the last step, by which left-over volume is spread.
    travel: f64,
    system: System,
    /// Volume over the lid's edge so far.
    pub(crate) overflow_m3: f64,
    queue: Vec<usize>,
}

/// What the solve says.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Speeds {
    /// Closing speed at the centre and its slopes.
    pub(crate) v: [f64; 3],
    /// What a unit load gives.
    pub(crate) compliance: [[f64; 3]; 3],
}

/// Speeds against a resistance; none where a mode meets none.
fn speeds_of(mut k: [[f64; 3]; 3], load: &[f64; 3], dof: usize) -> Option<Speeds> {
    for (mode, row) in k.iter_mut().enumerate().take(dof) {
        row[mode] *= 1.0 + 1e-9;
        if row[mode] <= 0.0 {
            return None;
        }
    }
    let compliance = inverse(&k, dof);
    Some(Speeds { v: multiply(&compliance, load), compliance })
}

impl Field {
    pub(crate) fn new(nx: usize, ny: usize, size: (f64, f64), copies: f64) -> Self {
        let count = (nx + 2) * (ny + 2);
        let zero = vec![0.0; count];
        let (dx, dy) = (size.0 / nx as f64, size.1 / ny as f64);
        let origin = if copies > 1.0 {
            (dx / 2.0, dy / 2.0)
        } else {
            (dx / 2.0 - size.0 / 2.0, dy / 2.0 - size.1 / 2.0)
        };
        Self {
            nx,
            ny,
            stride: nx + 2,
            dx,
            dy,
            copies,
            origin,
            gap: vec![1.0; count],
            column: zero.clone(),
            live: vec![false; count],
            mobility: zero.clone(),
            east: zero.clone(),
            north: zero.clone(),
            open: zero.clone(),
            rhs: zero.clone(),
            modes: [zero.clone(), zero.clone(), zero.clone()],
            flux_east: zero.clone(),
            flux_north: zero.clone(),
            flux: zero,
            flux_speed: [0.0; 3],
            travel: 0.0,
            system: System::new(nx, ny),
            overflow_m3: 0.0,
            queue: Vec::new(),
        }
    }

    /// Every cell's index with its centre.
    pub(crate) fn cells(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        (0..self.ny).flat_map(move |row| {
            let y = self.origin.1 + row as f64 * self.dy;
            (0..self.nx).map(move |column| {
                ((row + 1) * self.stride + column + 1, self.origin.0 + column as f64 * self.dx, y)
            })
        })
    }

    pub(crate) fn area(&self) -> f64 {
        self.dx * self.dy
    }

    /// Volume under the whole lid.
    pub(crate) fn volume_m3(&self) -> f64 {
        // Rim cells hold none.
        self.column.iter().sum::<f64>() * self.area() * self.copies
    }

    /// Marks full cells; tells how many. A cell filled by the last step takes over the largest flux beside
    /// it: its own was that of a front passing, and a mobility from it would dam the paste up.
    pub(crate) fn mark_full(&mut self) -> usize {
        let mut count = 0;
        let s = self.stride;
        let mut fresh = core::mem::take(&mut self.queue);
        fresh.clear();
        for row in 1..=self.ny {
            for k in row * s + 1..=row * s + self.nx {
                let full = self.column[k] >= FULL * self.gap[k];
                if full && !self.live[k] {
                    fresh.push(k);
                }
                self.live[k] = full;
                count += usize::from(full);
            }
        }
        if self.flux_speed != [0.0; 3] {
            for k in &fresh {
                let beside = [k + 1, k - 1, k + s, k - s, k + s + 1, k + s - 1, k - s + 1, k - s - 1];
                let largest = beside.into_iter().filter(|n| self.live[*n]).map(|n| self.flux[n]);
                self.flux[*k] = largest.fold(self.flux[*k], f64::max);
            }
        }
        self.queue = fresh;
        count
    }

    /// Power the flux pattern takes at `scale` times its speed, divided by the scale.
    fn resistance_n(&self, walls: &Walls, scale: f64) -> f64 {
        let mut sum = 0.0;
        for row in 1..=self.ny {
            for k in row * self.stride + 1..=row * self.stride + self.nx {
                if self.flux[k] > 0.0 && self.column[k] > 0.0 {
                    let h = self.gap[k];
                    // The front's cell rubs as far in as it is filled.
                    let share = if self.live[k] { 1.0 } else { (self.column[k] / h).min(1.0) };
                    sum += share * self.flux[k] * 2.0 / h * walls.stress_pa(scale * self.flux[k], h);
                }
            }
        }
        sum * self.area() * self.copies
    }

    /// By how much the last flux pattern must grow so that its power is the load's; zero where the yield
    /// stress alone carries the load.
    fn pattern_scale(&self, walls: &Walls, load: &[f64; 3]) -> f64 {
        let power = product(load, &self.flux_speed);
        if power <= 0.0 {
            return 1.0;
        }
        if self.resistance_n(walls, 0.0) >= power {
            return 0.0;
        }
        // The resistance grows with the scale, concave in its logarithm: secant in logarithms, guarded.
        let (mut low, mut high) = (0.0_f64, f64::INFINITY);
        let mut scale = 1.0_f64;
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..60 {
            let value = self.resistance_n(walls, scale) / power;
            if (value - 1.0).abs() < 1e-7 {
                break;
            }
            if value < 1.0 {
                low = scale
            } else {
                high = scale
            }
            let slope = match before {
                Some((s, v)) if s != scale && v != value => (value - v) / (scale - s),
                _ => value / scale,
            };
            before = Some((scale, value));
            let mut next = scale + (1.0 - value) / slope;
            if !(next > low && next < high) {
                next = if low == 0.0 {
                    scale * 0.1
                } else if high.is_finite() {
                    (low * high).sqrt()
                } else {
                    scale * 10.0
                };
            }
            if next < 1e-200 {
                return 0.0;
            }
            scale = next;
        }
        scale
    }

    /// Links from mobilities. The front lies in the cell next to a full one, as far in as that is filled.
    fn link(&mut self) {
        let (across, along) = (self.dy / self.dx, self.dx / self.dy);
        let s = self.stride;
        let whole = self.copies > 1.0;
        self.open.fill(0.0);
        for row in 0..=self.ny {
            for k in row * s..=row * s + self.nx {
                self.east[k] = 0.0;
                self.north[k] = 0.0;
                for (n, ratio, is_east) in [(k + 1, across, true), (k + s, along, false)] {
                    match (self.live[k], self.live[n]) {
                        (true, true) => {
                            let (a, b) = (self.mobility[k], self.mobility[n]);
                            let link = ratio * 2.0 * a * b / (a + b);
                            if is_east { self.east[k] = link } else { self.north[k] = link }
                        }
                        (true, false) => self.open[k] += ratio * self.mobility[k] / self.way(n),
                        (false, true) => {
                            // Where a quarter stands for the lid its lower sides are lines of symmetry.
                            let mirror = whole && ((is_east && k % s == 0) || (!is_east && row == 0));
                            if !mirror {
                                self.open[n] += ratio * self.mobility[n] / self.way(k);
                            }
                        }
                        (false, false) => {}
                    }
                }
            }
        }
    }

    /// Way from a full cell's centre to the front in a cell beside it, in cells; the edge is at the face.
    fn way(&self, cell: usize) -> f64 {
        0.5 + (self.column[cell] / self.gap[cell]).clamp(0.0, 1.0)
    }

    /// Speeds at which the paste carries the load.
    ///
    /// Returns `None` where the yield stress alone carries it.
    pub(crate) fn solve(&mut self, walls: &Walls, load: &[f64; 3], dof: usize) -> Option<Speeds> {
        let scale = if walls.is_newtonian() || self.flux_speed == [0.0; 3] {
            1.0
        } else {
            self.pattern_scale(walls, load)
        };
        if scale == 0.0 {
            return None;
        }
        self.set_mobility(walls, scale);
        self.link();
        self.system.set(&self.east, &self.north, &self.open, &self.live);
        let area = self.area();
        let mut k = [[0.0; 3]; 3];
        for mode in 0..dof {
            let mut rhs = core::mem::take(&mut self.rhs);
            for (cell, x, y) in self.cells() {
                rhs[cell] = if self.live[cell] {
                    let lever = [1.0, x, y];
                    let spare = if mode == 0 && self.travel > 0.0 {
                        ((self.column[cell] - self.gap[cell]) / self.travel).clamp(-0.9, 2.0)
                    } else {
                        0.0
                    };
                    (lever[mode] + spare) * area
                } else {
                    0.0
                };
            }
            self.system.solve(&rhs, &mut self.modes[mode], TOLERANCE);
            self.rhs = rhs;
            let pressure = &self.modes[mode];
            let s = self.stride;
            let mut sums = [0.0; 3];
            for (cell, x, y) in self.cells() {
                let p = pressure[cell];
                if p != 0.0 {
                    let mut weight = area;
                    // Paste in the front's cell carries a little: from the face's pressure down to none.
                    for n in [cell + 1, cell - 1, cell + s, cell - s] {
                        if !self.live[n] && self.column[n] > 0.0 {
                            let fill = (self.column[n] / self.gap[n]).min(1.0);
                            weight += 0.5 * area * fill * fill / (0.5 + fill);
                        }
                    }
                    sums[0] += p * weight;
                    sums[1] += p * weight * x;
                    sums[2] += p * weight * y;
                }
            }
            for (row, sum) in k.iter_mut().zip(sums) {
                row[mode] = sum * self.copies;
            }
        }
        let speeds = speeds_of(k, load, dof)?;
        let (lx, ly) = (self.dx * self.nx as f64, self.dy * self.ny as f64);
        let corner = speeds.v[0].abs() + 0.5 * (speeds.v[1].abs() * lx + speeds.v[2].abs() * ly);
        if dof == 1 || corner <= FASTEST_M_S {
            return Some(speeds);
        }
        // Too small a patch of paste carries no moment: then the air and its own mass hold the lid back.
        let weak = load[0] / FASTEST_M_S;
        for (mode, spread) in [1.0, lx * lx / 12.0, ly * ly / 12.0].into_iter().enumerate() {
            k[mode][mode] += weak * spread;
        }
        speeds_of(k, load, dof)
    }

    fn set_mobility(&mut self, walls: &Walls, scale: f64) {
        for row in 1..=self.ny {
            for k in row * self.stride + 1..=row * self.stride + self.nx {
                if !self.live[k] {
                    continue;
                }
                let h = self.gap[k];
                let flux = scale * self.flux[k];
                // A reference without yield stress at a shear rate of 1 a second.
                let fluid = h * h * h / (12.0 * (walls.stress_pa(h * h / 6.0, h) - walls.stress_pa(0.0, h)));
                self.mobility[k] = if walls.is_newtonian() || self.flux_speed == [0.0; 3] {
                    fluid
                } else {
                    (flux * h / (2.0 * walls.stress_pa(flux, h))).max(CREEP * fluid)
                };
            }
        }
    }

    /// Fluxes at the given speeds; returns the largest share of an unfilled cell that fills in a second.
    pub(crate) fn fluxes(&mut self, v: &[f64; 3], dof: usize) -> f64 {
        let s = self.stride;
        let mut pressure = core::mem::take(&mut self.rhs);
        pressure.fill(0.0);
        for (mode, speed) in self.modes.iter().zip(v).take(dof) {
            for (p, m) in pressure.iter_mut().zip(mode) {
                *p += speed * m;
            }
        }
        let (across, along) = (self.dy / self.dx, self.dx / self.dy);
        let whole = self.copies > 1.0;
        for row in 0..=self.ny {
            for k in row * s..=row * s + self.nx {
                let mut pair = [0.0; 2];
                for (slot, n, ratio, link) in
                    [(0, k + 1, across, self.east[k]), (1, k + s, along, self.north[k])]
                {
                    pair[slot] = match (self.live[k], self.live[n]) {
                        (true, true) => link * (pressure[k] - pressure[n]),
                        // Only full cells give, and none takes from a front.
                        (true, false) => ratio * self.mobility[k] / self.way(n) * pressure[k].max(0.0),
                        (false, true) => {
                            let mirror = whole && ((slot == 0 && k % s == 0) || (slot == 1 && row == 0));
                            if mirror {
                                0.0
                            } else {
                                -ratio * self.mobility[n] / self.way(k) * pressure[n].max(0.0)
                            }
                        }
                        (false, false) => 0.0,
                    };
                }
                self.flux_east[k] = pair[0];
                self.flux_north[k] = pair[1];
            }
        }
        self.rhs = pressure;
        let mut fastest = 0.0_f64;
        let area = self.area();
        for row in 1..=self.ny {
            for k in row * s + 1..=row * s + self.nx {
                let (w, e) = (self.flux_east[k - 1], self.flux_east[k]);
                let (b, n) = (self.flux_north[k - s], self.flux_north[k]);
                if !self.live[k] {
                    fastest = fastest.max((w - e + b - n) / (self.gap[k] * area));
                }
                let mean = |low: f64, high: f64, closed: bool| {
                    if closed || (low != 0.0 && high != 0.0) { 0.5 * (low + high) } else { low + high }
                };
                let qx = mean(w, e, whole && k % s == 1) / self.dy;
                let qy = mean(b, n, whole && row == 1) / self.dx;
                self.flux[k] = (qx * qx + qy * qy).sqrt();
            }
        }
        self.flux_speed = *v;
        fastest
    }

    /// Moves the lid and the paste for a time.
    pub(crate) fn advance(&mut self, v: &[f64; 3], dt_s: f64) {
        let s = self.stride;
        let area = self.area();
        let per_area = dt_s / area;
        let (mut over, nx, ny) = (0.0, self.nx, self.ny);
        for row in 1..=ny {
            let y = self.origin.1 + (row - 1) as f64 * self.dy;
            for column in 1..=nx {
                let k = row * s + column;
                let x = self.origin.0 + (column - 1) as f64 * self.dx;
                self.gap[k] -= dt_s * (v[0] + v[1] * x + v[2] * y);
                let net =
                    self.flux_east[k - 1] - self.flux_east[k] + self.flux_north[k - s] - self.flux_north[k];
                self.column[k] += per_area * net;
            }
        }
        for row in 1..=ny {
            over += self.flux_east[row * s + nx] - self.flux_east[row * s];
        }
        for column in 1..=nx {
            over += self.flux_north[ny * s + column] - self.flux_north[column];
        }
        self.overflow_m3 += over * dt_s * self.copies;
        self.travel = (v[0] * dt_s).max(0.0);
        self.spill();
    }

    /// Cells that the step overfilled hand the excess to unfilled cells beside them, or over the edge.
    fn spill(&mut self) {
        let s = self.stride;
        let area = self.area();
        let mut queue = core::mem::take(&mut self.queue);
        queue.clear();
        for row in 1..=self.ny {
            for k in row * s + 1..=row * s + self.nx {
                if !self.live[k] && self.column[k] > self.gap[k] {
                    queue.push(k);
                }
            }
        }
        let mut rounds = 0;
        while let Some(k) = queue.pop() {
            rounds += 1;
            if rounds > 20 * self.nx * self.ny {
                break;
            }
            let excess = self.column[k] - self.gap[k];
            if excess <= 0.0 {
                continue;
            }
            let (row, column) = (k / s, k % s);
            let whole = self.copies > 1.0;
            // What lies beside: an unfilled cell with its room, or the outside.
            let mut takers = [(0_usize, 0.0_f64); 4];
            let mut room = 0.0;
            for (slot, n) in [k + 1, k - 1, k + s, k - s].into_iter().enumerate() {
                let outside = match slot {
                    0 => column == self.nx,
                    1 => column == 1,
                    2 => row == self.ny,
                    _ => row == 1,
                };
                let weight = if outside {
                    let mirror = whole && (slot == 1 || slot == 3);
                    if mirror { 0.0 } else { self.gap[k] }
                } else if self.live[n] {
                    0.0
                } else {
                    (self.gap[n] - self.column[n]).max(0.0)
                };
                takers[slot] = (if outside { 0 } else { n }, weight);
                room += weight;
            }
            if room <= 0.0 {
                continue;
            }
            self.column[k] = self.gap[k];
            for (n, weight) in takers {
                let part = excess * weight / room;
                if part == 0.0 {
                    continue;
                }
                if n == 0 {
                    self.overflow_m3 += part * area * self.copies;
                } else {
                    self.column[n] += part;
                    if self.column[n] > self.gap[n] {
                        queue.push(n);
                    }
                }
            }
        }
        self.queue = queue;
    }

    /// Lowers the lid by a height.
    pub(crate) fn lower(&mut self, by_m: f64) {
        for row in 1..=self.ny {
            for k in row * self.stride + 1..=row * self.stride + self.nx {
                self.gap[k] -= by_m;
            }
        }
    }

    /// The largest share by which a full cell's gap closes in a second.
    pub(crate) fn closing_rate(&self, v: &[f64; 3]) -> f64 {
        let mut rate = 0.0_f64;
        for (k, x, y) in self.cells() {
            if self.live[k] {
                rate = rate.max((v[0] + v[1] * x + v[2] * y).abs() / self.gap[k]);
            }
        }
        rate
    }
}
