//! How the paste spreads: fluxes between cells, the move of a step, and what overfilled cells hand on.

use crate::paste::field::Field;
use crate::paste::rheology::Walls;

impl Field {
    /// Fluxes at the given speeds; returns the largest share of an unfilled cell that fills in a second.
    pub(crate) fn fluxes(&mut self, walls: &Walls, v: &[f64; 3], dof: usize) -> f64 {
        let s = self.stride;
        let mut pressure = core::mem::take(&mut self.rhs);
        for (_, cells) in self.wet_rows() {
            let pressure = &mut pressure[cells.clone()];
            pressure.fill(0.0);
            for (mode, speed) in self.modes.iter().zip(v).take(dof) {
                for (p, m) in pressure.iter_mut().zip(&mode[cells.clone()]) {
                    *p += speed * m;
                }
            }
        }
        let (across, along) = (self.dy / self.dx, self.dx / self.dy);
        let whole = self.copies > 1.0;
        for (row, cells) in self.wet_faces() {
            for k in cells {
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
        for (row, cells) in self.wet_rows() {
            for k in cells {
                let (w, e) = (self.flux_east[k - 1], self.flux_east[k]);
                let (b, n) = (self.flux_north[k - s], self.flux_north[k]);
                if !self.live[k] {
                    fastest = fastest.max((w - e + b - n) / (self.gap[k] * area));
                }
                if walls.is_newtonian() {
                    // Its mobility asks for no flux.
                    continue;
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
            for (column, gap) in self.gap[row * s + 1..=row * s + nx].iter_mut().enumerate() {
                let x = self.origin.0 + column as f64 * self.dx;
                *gap -= dt_s * (v[0] + v[1] * x + v[2] * y);
            }
        }
        for (_, cells) in self.wet_rows() {
            for k in cells {
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
        for (_, cells) in self.wet_rows() {
            for k in cells {
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
}
