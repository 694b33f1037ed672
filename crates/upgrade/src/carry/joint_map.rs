//! A joint as a map of its resistance over the lid: of pressed paste, or of a state.

use physics::cooler::sink::air_at;
use physics::paste::film::PressOutcome;

use crate::carry::joint::BOUNDARIES_MM2K_W;
use crate::carry::joint_state::Bare;
use crate::carry::package_outline::PackageOutline;

/// A joint over a lid.
#[derive(Debug, Clone, PartialEq)]
pub struct JointMap {
    /// Points in a row; as many rows.
    pub columns: usize,
    /// Resistance of unit area in m2 K/W, rows from the lid's lower edge, points spread from edge to edge.
    pub resistance_m2k_w: Vec<f64>,
    /// Share of the largest die that paste covers.
    pub covered_die: f64,
    /// Resistance of unit area of the same paste, spread evenly.
    pub even_m2k_w: f64,
}

/// Points along a side.
const POINTS: usize = 97;
/// Height of the air where a joint is bare: what rough and bowed faces leave.
///
/// # Source
/// common practice, no source.
const BARE_GAP_M: f64 = 30e-6;
/// Distance of cracks and of patches from each other.
///
/// # Source
/// common practice, no source.
const CRACKS_M: f64 = 2.5e-3;
const PATCHES_M: f64 = 4.0e-3;

/// Resistance of unit area of air at rest in a gap, at the temperature of a joint at work.
fn air_m2k_w(gap_m: f64) -> f64 {
    gap_m.max(BARE_GAP_M) / air_at(60.0, 1.0).conductivity_w_mk
}

/// Places of the points along a side, from the lid's centre.
fn along(size_m: f64, idx: usize) -> f64 {
    size_m * (idx as f64 / (POINTS - 1) as f64 - 0.5)
}

fn on_die(outline: &PackageOutline, x: f64, y: f64) -> bool {
    let die = &outline.die;
    (x - die.centre_m.0).abs() <= die.half_m.0 && (y - die.centre_m.1).abs() <= die.half_m.1
}

/// The map of pressed paste: through each place's film and its two boundaries, beside it through air.
///
/// # Model
/// A place that paste fills in part conducts by shares. The even joint is the same paste, as thick everywhere as it is
/// in the mean over the lid.
pub fn of_film(film: &PressOutcome, conductivity_w_mk: f64, outline: &PackageOutline) -> JointMap {
    let (nx, ny) = film.cells;
    let boundaries = 0.5e-6 * (BOUNDARIES_MM2K_W.0 + BOUNDARIES_MM2K_W.1);
    let through = |thick_m: f64| thick_m / conductivity_w_mk + boundaries;
    let (mut die, mut covered) = (0.0_f64, 0.0);
    let mut resistance_m2k_w = Vec::with_capacity(POINTS * POINTS);
    for row in 0..POINTS {
        for column in 0..POINTS {
            let cell = |idx: usize, count: usize| (idx * count / (POINTS - 1)).min(count - 1);
            let at = cell(row, ny) * nx + cell(column, nx);
            let fill = film.fill[at].clamp(0.0, 1.0);
            let conducts =
                fill / through(film.gap_m[at].max(1e-9)) + (1.0 - fill) / air_m2k_w(film.gap_m[at]);
            resistance_m2k_w.push(1.0 / conducts);
            if on_die(outline, along(outline.lid_m.0, column), along(outline.lid_m.1, row)) {
                die += 1.0;
                covered += fill;
            }
        }
    }
    let mean_m = film.thickness_m.iter().sum::<f64>() / film.thickness_m.len().max(1) as f64;
    JointMap {
        columns: POINTS,
        resistance_m2k_w,
        covered_die: covered / die.max(1.0),
        even_m2k_w: through(mean_m),
    }
}

