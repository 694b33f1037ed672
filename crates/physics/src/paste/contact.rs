//! A stiff lid that may not go below the floor: speeds of closing and tilting under contacts.

/// Symmetric 3 by 3 inverse; unused rows of fewer degrees of freedom stay out.
pub(crate) fn inverse(k: &[[f64; 3]; 3], dof: usize) -> [[f64; 3]; 3] {
    let mut work = *k;
    let mut out = [[0.0; 3]; 3];
    for (idx, row) in out.iter_mut().enumerate().take(dof) {
        row[idx] = 1.0;
    }
    for pivot in 0..dof {
        let scale = 1.0 / work[pivot][pivot];
        for c in 0..dof {
            work[pivot][c] *= scale;
            out[pivot][c] *= scale;
        }
        for r in 0..dof {
            if r != pivot {
                let factor = work[r][pivot];
                for c in 0..dof {
                    work[r][c] -= factor * work[pivot][c];
                    out[r][c] -= factor * out[pivot][c];
                }
            }
        }
    }
    out
}

/// A place of contact: its lever (1, x, y) and the force it carries.
#[derive(Debug, Clone, Copy)]
struct Contact {
    lever: [f64; 3],
    clearance_m: f64,
    push_n: f64,
}

/// The speeds with contacts: no cell of `cells` (lever, clearance) goes below zero clearance in `dt`.
///
/// # Model
/// Unilateral frictionless contact of a stiff lid: one cell after another that would go through is made a
/// contact, and the pushes are found by projected Gauss-Seidel. Returns whether anything touches.
pub(crate) fn constrain(
    speed: &mut [f64; 3],
    compliance: &[[f64; 3]; 3],
    dt_s: f64,
    cells: impl Fn(&mut dyn FnMut([f64; 3], f64)),
) -> Touch {
    const TOLERANCE_M: f64 = 1e-9;
    let mut contacts: Vec<Contact> = Vec::new();
    for _ in 0..40 {
        let mut worst = -TOLERANCE_M;
        let mut found = None;
        cells(&mut |lever, clearance_m| {
            let left = clearance_m - dt_s * product(&lever, speed);
            if left < worst {
                worst = left;
                found = Some(Contact { lever, clearance_m, push_n: 0.0 });
            }
        });
        let Some(contact) = found else { break };
        contacts.push(contact);
        for _ in 0..100 {
            for contact in &mut contacts {
                let gives = multiply(compliance, &contact.lever);
                let weight = product(&contact.lever, &gives);
                if weight <= 0.0 {
                    continue;
                }
                let wanted = product(&contact.lever, speed) - contact.clearance_m.max(0.0) / dt_s;
                let push = (contact.push_n + wanted / weight).max(0.0);
                let change = push - contact.push_n;
                contact.push_n = push;
                for (s, g) in speed.iter_mut().zip(&gives) {
                    *s -= g * change;
                }
            }
        }
    }
    if contacts.iter().any(|contact| contact.push_n > 0.0) { Touch::Touching } else { Touch::Free }
}

/// Whether lid and base touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Touch {
    /// Paste alone carries the lid.
    Free,
    /// Somewhere the floor carries a part.
    Touching,
}

pub(crate) fn product(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn multiply(k: &[[f64; 3]; 3], v: &[f64; 3]) -> [f64; 3] {
    [product(&k[0], v), product(&k[1], v), product(&k[2], v)]
}

#[cfg(test)]
mod tests {
    use super::{Touch, constrain, inverse, multiply};

    #[test]
    fn inverse_times_matrix_is_one() {
        let k = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]];
        let unit = multiply(&k, &multiply(&inverse(&k, 3), &[1.0, -2.0, 3.0]));
        for (found, wanted) in unit.iter().zip([1.0, -2.0, 3.0]) {
            assert!((found - wanted).abs() < 1e-12);
        }
    }

    #[test]
    fn one_contact_turns_the_lid_about_it() {
        let mut speed = [1.0, 0.0, 0.0];
        let compliance = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let touch = constrain(&mut speed, &compliance, 1.0, |see| {
            see([1.0, 1.0, 0.0], 0.0);
            see([1.0, -1.0, 0.0], 10.0);
        });
        assert_eq!(touch, Touch::Touching);
        assert!((speed[0] + speed[1]).abs() < 1e-9 && speed[1] < 0.0, "{speed:?}");
    }
}
