//! Air shut in by paste: unfilled regions that do not reach the lid's edge.

/// One region without paste that paste encloses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pocket {
    /// Its middle, from the lid's centre.
    pub at_m: (f64, f64),
    /// Its area.
    pub area_m2: f64,
}

/// Cells below this share of paste count as unfilled.
pub(crate) const UNFILLED: f64 = 0.9;

/// All pockets in a map of fill, largest first; cells joined by their sides.
pub(crate) fn find(fill: &[f64], nx: usize, ny: usize, dx: f64, dy: f64) -> Vec<Pocket> {
    let mut seen = vec![false; nx * ny];
    let mut pockets = Vec::new();
    let mut stack = Vec::new();
    for start in 0..nx * ny {
        if seen[start] || fill[start] >= UNFILLED {
            continue;
        }
        let (mut sum_x, mut sum_y, mut area, mut shut) = (0.0, 0.0, 0.0, true);
        stack.push(start);
        seen[start] = true;
        while let Some(k) = stack.pop() {
            let (x, y) = (k % nx, k / nx);
            let empty = 1.0 - fill[k];
            area += empty;
            sum_x += empty * (x as f64 + 0.5);
            sum_y += empty * (y as f64 + 0.5);
            if x == 0 || y == 0 || x + 1 == nx || y + 1 == ny {
                shut = false;
            }
            let mut visit = |n: usize| {
                if !seen[n] && fill[n] < UNFILLED {
                    seen[n] = true;
                    stack.push(n);
                }
            };
            if x > 0 {
                visit(k - 1);
            }
            if x + 1 < nx {
                visit(k + 1);
            }
            if y > 0 {
                visit(k - nx);
            }
            if y + 1 < ny {
                visit(k + nx);
            }
        }
        if shut && area > 0.0 {
            let at = ((sum_x / area - nx as f64 / 2.0) * dx, (sum_y / area - ny as f64 / 2.0) * dy);
            pockets.push(Pocket { at_m: at, area_m2: area * dx * dy });
        }
    }
    pockets.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    pockets
}

#[cfg(test)]
mod tests {
    use super::find;

    #[test]
    fn a_ring_shuts_air_in_and_a_gap_lets_it_out() {
        let mut fill = vec![1.0; 25];
        fill[12] = 0.0;
        let pockets = find(&fill, 5, 5, 1.0, 1.0);
        assert_eq!(pockets.len(), 1);
        assert!(pockets[0].area_m2 == 1.0 && pockets[0].at_m == (0.0, 0.0));
        fill[13] = 0.0;
        fill[14] = 0.0;
        assert!(find(&fill, 5, 5, 1.0, 1.0).is_empty());
    }
}
