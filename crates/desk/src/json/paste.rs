//! Pressed paste as JSON.

use quantity::interval::Interval;
use serde_json::{Value, json};
use upgrade::carry::paste_press::PasteJob;

use crate::json::route::figure;

/// The pressed patterns, best first.
pub fn paste(job: &PasteJob) -> Value {
    let patterns: Vec<Value> = job
        .patterns
        .iter()
        .map(|pressed| {
            let film = &pressed.film;
            let curve: Vec<Value> = film
                .history
                .iter()
                .map(|moment| json!({ "seconds": moment.time_s, "covered_share": moment.coverage, "gap_um": moment.gap_m * 1e6, "force_N": moment.force_n }))
                .collect();
            json!({
                "pattern": pressed.pattern.name(),
                "to_put": pressed.to_see.to_string(),
                "covered_share_of_lid": film.coverage,
                "covered_share_of_die": pressed.over_die,
                "mean_thickness_over_die_um": pressed.thickness_over_die_m.map(|thick| thick * 1e6),
                "resistance_over_die": figure(&pressed.resistance),
                "shut_in_air": film.pockets.iter().map(|pocket| json!({ "x_mm": pocket.at_m.0 * 1e3, "y_mm": pocket.at_m.1 * 1e3, "area_mm2": pocket.area_m2 * 1e6 })).collect::<Vec<_>>(),
                "over_the_edge_mm3": film.overflow_m3 * 1e9,
                "relative_drift_of_volume": film.volume_drift,
                "history": curve,
            })
        })
        .collect();
    json!({
        "title": job.title,
        "paste": job.paste,
        "volume": Interval::exact(job.volume).rounded(4),
        "assumed": job.assumed,
        "patterns": patterns,
    })
}
