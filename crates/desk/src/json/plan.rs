//! A plan as JSON.

use serde_json::{Value, json};
use upgrade::machine::present::Machine;
use upgrade::route::plan::Plan;

use crate::json::finding::findings;
use crate::json::route::{objectives, point, route};

/// A plan.
pub fn plan(machine: &Machine, plan: &Plan) -> Value {
    let code = plan.currency.code();
    let front: Vec<Value> = plan
        .front
        .iter()
        .zip(&plan.titles)
        .map(|(found, title)| json!({ "title": title, "objectives": objectives(&found.objectives, code) }))
        .collect();
    let picks: Vec<Value> = plan
        .picks
        .iter()
        .map(|pick| json!({ "pick": pick.kind.word(), "reasons": pick.reasons, "unbeaten_share_of_draws": pick.steadiness, "route": route(&pick.route) }))
        .collect();
    let misses: Vec<Value> = plan
        .near_misses
        .iter()
        .map(|miss| {
            json!({
                "processor": miss.processor.text(),
                "name": miss.name,
                "would_save_seconds_a_day": miss.would_save_s,
                "stopped_by": findings(&miss.stopped_by),
            })
        })
        .collect();
    json!({
        "machine": { "id": machine.id, "name": machine.name },
        "currency": code,
        "present": { "findings": findings(&plan.present), "point": point(&plan.present_point) },
        "picks": picks,
        "front": front,
        "near_misses": misses,
        "combinations_with_a_missing_reading": plan.without_gain,
        "parts_without_price": plan.without_price,
    })
}
