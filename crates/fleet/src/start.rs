//! A good choice to begin with: the relaxed program's answer rounded down, then filled up.
//!
//! Without it a search that is stopped early may have nothing to show; with it branches that cannot beat it are never
//! opened.

use crate::choose::{Problem, WayRow, sums};

/// Rounds a relaxed answer down to whole machines, takes back what then lacks its processor, and adds what still fits,
/// the most valuable for what it uses first. Always keeps every limit.
pub(crate) fn rounded(
    problem: &Problem,
    relaxed: &[Vec<f64>],
    worth: &dyn Fn(&WayRow) -> i64,
) -> Vec<Vec<i64>> {
    let down = |value: &f64| (value + 1e-6).floor().max(0.0) as i64;
    let mut counts: Vec<Vec<i64>> = relaxed.iter().map(|ways| ways.iter().map(down).collect()).collect();
    for kind in 0..problem.resale.len() {
        take_back(problem, &mut counts, kind);
    }
    if sums(problem, &counts).is_none() {
        counts = problem.groups.iter().map(|group| vec![0; group.ways.len()]).collect();
    }
    let mut order: Vec<(f64, usize, usize)> = Vec::new();
    for (place, group) in problem.groups.iter().enumerate() {
        for (way, row) in group.ways.iter().enumerate() {
            let share =
                |used: i64, most: Option<i64>| most.map_or(0.0, |most| used as f64 / most.max(1) as f64);
            let used = share(row.cost, problem.budget) + share(row.minutes, problem.minutes);
            let worth = worth(row) as f64;
            if worth > 0.0 {
                order.push((worth / used.max(1e-9), place, way));
            }
        }
    }
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    for (_, place, way) in order {
        fill(problem, &mut counts, place, way);
    }
    counts
}

/// Takes machines back that would get a processor which no other gives.
fn take_back(problem: &Problem, counts: &mut [Vec<i64>], kind: usize) {
    let each =
        || {
            problem.groups.iter().zip(0..).flat_map(|(group, place)| {
                group.ways.iter().zip(0..).map(move |(row, way)| (place, way, row))
            })
        };
    let count = |counts: &[Vec<i64>], place: usize, way: usize| {
        counts.get(place).and_then(|ways| ways.get(way)).copied().unwrap_or(0)
    };
    let mut lacking: i64 = each()
        .map(|(place, way, row): (usize, usize, &WayRow)| {
            let sign = i64::from(row.takes == Some(kind)) - i64::from(row.gives == Some(kind));
            sign * count(counts, place, way)
        })
        .sum();
    for (place, way, row) in each() {
        if lacking > 0 && row.takes == Some(kind) {
            let back = lacking.min(count(counts, place, way));
            if let Some(count) = counts.get_mut(place).and_then(|ways| ways.get_mut(way)) {
                *count -= back;
            }
            lacking -= back;
        }
    }
}

/// Adds as many machines to a way as the limits leave room for, by halving.
fn fill(problem: &Problem, counts: &mut [Vec<i64>], place: usize, way: usize) {
    let Some(group) = problem.groups.get(place) else { return };
    let taken: i64 = counts.get(place).map_or(0, |ways| ways.iter().sum());
    let mut step = group.count - taken;
    while step > 0 {
        let add = |counts: &mut [Vec<i64>], step: i64| {
            if let Some(count) = counts.get_mut(place).and_then(|ways| ways.get_mut(way)) {
                *count += step;
            }
        };
        add(counts, step);
        if sums(problem, counts).is_none() {
            add(counts, -step);
            step /= 2;
        } else {
            let taken: i64 = counts.get(place).map_or(0, |ways| ways.iter().sum());
            step = step.min(group.count - taken);
        }
    }
}
