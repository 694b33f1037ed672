//! The first moment: the lid just over the paste, beads flattened to the gap.

use crate::paste::field::Field;
use crate::paste::input::PressInput;
use crate::paste::pattern::{Bead, Pattern};

/// Shape heights, lowest put to zero.
fn lowest_shape(input: &PressInput, field: &Field) -> f64 {
    field
        .cells()
        .map(|(_, x, y)| input.shape.height_m(2.0 * x / input.length_m, 2.0 * y / input.width_m))
        .fold(f64::INFINITY, f64::min)
}

/// Height of the shape in the middle over its lowest place.
pub(crate) fn middle_shape(input: &PressInput, field: &Field) -> f64 {
    input.shape.height_m(0.0, 0.0) - lowest_shape(input, field)
}

/// The grid with the lid at its first gap and the paste put.
pub(crate) fn start(input: &PressInput) -> Field {
    let quarter = input.is_quarter();
    let mut field = if quarter {
        Field::new(input.cells.0 / 2, input.cells.1 / 2, (input.length_m / 2.0, input.width_m / 2.0), 4.0)
    } else {
        Field::new(input.cells.0, input.cells.1, (input.length_m, input.width_m), 1.0)
    };
    let lowest = lowest_shape(input, &field);
    let cells: Vec<(usize, f64, f64)> = field.cells().collect();
    for (k, x, y) in &cells {
        let height = input.shape.height_m(2.0 * x / input.length_m, 2.0 * y / input.width_m) - lowest;
        field.gap[*k] = input.initial_gap_m + height;
    }
    if let Pattern::Layer { share } = input.pattern {
        let (a, b) = (share * input.length_m / 2.0, share * input.width_m / 2.0);
        let part = |x: f64, a: f64, dx: f64| ((a - x.abs()) / dx + 0.5).clamp(0.0, 1.0);
        for (k, x, y) in &cells {
            field.column[*k] = part(*x, a, field.dx) * part(*y, b, field.dy);
        }
        let ones = field.volume_m3();
        for (k, _, _) in &cells {
            // Where the layer is thicker than the gap the lid starts higher.
            field.column[*k] *= input.volume_m3 / ones;
        }
        let over = cells.iter().map(|(k, _, _)| field.column[*k] - field.gap[*k]).fold(0.0, f64::max);
        field.lower(-over);
        return field;
    }
    let beads = input.pattern.beads(input.length_m, input.width_m);
    let away: Vec<f64> = cells
        .iter()
        .map(|(_, x, y)| {
            beads.iter().map(|bead: &Bead| bead.distance_m(*x, *y)).fold(f64::INFINITY, f64::min)
        })
        .collect();
    let cell = field.dx.max(field.dy);
    let paint = |field: &mut Field, radius: f64| {
        for ((k, _, _), away) in cells.iter().zip(&away) {
            field.column[*k] = field.gap[*k] * ((radius - away) / cell + 0.5).clamp(0.0, 1.0);
        }
        field.volume_m3()
    };
    // The width that holds the volume, by false position on volume over width squared.
    let (mut low, mut high) = (0.0, 2.0 * input.length_m.max(input.width_m));
    let mut radius = (input.volume_m3 / (4.0 * beads.len().max(1) as f64 * input.initial_gap_m)).sqrt();
    for _ in 0..40 {
        let found = paint(&mut field, radius);
        if (found / input.volume_m3 - 1.0).abs() < 1e-6 {
            break;
        }
        if found < input.volume_m3 {
            low = radius
        } else {
            high = radius
        }
        let mut next = radius * (input.volume_m3 / found.max(1e-300)).sqrt();
        if !(next > low && next < high) {
            next = 0.5 * (low + high);
        }
        radius = next;
    }
    let size = input.volume_m3 / field.volume_m3();
    for (k, _, _) in &cells {
        field.column[*k] *= size;
    }
    field
}
