//! Heat from a rectangle into a rectangular block of one or two layers with a film below.
//!
//! # Source
//! M. M. Yovanovich, Y. S. Muzychka, J. R. Culham, J. Thermophysics and Heat Transfer 13, 495-500, 1999;
//! Y. S. Muzychka, J. R. Culham, M. M. Yovanovich, J. Electronic Packaging 125, 178-185, 2003. The layers
//! are joined by a recursion in `tanh`, which is equal to the published function and does not overflow.

use core::f64::consts::PI;

use crate::refusal::{Refusal, positive, within};

/// A layer, from the source downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Thickness.
    pub thickness_m: f64,
    /// Conductivity.
    pub conductivity_w_mk: f64,
}

/// A block with adiabatic sides.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Width.
    pub width_m: f64,
    /// Depth.
    pub depth_m: f64,
    /// Layers, from the source downwards.
    pub layers: Vec<Layer>,
    /// Film below the last layer.
    pub film_w_m2k: f64,
}

/// A rectangle of even heat flux on top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Width.
    pub width_m: f64,
    /// Depth.
    pub depth_m: f64,
    /// Centre from the block's left edge.
    pub centre_x_m: f64,
    /// Centre from the block's front edge.
    pub centre_y_m: f64,
}

/// Resistances of a source, in kelvin per watt, against the fluid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreading {
    /// Without any spreading: the block's whole area carries evenly.
    pub one_dimensional_k_w: f64,
    /// Mean over the source.
    pub mean_k_w: f64,
    /// At the source's centre.
    pub centroid_k_w: f64,
    /// At its hottest place.
    pub max_k_w: f64,
    /// That place, from the block's left and front edges.
    pub max_at_m: (f64, f64),
}

/// Terms for each source width across the block, and the most of them in one direction.
const TERMS_A_SOURCE: f64 = 60.0;
const MOST_TERMS: f64 = 700.0;

impl Block {
    fn checked(&self) -> Result<(), Refusal> {
        positive("block width", self.width_m)?;
        positive("block depth", self.depth_m)?;
        positive("film coefficient", self.film_w_m2k)?;
        within("layers", self.layers.len() as f64, !self.layers.is_empty(), "at least one")?;
        for layer in &self.layers {
            positive("layer thickness", layer.thickness_m)?;
            positive("layer conductivity", layer.conductivity_w_mk)?;
        }
        Ok(())
    }

    fn holds(&self, source: &Rectangle) -> Result<(), Refusal> {
        positive("source width", source.width_m)?;
        positive("source depth", source.depth_m)?;
        // A source that touches the edge may overhang by rounding.
        let slack = 1e-9 * (self.width_m + self.depth_m);
        let inside = |centre: f64, size: f64, whole: f64| {
            centre - size / 2.0 >= -slack && centre + size / 2.0 <= whole + slack
        };
        let x = inside(source.centre_x_m, source.width_m, self.width_m);
        within("source centre x", source.centre_x_m, x, "such that the source lies on the block")?;
        let y = inside(source.centre_y_m, source.depth_m, self.depth_m);
        within("source centre y", source.centre_y_m, y, "such that the source lies on the block")?;
        Ok(())
    }

    /// Resistance without spreading.
    pub fn one_dimensional_k_w(&self) -> f64 {
        let layers: f64 = self.layers.iter().map(|layer| layer.thickness_m / layer.conductivity_w_mk).sum();
        (layers + 1.0 / self.film_w_m2k) / (self.width_m * self.depth_m)
    }

    /// What the surface sees of the block at a wave number.
    fn admittance(&self, beta: f64) -> f64 {
        self.layers.iter().rev().fold(self.film_w_m2k, |below, layer| {
            let own = layer.conductivity_w_mk * beta;
            let tanh = (beta * layer.thickness_m).tanh();
            own * (below + own * tanh) / (own + below * tanh)
        })
    }
}

/// Cosine averaged over a source, for every wave number up to `terms`.
fn means(terms: usize, whole: f64, size: f64, centre: f64) -> Vec<f64> {
    (0..terms)
        .map(|m| {
            let wave = m as f64 * PI / whole;
            let half = wave * size / 2.0;
            let sinc = if m == 0 { 1.0 } else { half.sin() / half };
            (wave * centre).cos() * sinc
        })
        .collect()
}

fn terms(whole: f64, size: f64) -> usize {
    // Between 61 and 701: the clamp keeps the cast in range.
    (TERMS_A_SOURCE * whole / size).clamp(60.0, MOST_TERMS) as usize + 1
}

