//! Warming after load comes on, as text.

use quantity::dimension::DurationDim;
use quantity::measure::Quantity;
use quantity::text::significant;
use upgrade::carry::warming::{At, Curve};

use crate::paint::{Paint, Role};
use crate::table::{Side, Table};
use crate::wrap::wrap;

fn seconds(time_s: f64) -> String {
    Quantity::<DurationDim>::from_si(time_s).rounded(2)
}

/// Moments that a table shows, in seconds.
const SHOWN_S: [f64; 7] = [0.01, 0.1, 1.0, 10.0, 60.0, 180.0, 600.0];

/// The moment of the curve nearest to a time, in logarithms.
fn nearest(curve: &Curve, time_s: f64) -> Option<&At> {
    let away = |at: &At| (at.time_s / time_s).ln().abs();
    curve.at.iter().min_by(|a, b| away(a).total_cmp(&away(b)))
}

/// The curve as a table.
pub fn table(curve: &Curve) -> Table {
    let mut heads = vec![("after", Side::Right), ("junction", Side::Right), ("best to worst", Side::Right)];
    if curve.burst.is_some() {
        heads.push(("at burst power", Side::Right));
    }
    let mut table = Table::new(&heads);
    let last_s = curve.at.last().map_or(0.0, |at| at.time_s);
    let shown: Vec<f64> = SHOWN_S.into_iter().filter(|time| *time < 0.7 * last_s).chain([last_s]).collect();
    for at in shown.into_iter().filter_map(|time| nearest(curve, time)) {
        let celsius = |value: f64| format!("{} °C", significant(value, 3));
        let mut row = vec![
            seconds(at.time_s),
            celsius(at.sustained_c),
            at.band_c.map_or_else(
                || "unknown".to_owned(),
                |(cool, hot)| format!("{}..{} °C", significant(cool, 3), significant(hot, 3)),
            ),
        ];
        if curve.burst.is_some() {
            row.push(at.burst_c.map_or_else(|| "unknown".to_owned(), celsius));
        }
        table.row(row);
    }
    table
}

/// What the curve says, in sentences.
pub fn sentences(curve: &Curve) -> Vec<String> {
    let mut out = vec![format!(
        "From rest at {} to {}: half of the rise is done after {}, all but a kelvin after {}.",
        curve.rest.rounded(2),
        curve.sustained.rounded(2),
        seconds(curve.half_s),
        seconds(curve.settled_s)
    )];
    if let (Some(burst), Some(limit)) = (curve.burst, curve.limit.get()) {
        let limit_c = limit.middle().si() - 273.15;
        let crossed = curve.at.iter().find(|at| at.burst_c.is_some_and(|celsius| celsius >= limit_c));
        out.push(match crossed {
            Some(at) => format!(
                "At its burst power of {} the junction is at its limit of {} °C after {}.",
                burst.rounded(3),
                significant(limit_c, 3),
                seconds(at.time_s)
            ),
            None => format!(
                "At its burst power of {} the junction stays below its limit of {} °C.",
                burst.rounded(3),
                significant(limit_c, 3)
            ),
        });
    }
    out.push("Every figure at its middle; leakage that grows on the way is left out.".to_owned());
    out
}

/// The curve as terminal text.
pub fn text(curve: &Curve, width: usize, paint: Paint) -> String {
    let mut out = format!("\n{}\n", paint.text(Role::Heading, "How it warms after load comes on"));
    out.push_str(&table(curve).render(width));
    for sentence in sentences(curve) {
        out.push_str(&wrap(&sentence, width, 2).join("\n"));
        out.push('\n');
    }
    out
}
