//! A hand-over as JSON.

use serde_json::{Value, json};
use upgrade::record::handover::Handover;

use crate::json::finding::findings;
use crate::json::route::route;

/// The hand-over.
pub fn handover(handover: &Handover) -> Value {
    let found: Vec<Value> =
        handover.found.iter().map(|one| json!({ "what": one.what, "found": one.value })).collect();
    let changed: Vec<Value> = handover
        .changed
        .iter()
        .map(|one| json!({ "part": one.kind, "out": one.out, "in": one.into }))
        .collect();
    let expected: Vec<Value> = handover
        .expected
        .iter()
        .map(|one| json!({ "what": one.what, "before": one.before, "after": one.after }))
        .collect();
    json!({
        "machine": handover.machine,
        "story": handover.story,
        "job": handover.job,
        "found": found,
        "remarks": findings(&handover.remarks),
        "changed": changed,
        "route": handover.route.as_ref().map(|named| route(&named.route)),
        "without_a_price": handover.route.as_ref().map(|named| &named.unpriced),
        "expected": expected,
        "conditions": findings(&handover.conditions),
    })
}
