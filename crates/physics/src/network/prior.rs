//! What layers are like before a record says more: heat passes metal and joints in turn.
//!
//! Wherever a record tells a layer, its rows outweigh this by far. But no record tells all of them: how much a joint
//! stores, or a slab before a far larger film resists, moves the surface by less than the noise. There these hold.

use crate::network::layers::Layer;

/// A layer takes about this share of the whole resistance; the spread of its logarithm.
///
/// # Source
/// Our own, no source: a path of some five layers and the air behind them, which takes half.
const SHARE: f64 = 0.05;
const SHARE_SPREAD: f64 = 1.0;

/// Slope of the structure function, capacitance over resistance, in watt seconds per square kelvin: of dies and joints, and
/// of lids and of bases, metal that spreads heat.
///
/// # Source
/// Our own from `k rho c A^2`: dies and pastes of 1 to 100 W/(m K) and 2 MJ/(m3 K) on 1 to 9 cm2 lie from 0.1 to 10, lids and
/// bases of aluminium and copper (0.5 to 1.4 GW J/(m4 K2)) on 3 to 30 cm2 from 50 to 10,000.
const JOINT_W_S_K2: f64 = 1.5;
const LID_W_S_K2: f64 = 500.0;
const BASE_W_S_K2: f64 = 2500.0;
/// Spread of a slope's logarithm about the nearest of the three.
pub const SPREAD: f64 = 0.7;

/// A belief about layers.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    /// Whole resistance in kelvin per watt, about.
    pub total_k_w: f64,
    /// Spread of the logarithm of a slope about its kind.
    pub slope_spread: f64,
    /// For each layer by how many spreads its resistance and its slope are believed elsewhere; none beyond the end.
    pub shifts: Vec<[f64; 2]>,
}

/// How far a layer is from what is believed of it, in spreads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// Its resistance.
    pub resistance: f64,
    /// Its slope.
    pub slope: f64,
}

impl Prior {
    /// A belief without shifts.
    pub const fn about(total_k_w: f64) -> Self {
        Self { total_k_w, slope_spread: SPREAD, shifts: Vec::new() }
    }

    /// The same, with slopes nearer to their kinds.
    pub const fn tighter(&self, slope_spread: f64) -> Self {
        Self { total_k_w: self.total_k_w, slope_spread, shifts: Vec::new() }
    }

    /// By how many spreads a layer is off.
    pub fn off(&self, idx: usize, layer: &Layer) -> Off {
        let [resistance, slope] = self.shifts.get(idx).copied().unwrap_or([0.0; 2]);
        let share = layer.resistance_k_w / (SHARE * self.total_k_w);
        Off {
            resistance: share.ln() / SHARE_SPREAD + resistance,
            slope: (slope_of(layer) / kind_w_s_k2(layer)).ln() / self.slope_spread + slope,
        }
    }

    /// How both change: the resistance's with the logarithm of the resistance, the slope's with that of the capacitance
    /// and, downwards, of the resistance.
    pub const fn slopes(&self) -> Off {
        Off { resistance: 1.0 / SHARE_SPREAD, slope: 1.0 / self.slope_spread }
    }

    /// Sum of squares over all layers but the film.
    pub fn squares(&self, layers: &[Layer]) -> f64 {
        let inner = layers.get(..layers.len().saturating_sub(1)).unwrap_or(&[]);
        let square = |(idx, layer)| {
            let off = self.off(idx, layer);
            off.resistance * off.resistance + off.slope * off.slope
        };
        inner.iter().enumerate().map(square).sum()
    }
}

/// Capacitance over resistance.
pub fn slope_of(layer: &Layer) -> f64 {
    layer.capacitance_j_k / layer.resistance_k_w
}

/// The kinds.
pub const KINDS_W_S_K2: [f64; 3] = [JOINT_W_S_K2, LID_W_S_K2, BASE_W_S_K2];

/// The kind that is nearest to a layer's slope.
fn kind_w_s_k2(layer: &Layer) -> f64 {
    let slope = slope_of(layer);
    let [joint, others @ ..] = KINDS_W_S_K2;
    let far = |kind: f64| (slope / kind).ln().abs();
    others.into_iter().fold(joint, |best, kind| if far(kind) < far(best) { kind } else { best })
}

#[cfg(test)]
mod tests {
    use super::{KINDS_W_S_K2, Prior};
    use crate::network::layers::Layer;

    #[test]
    fn a_slab_between_the_kinds_is_believed_least() {
        let prior = Prior::about(0.4);
        let at = |slope: f64| {
            let layer = Layer { resistance_k_w: 0.02, capacitance_j_k: 0.02 * slope };
            prior.squares(&[layer, layer])
        };
        assert!(KINDS_W_S_K2.iter().all(|kind| at(*kind) < 1e-12));
        assert!(at(27.0) > at(10.0) && at(27.0) > at(100.0));
    }
}
