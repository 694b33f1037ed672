//! What a solved lid says, in sentences.

use quantity::dimension::PowerDim;
use quantity::reading::Figure;
use quantity::text::significant;
use upgrade::carry::heat_map::HeatMap;

use crate::paint::{Paint, Role};
use crate::wrap::wrap;

/// Kelvin that a difference in K/W makes at a power, in words; per watt where the power is not known.
fn kelvin(difference_k_w: f64, power_w: Option<f64>) -> String {
    match power_w {
        Some(power) => format!("{} K at {} W", significant(difference_k_w * power, 2), significant(power, 2)),
        None => format!("{} K for each watt", significant(difference_k_w, 2)),
    }
}

/// Dearer or cheaper than something else, in words.
fn against(difference_k_w: f64, power_w: Option<f64>, other: &str) -> String {
    // Below a thousandth of a kelvin per watt nothing is told apart by anyone.
    if difference_k_w.abs() < 1e-3 {
        return format!("no more than {other}");
    }
    let word = if difference_k_w > 0.0 { "more" } else { "less" };
    format!("{} {word} than {other}", kelvin(difference_k_w.abs(), power_w))
}

/// How fine the answer is.
pub fn fidelity(map: &HeatMap) -> String {
    let cells = format!("{} by {} by {} cells", map.cells.x, map.cells.y, map.cells.z);
    match map.changed {
        Some(changed) => format!(
            "Solved with {cells}; the last refinement changed the answer by {} %.",
            significant(100.0 * changed, 2)
        ),
        None if map.joint.even_k_w.is_none() => {
            format!("A preview with {cells} and an even joint; the joint's own map is not in it yet.")
        }
        None => format!("Solved with {cells}."),
    }
}

/// The joint of the lid, and what its unevenness costs.
pub fn joint(map: &HeatMap, power: &Figure<PowerDim>) -> Vec<String> {
    let power_w = power.get().map(|power| power.middle().si());
    let joint = &map.joint;
    let mut out = Vec::new();
    if let Some(even) = joint.even_k_w {
        let covered = joint
            .map
            .as_ref()
            .map_or(String::new(), |of| format!(", {:.0} % of the die covered", 100.0 * of.covered_die));
        out.push(format!(
            "The joint ({}{covered}) costs {}.",
            joint.what,
            against(map.solver_k_w - even, power_w, "the same paste spread evenly")
        ));
    }
    if let Some(fresh) = joint.fresh_k_w {
        out.push(format!(
            "It costs {}.",
            against(map.solver_k_w - fresh, power_w, "a fresh joint as it should be")
        ));
        if let Some((mild, bad)) = joint.ends_k_w {
            out.push(format!(
                "More is not known of its state, so it may be anything from {} to {}.",
                kelvin((mild - fresh).max(0.0), power_w),
                kelvin((bad - fresh).max(0.0), power_w)
            ));
        }
    }
    out
}

/// Everything a solved lid says.
pub fn sentences(map: &HeatMap, power: &Figure<PowerDim>) -> Vec<String> {
    let mut out = vec![format!(
        "From the cores to the cooler's base: {} K/W by the solver, {} K/W by the closed form of the search.",
        significant(map.solver_k_w, 3),
        significant(map.closed_form_k_w, 3)
    )];
    out.extend(joint(map, power));
    out.push(fidelity(map));
    out.extend(map.assumed.iter().cloned());
    out
}

/// A solved lid as terminal text.
pub fn text(map: &HeatMap, power: &Figure<PowerDim>, width: usize, paint: Paint) -> String {
    let mut out = format!("\n{}\n", paint.text(Role::Heading, "The lid, solved in three dimensions"));
    for sentence in sentences(map, power) {
        out.push_str(&wrap(&sentence, width, 2).join("\n"));
        out.push('\n');
    }
    out
}
