//! Layers looked for in a record.

use crate::network::layers::{Layer, MOST};
use crate::network::prior::{KINDS_W_S_K2, Prior, slope_of};
use crate::network::settle::{Rows, settle};

/// Most layers that are looked for.
const LAYERS: usize = 7;
/// Spread of slopes about their kinds while the first layers are looked for, and while they are cut.
const FIRST_SPREAD: f64 = 0.3;
const CUT_SPREAD: f64 = 0.5;
/// Steps with which a start is tried, with which a cut is tried, and with which the best is brought to rest.
const STARTING: usize = 8;
const TRYING: usize = 4;
const RESTING: usize = 20;
/// A layer more must lessen the sum of squares by so much: two for each of its two parameters (Akaike's criterion); the
/// belief about layers asks for the rest.
const LEAST_GAIN: f64 = 4.0;
/// Starts that are followed to their end where the ones before left more than chance.
const MOST_STARTS: usize = 9;
/// What tells after a few steps that layers will not do.
const HOPELESS: f64 = 100.0;
/// How much more capacitance lies on one side of a cut than on the other, as shares of it.
const CUTS: [[f64; 2]; 2] = [[0.03, 0.97], [0.97, 0.03]];
/// Capacitance of the film, in shares of what a lump of the record's mean time constant stores.
const FILM_SHARE: f64 = 1e-7;
/// Neighbours whose slopes differ by less than this in their logarithm are one layer.
const ALIKE: f64 = 0.1;
/// Slopes further from their kind than this are also tried at both kinds.
const BETWEEN: f64 = 0.8;

/// Paths to begin with: shares of the whole resistance that die and first joint take together, and the film.
const STARTS: [(f64, f64); 9] = [
    (0.1, 0.3),
    (0.1, 0.5),
    (0.1, 0.7),
    (0.2, 0.3),
    (0.2, 0.5),
    (0.2, 0.7),
    (0.35, 0.2),
    (0.35, 0.35),
    (0.35, 0.5),
];

/// Die, joint, lid, joint, base and film.
fn start(total_k_w: f64, film_j_k: f64, (first, film): (f64, f64)) -> Vec<Layer> {
    let [joint, lid, base] = KINDS_W_S_K2;
    let rest = 1.0 - first - film;
    let of = |share: f64, slope: f64| Layer {
        resistance_k_w: share * total_k_w,
        capacitance_j_k: slope * share * total_k_w,
    };
    vec![
        of(0.6 * first, 2.0 * joint),
        of(0.4 * first, joint),
        of(0.2 * rest, lid),
        of(0.6 * rest, joint),
        of(0.2 * rest, base),
        Layer { resistance_k_w: film * total_k_w, capacitance_j_k: film_j_k },
    ]
}

/// The layers that answer as a record's rows do: as few as leave no more than chance, and as usual as the rows allow.
///
/// # Model
/// The most likely layers: the rows by their uncertainty, the layers by [`Prior`]. There are many valleys; so a few usual paths
/// are brought to rest while the slopes of their layers are held to their kinds, which leaves little but the
/// resistances to move, and the best of them is cut further: each layer in turn in two, once with most of its capacitance
/// before and once behind, and the best cut stays if it lessens what is left by more than chance would. Then the slopes are let go,
/// and a layer between the kinds is tried as each of them.
///
/// # Source
/// The answer of layers: [`crate::network::layers::answer_k_w`]. Number of layers: H. Akaike, IEEE Trans. Automatic Control 19,
/// 716-723, 1974; from memory. The combination is our own; the tests measure it against exact columns.
pub fn search(rows: &Rows<'_>, prior: &Prior, mean_time_s: f64) -> Vec<Layer> {
    let total_k_w = prior.total_k_w;
    let film_j_k = FILM_SHARE * mean_time_s / total_k_w;
    let first = prior.tighter(FIRST_SPREAD);
    let enough = rows.enough();
    let begun = STARTS.map(|shares| {
        let mut tried = start(total_k_w, film_j_k, shares);
        let left = settle(rows, &first, &mut tried, STARTING);
        (tried, left)
    });
    let mut begun = Vec::from(begun);
    begun.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut found: Option<(Vec<Layer>, f64)> = None;
    for (start, _) in begun.into_iter().take(MOST_STARTS) {
        let mut best = cut(rows, &prior.tighter(CUT_SPREAD), start);
        let left = settle(rows, prior, &mut best, RESTING);
        let fewer = merged(rows, prior, (best, left));
        let now = turned(rows, prior, fewer);
        if found.as_ref().is_none_or(|found| now.1 < found.1) {
            found = Some(now);
        }
        if found.as_ref().is_some_and(|found| found.1 < enough) {
            break;
        }
    }
    found.map_or_else(Vec::new, |found| joined(found.0))
}

