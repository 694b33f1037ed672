//! A plan as JSON.

use quantity::day::Day;
use serde_json::{Value, json};
use upgrade::machine::present::Machine;
use upgrade::route::plan::Plan;
use upgrade::route::price_turn::{PriceTurn, Turn};

use crate::json::finding::findings;
use crate::json::route::{objectives, point, route};

/// The prices a plan rests on: how old they are on this day, and where the best value turns, where that was asked.
pub fn prices(plan: &Plan, turns: Option<&[PriceTurn]>, today: Day) -> Value {
    let mut seen = std::collections::BTreeSet::new();
    let ages: Vec<Value> = plan
        .picks
        .iter()
        .flat_map(|pick| &pick.route.items)
        .filter(|item| seen.insert((&item.id, item.condition)))
        .map(|item| {
            json!({
                "id": item.id.text(),
                "condition": item.condition.word(),
                "price": item.price.to_string(),
                "priced_on": item.day.map(|day| day.to_string()),
                "days_old": item.day.map(|day| today.days_since(day)),
                "shop": item.shop,
            })
        })
        .collect();
    let turns = turns.map(|turns| {
        let rows = turns.iter().map(|turn| {
            let (at, then) = match &turn.turn {
                Turn::At { price, then } => (Some(price.to_string()), Some(then)),
                Turn::Never => (None, None),
            };
            json!({
                "id": turn.part.text(),
                "condition": turn.condition.word(),
                "price": turn.price.to_string(),
                "best_value_turns_at": at,
                "best_value_then": then,
            })
        });
        Value::Array(rows.collect())
    });
    json!({ "today": today.to_string(), "of_the_picks": ages, "turns": turns })
}

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
