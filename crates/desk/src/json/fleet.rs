//! A fleet's plan as JSON.

use fleet::answer::Answer;
use fleet::choose::Proof;
use fleet::curve::Step;
use fleet::plan::{FleetPlan, Opened};
use fleet::terms::{Goal, Terms};
use fleet::ways::Way;
use intake::problem::Problem;
use quantity::money::Money;
use serde_json::{Value, json};

use crate::fleet::take_in::TakenIn;

/// The plan of a fleet, every machine with its answer, every file with its problems.
pub fn fleet(plan: &FleetPlan, taken: &TakenIn, terms: &Terms, curve: Option<&[Step]>) -> Value {
    let members = &taken.members;
    let money = |minor: i64| Money::from_minor(minor, terms.currency).to_string();
    let id = |place: usize| members.get(place).map(|member| member.machine.id.clone());
    let sums = plan.chosen.sums;
    let machines: Vec<Value> = members
        .iter()
        .zip(plan.answers(members.len()))
        .filter_map(|(member, answer)| {
            let (group, answer) = answer?;
            let mut value = json!({
                "id": member.machine.id, "name": member.machine.name, "from": member.from, "group": group + 1, "answer": answer.word(),
            });
            match answer {
                Answer::CannotTell { why } => set(&mut value, "what_settles_it", json!(why)),
                Answer::Leave { ways } => set(&mut value, "ways", json!(ways)),
                Answer::NothingWorth => {}
                Answer::Upgrade { turn, job, way } => {
                    set(&mut value, "turn", json!(turn + 1));
                    set(&mut value, "way", way_json(way, &money));
                    set(&mut value, "processor_from", json!(job.from.and_then(id)));
                    set(&mut value, "processor_to", json!(job.to.and_then(id)));
                    set(&mut value, "opened_before_its_turn", json!(job.opened == Opened::Early));
                }
            }
            Some(value)
        })
        .collect();
    let groups: Vec<Value> = plan
        .groups
        .iter()
        .enumerate()
        .map(|(place, weighed)| match &weighed.ways {
            Ok(ways) => json!({
                "group": place + 1, "machines": weighed.group.members.len(), "first": id(weighed.group.first), "ways": ways.list.len(),
                "hanging_on_a_reading": ways.hanging, "what_settles_it": ways.settle,
            }),
            Err(error) => json!({
                "group": place + 1, "machines": weighed.group.members.len(), "first": id(weighed.group.first), "cannot_tell": error.to_string(),
            }),
        })
        .collect();
    let refused: Vec<Value> = taken
        .refused
        .iter()
        .map(|refused| json!({ "from": refused.from, "problems": refused.problems.iter().map(problem).collect::<Vec<_>>() }))
        .collect();
    json!({
        "goal": match terms.goal { Goal::Worth => "worth", Goal::Hours => "hours" },
        "budget": terms.budget.map(money),
        "bench_minutes_limit": terms.minutes,
        "spent": money(sums.cost),
        "bench_minutes": sums.minutes,
        "worth": (terms.goal == Goal::Worth).then(|| money(sums.value)),
        "seconds_saved_a_year": (terms.goal == Goal::Hours).then_some(sums.value),
        "upgraded": plan.jobs.len(),
        "proved": plan.chosen.proof == Proof::Optimal,
        "gap": gap(plan, terms, &money),
        "machines": machines,
        "groups": groups,
        "refused": refused,
        "remarks": taken.remarks.iter().map(problem).collect::<Vec<_>>(),
        "passed_over": taken.passed_over,
        "curve": curve.map(|steps| steps.iter().map(|step| json!({
            "budget": money(step.budget), "spent": money(step.sums.cost), "bench_minutes": step.sums.minutes,
            "value": match terms.goal { Goal::Worth => json!(money(step.sums.value - step.sums.cost)), Goal::Hours => json!(step.sums.value) },
            "proved": step.is_proved,
        })).collect::<Vec<_>>()),
    })
}

fn gap(plan: &FleetPlan, terms: &Terms, money: &impl Fn(i64) -> String) -> Value {
    match plan.chosen.proof {
        Proof::Optimal => Value::Null,
        Proof::Within { gap: None } => json!("unknown"),
        Proof::Within { gap: Some(gap) } => match terms.goal {
            Goal::Worth => json!(money(gap.ceil() as i64)),
            Goal::Hours => json!(gap),
        },
    }
}

fn set(value: &mut Value, name: &str, field: Value) {
    if let Some(map) = value.as_object_mut() {
        map.insert(name.to_owned(), field);
    }
}

fn way_json(way: &Way, money: &impl Fn(i64) -> String) -> Value {
    let bought: Vec<Value> = way
        .bought
        .iter()
        .map(|part| {
            json!({
                "kind": part.kind.word(), "id": part.id.text(), "name": part.name,
                "condition": part.condition.word(), "price": part.price.to_string(),
            })
        })
        .collect();
    json!({
        "title": way.title, "bought": bought, "processor_from_another_machine": way.takes.is_some(), "cost": money(way.cost),
        "bench_minutes": way.minutes, "saved_seconds_a_day": way.saved_s, "more_watt_hours_a_year": way.more_wh,
        "conditions": way.conditions,
    })
}

fn problem(problem: &Problem) -> Value {
    json!({
        "file": problem.file, "line": problem.line, "column": problem.column, "field": problem.field,
        "severity": problem.severity.word(), "message": problem.message, "help": problem.help,
    })
}
