//! The slope of temperature across the cores: what a wedge of paste leaves in their sensors.

use quantity::text::significant;

use crate::proof::expected::Expected;
use crate::proof::path::PathFound;
use crate::proof::settled::Settled;
use crate::proof::sign::Sign;
use crate::proof::signs_of::{SignRead, share};

/// Fewest cores along which a slope can be seen, and fewest for a second row to be told from chance.
const LEAST_CORES: usize = 4;
const LEAST_IN_ROWS: usize = 6;

/// How cores may be numbered over a die.
#[derive(Debug, Clone, Copy)]
enum Layout {
    /// In one row.
    Line,
    /// In two rows, one after the other.
    RowByRow,
    /// In two rows, across and back.
    Across,
}

impl Layout {
    /// Where a core lies along the die, from -0.5 to 0.5, and on which side of its middle line.
    fn place(self, core: usize, count: usize) -> (f64, f64) {
        let half = count / 2;
        let (place, of, row) = match self {
            Self::Line => (core, count, 0),
            Self::RowByRow => (core % half, half, 1 + core / half),
            Self::Across => (core / 2, half, 1 + core % 2),
        };
        let side = [0.0, -1.0, 1.0].get(row).copied().unwrap_or(0.0);
        (place as f64 / (of.max(2) - 1) as f64 - 0.5, side)
    }
}

/// A straight line along the die: its rise from end to end, and the scatter of that.
struct Fitted {
    across: f64,
    blur: f64,
    /// Variance that is left for each core beyond what was fitted.
    left: f64,
}

/// Fits a line along the die, a bow about its middle and a step between two rows. In each layout the three are at right angles, so that
/// each is found by itself.
fn fitted(rises: &[f64], layout: Layout) -> Fitted {
    let count = rises.len();
    let places: Vec<(f64, f64)> = (0..count).map(|core| layout.place(core, count)).collect();
    let mean = rises.iter().sum::<f64>() / count as f64;
    let square = places.iter().map(|(along, _)| along * along).sum::<f64>();
    let middle = square / count as f64;
    let mut left: Vec<f64> = rises.iter().map(|rise| rise - mean).collect();
    let mut used = 1;
    let mut across = 0.0;
    for which in 0..3 {
        let shape = |(along, side): &(f64, f64)| match which {
            0 => *along,
            1 => along * along - middle,
            _ => *side,
        };
        let own: f64 = places.iter().map(|at| shape(at).powi(2)).sum();
        // Two columns have no bow, one row no step; and what is left must show the scatter.
        if own < 1e-9 || (which > 0 && used + 2 > count) {
            continue;
        }
        let times: f64 = places.iter().zip(&left).map(|(at, left)| shape(at) * left).sum::<f64>() / own;
        left.iter_mut().zip(&places).for_each(|(left, at)| *left -= times * shape(at));
        used += 1;
        if which == 0 {
            across = times;
        }
    }
    let variance = left.iter().map(|left| left * left).sum::<f64>() / (count - used).max(1) as f64;
    Fitted { across, blur: (variance / square).sqrt(), left: variance }
}

/// Slope across the cores beside the rise over die, lid and paste.
///
/// # Model
/// What each sensor says at rest is taken off, at the power of rest: sensors of one die differ by kelvins and keep their difference. Cores are
/// taken as numbered along the die, or in two rows, whichever leaves least; a wedge across the rows is not seen.
pub fn slope(
    (settled, rest): (&Settled, Option<&Settled>),
    path: Option<&PathFound>,
    expected: &Expected,
) -> Option<SignRead> {
    let power = settled.power?.value.si();
    let rest = rest.and_then(|rest| Some((rest, rest.power?.value.si()))).filter(|(_, at)| *at < 0.5 * power);
    let mut blurs = Vec::new();
    let rises: Vec<f64> = settled
        .cores
        .iter()
        .filter_map(|(core, loaded)| {
            let off = match rest {
                Some((rest, _)) => rest.cores.iter().find(|(known, _)| known == core).map(|(_, off)| off)?,
                None => loaded,
            };
            blurs.push(loaded.uncertainty_si().hypot(if rest.is_some() {
                off.uncertainty_si()
            } else {
                0.0
            }));
            Some(loaded.value.si() - if rest.is_some() { off.value.si() } else { 0.0 })
        })
        .collect();
    if rises.len() < LEAST_CORES {
        return None;
    }
    let watts = power - rest.map_or(0.0, |(_, at)| at);
    let inside = path.and_then(|path| {
        Some(path.step("die and lid")?.found?.value.si() + path.step("paste")?.found?.value.si())
    });
    let by_plan =
        expected.sound.inner.with(expected.sound.paste, |inner, paste| (inner + paste).middle().si()).get();
    let rise = watts * inside.or(by_plan)?;
    let layouts: &[Layout] = if rises.len() >= LEAST_IN_ROWS && rises.len().is_multiple_of(2) {
        &[Layout::Line, Layout::RowByRow, Layout::Across]
    } else {
        &[Layout::Line]
    };
    let best = layouts
        .iter()
        .map(|layout| fitted(&rises, *layout))
        .min_by(|one, other| one.left.total_cmp(&other.left))?;
    let sensors = blurs.iter().map(|blur| blur * blur).sum::<f64>() / blurs.len().max(1) as f64;
    // A line through n places has a variance of 12 / n of a single one's, about.
    let blur = best.blur.max((12.0 * sensors / rises.len() as f64).sqrt());
    (rise > 1.0).then(|| SignRead {
        sign: Sign::Slope,
        value: (best.across / rise).abs(),
        uncertainty: blur / rise,
        words: format!(
            "{} K from one end of the die to the other, {} of the rise to the lid's far side",
            significant(best.across.abs(), 2),
            share((best.across / rise).abs())
        ),
        sound: Some("below 8 %".to_owned()),
    })
}

#[cfg(test)]
mod tests {
    use super::{Layout, fitted};

    #[test]
    fn a_slope_is_found_whatever_bow_and_step_lie_over_it() {
        for layout in [Layout::Line, Layout::RowByRow, Layout::Across] {
            let rises: Vec<f64> = (0..8)
                .map(|core| {
                    let (along, side) = layout.place(core, 8);
                    30.0 + 4.0 * along - 6.0 * along * along + 1.5 * side
                })
                .collect();
            let found = fitted(&rises, layout);
            assert!((found.across - 4.0).abs() < 1e-9, "{layout:?}: {}", found.across);
            assert!(found.left < 1e-18 && found.blur < 1e-9);
        }
    }
}
