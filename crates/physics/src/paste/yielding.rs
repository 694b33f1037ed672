//! Where a paste yields: by how much the flow grows or shrinks between two steps for the load to be carried.

use crate::paste::contact::product;
use crate::paste::field::Field;
use crate::paste::rheology::Walls;

/// The flow of the last step: in each cell where some is, its flux over the width, the gap, and how much of the lid rubs
/// on it, over the gap.
#[derive(Debug, Default)]
pub(crate) struct Pattern {
    flux: Vec<f64>,
    gap: Vec<f64>,
    weight: Vec<f64>,
}

impl Pattern {
    pub(crate) fn of(field: &Field) -> Self {
        let mut out = Self::default();
        let area = field.area() * field.copies;
        for k in field.wet_rows().flat_map(|(_, cells)| cells) {
            if field.flux[k] > 0.0 && field.column[k] > 0.0 {
                let h = field.gap[k];
                // The front's cell rubs as far in as it is filled.
                let share = if field.live[k] { 1.0 } else { (field.column[k] / h).min(1.0) };
                out.flux.push(field.flux[k]);
                out.gap.push(h);
                out.weight.push(area * share * field.flux[k] * 2.0 / h);
            }
        }
        out
    }

    /// Power the flow takes at `scale` times its speed, divided by the scale.
    fn resistance_n(&self, walls: &Walls, scale: f64) -> f64 {
        walls.weighted_stress(scale, &self.flux, &self.gap, &self.weight)
    }

    /// By how much the last flux pattern must grow so that its power is the load's; zero where the yield
    /// stress alone carries the load.
    pub(crate) fn scale(&self, walls: &Walls, load: &[f64; 3], speed: &[f64; 3]) -> f64 {
        let power = product(load, speed);
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
}