/// Resistances of one source.
///
/// # Errors
/// A block or source with sizes that are not above zero, or a source that is not on the block.
pub fn spreading(block: &Block, source: &Rectangle) -> Result<Spreading, Refusal> {
    block.checked()?;
    block.holds(source)?;
    let (nx, ny) = (terms(block.width_m, source.width_m), terms(block.depth_m, source.depth_m));
    let across = means(nx, block.width_m, source.width_m, source.centre_x_m);
    let along = means(ny, block.depth_m, source.depth_m, source.centre_y_m);
    let area = block.width_m * block.depth_m;
    // weight[m][n]: amplitude of cos cos in the surface's temperature, for one watt.
    let mut weight = vec![0.0; nx * ny];
    let mut mean = 0.0;
    for (m, row) in weight.chunks_mut(ny).enumerate() {
        let lambda = m as f64 * PI / block.width_m;
        for (n, cell) in row.iter_mut().enumerate() {
            if m + n == 0 {
                continue;
            }
            let delta = n as f64 * PI / block.depth_m;
            let twice = if m > 0 { 2.0 } else { 1.0 } * if n > 0 { 2.0 } else { 1.0 };
            let amplitude = twice * across[m] * along[n] / block.admittance(lambda.hypot(delta)) / area;
            *cell = amplitude;
            mean += amplitude * across[m] * along[n];
        }
    }
    let one_dimensional_k_w = block.one_dimensional_k_w();
    let at = |x: f64, y: f64| {
        let cos_y: Vec<f64> = (0..ny).map(|n| (n as f64 * PI * y / block.depth_m).cos()).collect();
        let sum: f64 = weight
            .chunks(ny)
            .enumerate()
            .map(|(m, row)| {
                let inner: f64 = row.iter().zip(&cos_y).map(|(weight, cos)| weight * cos).sum();
                inner * (m as f64 * PI * x / block.width_m).cos()
            })
            .sum();
        one_dimensional_k_w + sum
    };
    let (max_k_w, max_at_m) = hottest(source, &at);
    Ok(Spreading {
        one_dimensional_k_w,
        mean_k_w: one_dimensional_k_w + mean,
        centroid_k_w: at(source.centre_x_m, source.centre_y_m),
        max_k_w,
        max_at_m,
    })
}

/// Largest value over the source: a coarse look, then a shrinking cross of probes.
fn hottest(source: &Rectangle, at: &impl Fn(f64, f64) -> f64) -> (f64, (f64, f64)) {
    let (left, front) = (source.centre_x_m - source.width_m / 2.0, source.centre_y_m - source.depth_m / 2.0);
    let place = |u: f64, v: f64| (left + u * source.width_m, front + v * source.depth_m);
    let mut best = (0.5, 0.5);
    let mut value = at(source.centre_x_m, source.centre_y_m);
    let mut try_at = |best: &mut (f64, f64), u: f64, v: f64| {
        let (x, y) = place(u, v);
        let found = at(x, y);
        if found > value {
            value = found;
            *best = (u, v);
            return true;
        }
        false
    };
    for i in 0..=6 {
        for j in 0..=6 {
            try_at(&mut best, f64::from(i) / 6.0, f64::from(j) / 6.0);
        }
    }
    let mut step = 1.0 / 12.0;
    while step > 1e-4 {
        let (u, v) = best;
        let moved = [(step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)]
            .into_iter()
            .any(|(du, dv)| try_at(&mut best, (u + du).clamp(0.0, 1.0), (v + dv).clamp(0.0, 1.0)));
        if !moved {
            step *= 0.5;
        }
    }
    (value, place(best.0, best.1))
}

/// Mean rise over `observed` while one watt enters through `heated`, in kelvin per watt.
///
/// # Errors
/// As [`spreading`].
pub fn influence(block: &Block, heated: &Rectangle, observed: &Rectangle) -> Result<f64, Refusal> {
    block.checked()?;
    block.holds(heated)?;
    block.holds(observed)?;
    let nx = terms(block.width_m, heated.width_m.min(observed.width_m));
    let ny = terms(block.depth_m, heated.depth_m.min(observed.depth_m));
    let x = (
        means(nx, block.width_m, heated.width_m, heated.centre_x_m),
        means(nx, block.width_m, observed.width_m, observed.centre_x_m),
    );
    let y = (
        means(ny, block.depth_m, heated.depth_m, heated.centre_y_m),
        means(ny, block.depth_m, observed.depth_m, observed.centre_y_m),
    );
    let mut sum = 0.0;
    for m in 0..nx {
        let lambda = m as f64 * PI / block.width_m;
        for n in usize::from(m == 0)..ny {
            let delta = n as f64 * PI / block.depth_m;
            let twice = if m > 0 { 2.0 } else { 1.0 } * if n > 0 { 2.0 } else { 1.0 };
            sum += twice * x.0[m] * x.1[m] * y.0[n] * y.1[n] / block.admittance(lambda.hypot(delta));
        }
    }
    Ok(block.one_dimensional_k_w() + sum / (block.width_m * block.depth_m))
}
