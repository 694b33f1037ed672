//! Routes as JSON.

use quantity::dimension::Dimension;
use quantity::reading::Figure;
use serde_json::{Value, json};
use upgrade::carry::point::SustainedPoint;
use upgrade::route::detail::Route;
use upgrade::route::score::Objectives;

use crate::json::finding::findings;

/// A figure: its text, or null for an unknown.
pub fn figure<D: Dimension>(figure: &Figure<D>) -> Value {
    figure.known().map_or(Value::Null, |value| Value::String(value.rounded(6)))
}

/// A sustained operating point.
pub fn point(point: &SustainedPoint) -> Value {
    json!({
        "clock": figure(&point.clock),
        "power": figure(&point.power),
        "junction": figure(&point.junction),
        "binding": point.binding.map(|(slow, fast)| [slow.word(), fast.word()]),
    })
}

/// Objectives in whole numbers.
pub fn objectives(objectives: &Objectives, currency: &str) -> Value {
    json!({
        "net_cost_minor_units": objectives.cost,
        "currency": currency,
        "saved_seconds_a_day": objectives.saved_s(),
        "energy_watt_hours_a_year": objectives.energy_wh,
        "bench_minutes": objectives.minutes,
        "risk_points": objectives.risk,
        "noise_tenths_of_decibel": objectives.noise,
    })
}

/// A route in full.
pub fn route(route: &Route) -> Value {
    let items: Vec<Value> = route
        .items
        .iter()
        .map(|item| {
            json!({
                "kind": item.kind.word(),
                "id": item.id.text(),
                "name": item.name,
                "condition": item.condition.word(),
                "price": item.price.to_string(),
                "priced_on": item.day.map(|day| day.to_string()),
                "shop": item.shop,
                "resale_of_old": item.resale.map(|money| money.to_string()),
            })
        })
        .collect();
    let tasks: Vec<Value> = route
        .gain
        .tasks
        .iter()
        .map(|task| {
            json!({
                "name": task.name,
                "before_a_day": figure(&task.before),
                "after_a_day": figure(&task.after),
                "saved_a_day": figure(&task.saved),
            })
        })
        .collect();
    json!({
        "title": route.title,
        "verdict": route.verdict.word(),
        "items": items,
        "net_cost": route.net_cost.to_string(),
        "objectives": objectives(&route.objectives, route.net_cost.currency().code()),
        "tasks": tasks,
        "saved_a_day": figure(&route.gain.saved_a_day),
        "energy_a_year": figure(&route.energy.yearly),
        "energy_change_a_year": figure(&route.energy_change),
        "wall_power_at_work": figure(&route.energy.power.busy),
        "wall_power_at_rest": figure(&route.energy.power.idle),
        "point": point(&route.point),
        "worth_a_year": route.yearly_worth.map(|(low, high)| [low.to_string(), high.to_string()]),
        "payback": figure(&route.payback),
        "findings": findings(&route.findings),
    })
}
