//! How the paste carries the load: mobilities, links between full cells, pressures, and the speeds that follow.

use crate::paste::contact::{inverse, multiply};
use crate::paste::field::Field;
use crate::paste::rheology::Walls;
use crate::paste::yielding::Pattern;

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

/// A centre of pressure this near to where the load acts, in sides of the lid, tilts it by less than is solved for.
const CENTRED: f64 = 1e-5;
/// After so many steps the resistance to tilting is solved for again.
const TILT_STEPS: usize = 12;

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
    /// Links from mobilities. The front lies in the cell next to a full one, as far in as that is filled.
    fn link(&mut self) {
        let (across, along) = (self.dy / self.dx, self.dx / self.dy);
        let s = self.stride;
        let whole = self.copies > 1.0;
        for (_, cells) in self.wet_faces() {
            self.open[cells].fill(0.0);
        }
        for (row, cells) in self.wet_faces() {
            for k in cells {
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
    pub(crate) fn way(&self, cell: usize) -> f64 {
        0.5 + (self.column[cell] / self.gap[cell]).clamp(0.0, 1.0)
    }

    /// Speeds at which the paste carries the load.
    ///
    /// Returns `None` where the yield stress alone carries it.
    pub(crate) fn solve(&mut self, walls: &Walls, load: &[f64; 3], dof: usize) -> Option<Speeds> {
        let scale = if walls.is_newtonian() || self.flux_speed == [0.0; 3] {
            1.0
        } else {
            Pattern::of(self).scale(walls, load, &self.flux_speed)
        };
        if scale == 0.0 {
            return None;
        }
        self.set_mobility(walls, scale);
        self.link();
        self.system.set(&self.east, &self.north, &self.open, &self.live);
        let mut k = [[0.0; 3]; 3];
        for (row, sum) in k.iter_mut().zip(self.carried(0)) {
            row[0] = sum;
        }
        let (lx, ly) = (self.dx * self.nx as f64, self.dy * self.ny as f64);
        if dof > 1 {
            let off = |mode: usize, side: f64| (k[mode][0] / k[0][0] - load[mode] / load[0]).abs() / side;
            let is_centred = off(1, lx).max(off(2, ly)) < CENTRED;
            match self.tilt.take().filter(|(_, age)| is_centred && *age < TILT_STEPS) {
                Some((kept, age)) => {
                    // It does not tilt; what resists tilting is asked for only where faces touch.
                    let size = k[0][0] / kept[0][0];
                    for (row, kept) in k.iter_mut().zip(&kept) {
                        (row[1], row[2]) = (size * kept[1], size * kept[2]);
                    }
                    self.tilt = Some((kept, age + 1));
                }
                None => {
                    for mode in 1..dof {
                        for (row, sum) in k.iter_mut().zip(self.carried(mode)) {
                            row[mode] = sum;
                        }
                    }
                    self.tilt = Some((k, 0));
                }
            }
        }
        let speeds = speeds_of(k, load, dof)?;
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

    /// Force and moments of the paste where the lid closes or tilts at unit speed.
    fn carried(&mut self, mode: usize) -> [f64; 3] {
        let area = self.area();
        let mut rhs = core::mem::take(&mut self.rhs);
        for (cell, x, y) in self.wet_cells() {
            rhs[cell] = 0.0;
            if self.live[cell] {
                let spare = if mode == 0 && self.travel > 0.0 {
                    ((self.column[cell] - self.gap[cell]) / self.travel).clamp(-0.9, 2.0)
                } else {
                    0.0
                };
                rhs[cell] = ([1.0, x, y][mode] + spare) * area;
            }
        }
        self.system.solve(&rhs, &mut self.modes[mode], TOLERANCE);
        self.rhs = rhs;
        let pressure = &self.modes[mode];
        let s = self.stride;
        let mut sums = [0.0; 3];
        for (cell, x, y) in self.wet_cells() {
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
        sums.map(|sum| sum * self.copies)
    }

    fn set_mobility(&mut self, walls: &Walls, scale: f64) {
        // Where the gap is even the creep is that of the cell before.
        let (mut of_gap, mut creep) = (f64::NAN, 0.0);
        for (_, cells) in self.wet_rows() {
            for k in cells {
                if !self.live[k] {
                    continue;
                }
                let h = self.gap[k];
                let flux = scale * self.flux[k];
                if h != of_gap {
                    // A reference without yield stress at a shear rate of 1 a second.
                    let fluid =
                        h * h * h / (12.0 * (walls.stress_pa(h * h / 6.0, h) - walls.stress_pa(0.0, h)));
                    let is_fluid = walls.is_newtonian() || self.flux_speed == [0.0; 3];
                    (of_gap, creep) = (h, if is_fluid { fluid } else { CREEP * fluid });
                }
                self.mobility[k] = creep;
                if !walls.is_newtonian() && self.flux_speed != [0.0; 3] {
                    self.mobility[k] = creep.max(flux * h / (2.0 * walls.stress_pa(flux, h)));
                }
            }
        }
    }
}
