//! A supply's efficiency over its whole range, from a few points of it.

use crate::dot::dot;
use crate::network::nonneg::{ROUNDING, nonneg_least_squares};
use crate::refusal::{Refusal, not_negative, positive, within};

/// Losses of a supply as `idle + slope * load + square * load^2`, in shares of its rated power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossCurve {
    /// Loss without load.
    pub idle: f64,
    /// Loss that grows with the load: diodes and switching.
    pub slope: f64,
    /// Loss that grows with its square: resistance.
    pub square: f64,
}

/// The curve through three points of load share and efficiency, none of its parts below zero.
///
/// # Model
/// Loss = load (1/efficiency - 1). Constant, linear and quadratic parts are what a converter's fixed,
/// switching and resistive losses come to; three points fix three parts. Where that would make a part
/// negative (points rounded to whole per cents do that), the part is zero and the others follow by
/// least squares.
///
/// # Errors
/// Loads that are not three different shares of 0 to 1, or efficiencies outside 0 to 1.
pub fn through(points: &[(f64, f64); 3]) -> Result<LossCurve, Refusal> {
    for (share, efficiency) in points {
        within(
            "load share of an efficiency",
            *share,
            *share > 0.0 && *share <= 1.2,
            "above 0 and at most 1.2",
        )?;
        within("efficiency", *efficiency, *efficiency > 0.0 && *efficiency < 1.0, "between 0 and 1")?;
    }
    let [a, b, c] = points.map(|(share, _)| share);
    within("second load share", b, b > a, "above the first")?;
    within("third load share", c, c > b, "above the second")?;
    let columns = [vec![1.0; 3], vec![a, b, c], vec![a * a, b * b, c * c]];
    let losses: Vec<f64> =
        points.iter().map(|(share, efficiency)| share * (1.0 / efficiency - 1.0)).collect();
    let least_pull = ROUNDING * dot(&losses, &losses).sqrt();
    let parts = nonneg_least_squares(&columns, &losses, least_pull);
    Ok(LossCurve { idle: parts[0], slope: parts[1], square: parts[2] })
}

impl LossCurve {
    /// Efficiency at a share of the rated power.
    pub fn efficiency(&self, share: f64) -> f64 {
        if share <= 0.0 {
            return 0.0;
        }
        share / (share + self.loss(share))
    }

    /// Loss at a share of the rated power, as a share of it.
    pub fn loss(&self, share: f64) -> f64 {
        self.idle + self.slope * share + self.square * share * share
    }
}

/// Power at the wall for a load on a supply of a rating.
///
/// # Errors
/// A rating that is not above zero, or a load below zero.
pub fn wall_w(curve: &LossCurve, rated_w: f64, load_w: f64) -> Result<f64, Refusal> {
    positive("rated power", rated_w)?;
    not_negative("load", load_w)?;
    Ok(load_w + curve.loss(load_w / rated_w) * rated_w)
}

#[cfg(test)]
mod tests {
    use super::{through, wall_w};
    use crate::supply::certificate::{Column, Level, least_efficiency, table};

    /// The curve through the certificate's own three points (the certification programme's table, see
    /// [`table`]) comes within one and a half points of them (a table of whole per cents bends more than
    /// any converter's losses do), and between them lies near its straight lines.
    #[test]
    fn the_curve_meets_the_certificates_points() {
        for level in [Level::Bronze, Level::Silver, Level::Gold, Level::Platinum] {
            for column in [Column::Volts115, Column::Volts230Europe] {
                let [_, low, middle, full] = table(level, column).map(|least| least.unwrap_or(0.9));
                let curve = through(&[(0.2, low), (0.5, middle), (1.0, full)]).unwrap();
                for (share, least) in [(0.2, low), (0.5, middle), (1.0, full)] {
                    assert!(
                        (curve.efficiency(share) - least).abs() < 0.015,
                        "{level:?} at {share}: {}",
                        curve.efficiency(share)
                    );
                }
                for share in [0.3, 0.4, 0.6, 0.8] {
                    let straight = least_efficiency(level, column, 1.0, share).unwrap().unwrap();
                    let off = curve.efficiency(share) - straight;
                    assert!((-0.01..0.02).contains(&off), "{level:?} at {share}: {off}");
                }
                assert!(curve.idle >= 0.0 && curve.slope >= 0.0 && curve.square >= 0.0);
            }
        }
    }

    #[test]
    fn without_load_the_wall_still_gives_the_idle_loss() {
        let curve = through(&[(0.2, 0.87), (0.5, 0.90), (1.0, 0.87)]).unwrap();
        let idle_w = wall_w(&curve, 500.0, 0.0).unwrap();
        assert!(idle_w > 0.0 && idle_w < 15.0, "{idle_w}");
        assert!(through(&[(0.5, 0.87), (0.2, 0.90), (1.0, 0.87)]).is_err());
        assert!(through(&[(0.2, 1.2), (0.5, 0.90), (1.0, 0.87)]).is_err());
    }
}