/// Cuts layers while that helps.
fn cut(rows: &Rows<'_>, prior: &Prior, mut best: Vec<Layer>) -> Vec<Layer> {
    let mut left = settle(rows, prior, &mut best, RESTING);
    while best.len() < LAYERS.min(MOST) {
        let mut found: Option<(Vec<Layer>, f64)> = None;
        for place in 0..best.len() - 1 {
            for shares in CUTS {
                let mut tried = best.clone();
                let whole = tried[place];
                let part = |share: f64| Layer {
                    resistance_k_w: 0.5 * whole.resistance_k_w,
                    capacitance_j_k: whole.capacitance_j_k * share,
                };
                tried[place] = part(shares[0]);
                tried.insert(place + 1, part(shares[1]));
                let left = settle(rows, prior, &mut tried, TRYING);
                if found.as_ref().is_none_or(|found| left < found.1) {
                    found = Some((tried, left));
                }
            }
        }
        let Some((mut tried, _)) = found else { break };
        let now = settle(rows, prior, &mut tried, RESTING);
        if now >= left - LEAST_GAIN {
            break;
        }
        (best, left) = (tried, now);
    }
    best
}

/// Makes neighbours one while that leaves no more than chance would.
fn merged(rows: &Rows<'_>, prior: &Prior, (mut best, mut left): (Vec<Layer>, f64)) -> (Vec<Layer>, f64) {
    loop {
        let mut found: Option<(Vec<Layer>, f64)> = None;
        for place in 0..best.len().saturating_sub(2) {
            let mut tried = best.clone();
            let gone = tried.remove(place);
            tried[place].resistance_k_w += gone.resistance_k_w;
            tried[place].capacitance_j_k += gone.capacitance_j_k;
            let now = settle(rows, prior, &mut tried, TRYING);
            if found.as_ref().is_none_or(|found| now < found.1) {
                found = Some((tried, now));
            }
        }
        let Some((mut tried, now)) = found else { return (best, left) };
        let rested = if now < left + HOPELESS { settle(rows, prior, &mut tried, RESTING) } else { now };
        if rested >= left + LEAST_GAIN {
            return (best, left);
        }
        (best, left) = (tried, rested);
    }
}

/// Tries each layer between the kinds as one of them; what a joint no longer stores goes to its neighbours.
fn turned(rows: &Rows<'_>, prior: &Prior, (mut best, mut left): (Vec<Layer>, f64)) -> (Vec<Layer>, f64) {
    let [joint, ..] = KINDS_W_S_K2;
    for place in 0..best.len() - 1 {
        if prior.tighter(1.0).off(place, &best[place]).slope.abs() < BETWEEN {
            continue;
        }
        for kind in KINDS_W_S_K2 {
            let mut tried = best.clone();
            let freed = tried[place].capacitance_j_k - kind * tried[place].resistance_k_w;
            tried[place].capacitance_j_k -= freed;
            if place > 0 && kind <= joint {
                let last = tried.len() - 1;
                for beside in [place - 1, place + 1] {
                    if beside < last && tried[beside].capacitance_j_k > 0.5 * freed {
                        tried[beside].capacitance_j_k += 0.5 * freed;
                    }
                }
            }
            let now = settle(rows, prior, &mut tried, RESTING);
            if now < left {
                (best, left) = (tried, now);
                break;
            }
        }
    }
    (best, left)
}

/// Neighbours of one slope as one layer, which answers alike.
fn joined(layers: Vec<Layer>) -> Vec<Layer> {
    let last = layers.len() - 1;
    let mut out: Vec<Layer> = Vec::with_capacity(layers.len());
    for (idx, layer) in layers.into_iter().enumerate() {
        match out.last_mut() {
            Some(before) if idx < last && (slope_of(before) / slope_of(&layer)).ln().abs() < ALIKE => {
                before.resistance_k_w += layer.resistance_k_w;
                before.capacitance_j_k += layer.capacitance_j_k;
            }
            _ => out.push(layer),
        }
    }
    out
}
