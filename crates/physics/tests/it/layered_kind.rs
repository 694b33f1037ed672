//! Other layered columns of the same kind, how far a found structure function is from the true one, and how much of it the
//! bands hold.

use physics::network::path::CurvePoint;

/// Numbers between zero and one, each from its seed: SplitMix64, from memory.
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Even over the logarithm.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.next())
    }
}

/// A column of die, paste or solder, lid, paste, base and film: thickness, conductivity and area anywhere between those of
/// processors, of which the reference's columns are two.
pub(crate) fn column(numbers: &mut Numbers) -> Vec<(f64, f64)> {
    let layer = |thickness_m: f64, k_w_m_k: f64, store_j_m3_k: f64, area_m2: f64| {
        (thickness_m / (k_w_m_k * area_m2), thickness_m * store_j_m3_k * area_m2)
    };
    let n = numbers;
    let die_m2 = n.between(0.7e-4, 2e-4);
    let mut out = vec![layer(n.between(0.4e-3, 1e-3), n.between(100.0, 140.0), 1.65e6, die_m2)];
    out.push(if n.next() < 0.5 {
        layer(n.between(2e-5, 6e-5), n.between(15.0, 60.0), 1.8e6, die_m2)
    } else {
        layer(n.between(2e-4, 4e-4), n.between(50.0, 85.0), 1.7e6, die_m2)
    });
    let lid_m2 = n.between(3e-4, 8e-4);
    out.push(layer(n.between(2e-3, 4e-3), n.between(350.0, 400.0), 3.45e6, lid_m2));
    let paste_m2 = lid_m2 * n.between(1.0, 1.6);
    out.push(layer(n.between(3e-5, 1.5e-4), n.between(2.0, 8.0), 2.2e6, paste_m2));
    let base_m2 = n.between(1.2e-3, 3e-3);
    let (k_w_m_k, store_j_m3_k) = if n.next() < 0.5 { (390.0, 3.45e6) } else { (200.0, 2.43e6) };
    out.push(layer(n.between(3e-3, 8e-3), k_w_m_k, store_j_m3_k, base_m2));
    out.push((1.0 / (n.between(2e3, 4e3) * base_m2), 0.0));
    out
}

/// Whole resistance.
pub(crate) fn whole(stack: &[(f64, f64)]) -> f64 {
    stack.iter().map(|layer| layer.0).sum()
}

/// A capacitance is taken as met within this share: where the true curve stands upright, across a joint that stores
/// nothing, no finite record tells on which side of it a capacitance lies.
const MET: f64 = 0.05;

/// Capacitances from a fifth of the first layer's to 98 % of all, with the resistance at which each is truly met.
fn points(stack: &[(f64, f64)], count: u32) -> impl Iterator<Item = (f64, f64)> {
    let mut corners = vec![(0.0, 0.0)];
    let mut at = (0.0, 0.0);
    for (resistance, capacitance) in stack.iter().filter(|layer| layer.1 > 0.0) {
        at = (at.0 + resistance, at.1 + capacitance);
        corners.push(at);
    }
    let (first, last) = (0.2 * corners[1].1, 0.98 * at.1);
    (0..count).map(move |idx| {
        let capacitance = first * (last / first).powf(f64::from(idx) / f64::from(count - 1));
        let truth = corners.windows(2).find(|pair| capacitance <= pair[1].1).map_or(at.0, |pair| {
            let share = (capacitance - pair[0].1) / (pair[1].1 - pair[0].1);
            pair[0].0 + share * (pair[1].0 - pair[0].0)
        });
        (capacitance, truth)
    })
}

/// Largest distance of a found structure function from the true one along the resistance, as a share of the whole.
pub(crate) fn largest_error(stack: &[(f64, f64)], found: impl Fn(f64) -> f64) -> f64 {
    let distance = |(capacitance, truth): (f64, f64)| {
        let (low, high) = ((1.0 - MET) * capacitance, (1.0 + MET) * capacitance);
        (found(low) - truth).max(truth - found(high)).max(0.0) / whole(stack)
    };
    points(stack, 400).map(distance).fold(0.0, f64::max)
}

/// A band also holds what lies beside it by this share of the whole: the column's own forty rungs a layer are that far from
/// layers.
const RUNGS: f64 = 1e-3;

/// How many of a hundred points of the true curve lie within the bands.
pub(crate) fn held(stack: &[(f64, f64)], curve: &[CurvePoint]) -> usize {
    let band = |capacitance: f64| {
        let place = curve.partition_point(|at| at.capacitance_j_k < capacitance).clamp(1, curve.len() - 1);
        let (one, other) = (&curve[place - 1], &curve[place]);
        let share =
            (capacitance / one.capacitance_j_k).ln() / (other.capacitance_j_k / one.capacitance_j_k).ln();
        let along = |low: f64, high: f64| low + share.clamp(0.0, 1.0) * (high - low);
        (along(one.band_k_w.0, other.band_k_w.0), along(one.band_k_w.1, other.band_k_w.1))
    };
    let slack = RUNGS * whole(stack);
    points(stack, 100)
        .filter(|(capacitance, truth)| {
            let (low, high) = (band((1.0 - MET) * capacitance).0, band((1.0 + MET) * capacitance).1);
            low - slack <= *truth && *truth <= high + slack
        })
        .count()
}
