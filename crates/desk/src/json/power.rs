//! The power path as JSON.

use quantity::interval::Interval;
use serde_json::{Value, json};
use upgrade::carry::power_gauge::Gauge;
use upgrade::carry::power_path::{AirNeeded, ConverterFacts, Flow, FlowKind, PowerPath};

use crate::json::finding::readings;
use crate::json::route::figure;

fn flow(flow: &Flow) -> Value {
    let kind = match flow.kind {
        FlowKind::Through => "through",
        FlowKind::Branch => "branch",
        FlowKind::Loss => "loss",
    };
    json!({ "name": flow.name, "kind": kind, "power": figure(&flow.power) })
}

/// A share as a number; null where the heat runs away.
fn share(value: f64) -> Value {
    if value.is_finite() { json!(value) } else { Value::Null }
}

fn gauge(gauge: &Gauge) -> Value {
    json!({
        "what": gauge.what,
        "value": gauge.value,
        "limit": gauge.limit,
        "margin": gauge.margin,
        "used_at_best": share(gauge.used.0),
        "used_at_worst": share(gauge.used.1),
        "kept": gauge.kept().word(),
        "note": gauge.note,
    })
}

fn converter(facts: &ConverterFacts) -> Value {
    json!({
        "current": figure(&facts.current),
        "duty": figure(&facts.duty),
        "phase_ripple": figure(&facts.phase_ripple),
        "total_ripple": figure(&facts.total_ripple),
        "input_ripple_rms": figure(&facts.input_ripple),
        "efficiency": figure(&facts.efficiency),
    })
}

fn air(air: &AirNeeded) -> Value {
    json!({
        "warmest": air.warmest.map(|value| Interval::exact(value).rounded(4)),
        "slowest": air.slowest.map(|value| Interval::exact(value).rounded(4)),
    })
}

/// The power path.
pub fn power(path: &PowerPath) -> Value {
    json!({
        "title": path.title,
        "flows": path.flows.iter().map(flow).collect::<Vec<_>>(),
        "limits": path.gauges.iter().map(gauge).collect::<Vec<_>>(),
        "converter": path.converter.as_ref().map(converter),
        "stages_hold": {
            "sustained": figure(&path.held.sustained),
            "burst": figure(&path.held.burst),
            "burst_time": figure(&path.burst_time),
            "nearest_limit": path.held.nearest.map(|(worst, best)| json!({ "worst": worst.word(), "best": best.word() })),
        },
        "air_needed_at_worst": path.air.as_ref().map(|(worst, _)| air(worst)),
        "air_needed_at_best": path.air.as_ref().map(|(_, best)| air(best)),
        "supply_bridges": figure(&path.hold),
        "wall_at_work": figure(&path.energy.power.busy),
        "wall_at_rest": figure(&path.energy.power.idle),
        "energy_a_year": figure(&path.energy.yearly),
        "cost_a_year": path.yearly_cost.as_ref().map(|(low, high)| [low.to_string(), high.to_string()]),
        "readings": readings(&path.readings),
        "narrows_the_stages_most": path.settle_stages,
        "settles_the_supply": path.settle_supply,
    })
}