/// The map of a state: paste of one resistance, bare where the state says so, until the wanted share of the die is.
pub fn of_state(paste_m2k_w: f64, covered: f64, bare: Bare, outline: &PackageOutline) -> JointMap {
    let places = |row: usize, column: usize| (along(outline.lid_m.0, column), along(outline.lid_m.1, row));
    // What is bare first has the smallest key.
    let key = |(x, y): (f64, f64)| {
        let die = &outline.die;
        let (u, v) = ((x - die.centre_m.0) / die.half_m.0, (y - die.centre_m.1) / die.half_m.1);
        let wave = |at: f64, length: f64| (core::f64::consts::PI * at / length).sin().abs();
        match bare {
            Bare::Nowhere => f64::INFINITY,
            Bare::Middle => u.hypot(v),
            Bare::Rim => -u.hypot(v),
            // Cracks run along lines at right angles, each a little off the straight.
            Bare::Cracks => {
                let bent = 0.3 * CRACKS_M;
                let (x, y) = (x + bent * (y / CRACKS_M).sin(), y + bent * (x / CRACKS_M).sin());
                wave(x, CRACKS_M).min(wave(y, CRACKS_M))
            }
            Bare::Patches => wave(x + 0.3 * y, PATCHES_M) * wave(y - 0.3 * x, PATCHES_M),
        }
    };
    let all = (0..POINTS).flat_map(|row| (0..POINTS).map(move |column| (row, column)));
    let mut die: Vec<f64> = all
        .clone()
        .map(|(row, column)| places(row, column))
        .filter(|(x, y)| on_die(outline, *x, *y))
        .map(key)
        .collect();
    die.sort_by(f64::total_cmp);
    let bare_count = ((1.0 - covered.clamp(0.0, 1.0)) * die.len() as f64).round() as usize;
    let limit = match bare_count.checked_sub(1) {
        None => f64::NEG_INFINITY,
        Some(last) => die.get(last).copied().unwrap_or(f64::NEG_INFINITY),
    };
    let air = air_m2k_w(BARE_GAP_M).max(paste_m2k_w);
    let is_bare = |row: usize, column: usize| key(places(row, column)) <= limit;
    let resistance_m2k_w =
        all.map(|(row, column)| if is_bare(row, column) { air } else { paste_m2k_w }).collect();
    let bare_on_die = die.iter().filter(|key| **key <= limit).count();
    JointMap {
        columns: POINTS,
        resistance_m2k_w,
        covered_die: 1.0 - bare_on_die as f64 / die.len().max(1) as f64,
        even_m2k_w: paste_m2k_w,
    }
}

#[cfg(test)]
mod tests {
    use super::{POINTS, of_state};
    use crate::carry::joint_state::Bare;
    use crate::carry::package_outline::{Outline, PackageOutline};

    fn outline() -> PackageOutline {
        let die = Outline { centre_m: (2e-3, -1e-3), half_m: (6e-3, 4e-3) };
        PackageOutline { lid_m: (0.03, 0.028), cores: die, die, assumed: Vec::new() }
    }

    #[test]
    fn the_wanted_share_of_the_die_is_covered() {
        for bare in [Bare::Middle, Bare::Rim, Bare::Patches, Bare::Cracks] {
            for covered in [0.2, 0.5, 0.9] {
                let map = of_state(1e-5, covered, bare, &outline());
                // The die is 39 by 28 points: a row of equal keys is the grain of the map.
                assert!(
                    (map.covered_die - covered).abs() < 0.03,
                    "{bare:?}: {} of {covered}",
                    map.covered_die
                );
                assert_eq!(map.resistance_m2k_w.len(), POINTS * POINTS);
            }
        }
        let even = of_state(1e-5, 1.0, Bare::Cracks, &outline());
        assert!(even.resistance_m2k_w.iter().all(|r| *r == 1e-5) && even.covered_die == 1.0);
    }

    #[test]
    fn what_is_pumped_out_is_bare_over_the_dies_middle() {
        let map = of_state(1e-5, 0.6, Bare::Middle, &outline());
        let at = |x: f64, y: f64| {
            let idx = |value: f64, size: f64| ((value / size + 0.5) * (POINTS - 1) as f64).round() as usize;
            map.resistance_m2k_w[idx(y, 0.028) * POINTS + idx(x, 0.03)]
        };
        assert!(at(2e-3, -1e-3) > 1e-4, "the middle");
        assert_eq!(at(7.8e-3, -4.8e-3), 1e-5, "the corner");
    }
}
