//! The heat path as JSON.

use quantity::dimension::PowerDim;
use quantity::interval::Interval;
use quantity::reading::Figure;
use serde_json::{Value, json};
use upgrade::carry::burst::BurstLength;
use upgrade::carry::heat_map::HeatMap;
use upgrade::carry::heat_path::HeatPath;
use upgrade::carry::warming::Curve;

use crate::json::route::{figure, point};

/// The heat path.
pub fn heat(path: &HeatPath) -> Value {
    let steps: Vec<Value> = path
        .steps
        .iter()
        .map(|step| {
            json!({
                "name": step.name,
                "rise": figure(&step.rise),
                "resistance": step.resistance.as_ref().map(figure),
                "share": step.share.map(|(cool, hot)| [cool, hot]),
                "less_by": step.cure,
            })
        })
        .collect();
    let lifted: Vec<Value> = path
        .lifted
        .iter()
        .map(|lifted| {
            let gained = Interval::between(lifted.gained.0, lifted.gained.1);
            json!({ "limit": lifted.limit.word(), "clock": figure(&lifted.clock), "gained": gained.rounded(4) })
        })
        .collect();
    let burst = path.burst.map(|burst| match burst {
        BurstLength::Ever => json!("for ever"),
        BurstLength::AtLeast(seconds) => json!({ "at_least": Interval::exact(seconds).rounded(3) }),
        BurstLength::Seconds(seconds) => json!({ "within": seconds.rounded(3) }),
    });
    let rooms: Vec<Value> = path
        .rooms
        .iter()
        .map(|at| json!({ "room": Interval::exact(at.room).rounded(3), "junction": figure(&at.junction), "clock": figure(&at.clock) }))
        .collect();
    let speeds: Vec<Value> = path
        .speeds
        .iter()
        .map(|at| json!({ "share_of_full_speed": at.share, "noise": figure(&at.noise), "junction": figure(&at.junction), "clock": figure(&at.clock) }))
        .collect();
    json!({
        "title": path.title,
        "room": figure(&path.room),
        "steps": steps,
        "junction_limit": figure(&path.limit),
        "point": point(&path.point),
        "limits_lifted_alone": lifted,
        "leakage_loop_gain_at_worst": path.edge.and_then(|edge| edge.loop_gain),
        "heat_runs_away_at_highest_clock": path.edge.and_then(|edge| edge.runaway).map(|runaway| json!({
            "settles_up_to": runaway.settles_up_to.map(|clock| Interval::exact(clock).rounded(3)),
            "would_settle_with_resistance_below": Interval::exact(runaway.resistance).rounded(3),
            "would_settle_with_air_below": Interval::exact(runaway.air).rounded(3),
        })),
        "too_hot_even_at": path.edge.and_then(|edge| edge.too_hot_at).map(|clock| Interval::exact(clock).rounded(3)),
        "burst": burst,
        "rooms": rooms,
        "fan_speeds": speeds,
        "case_rise_by_its_flow": figure(&path.case_rise_by_flow),
        "settles_most": path.settle,
    })
}

/// The lid, solved in three dimensions.
pub fn lid(map: &HeatMap, power: &Figure<PowerDim>) -> Value {
    let joint = &map.joint;
    json!({
        "cells": [map.cells.x, map.cells.y, map.cells.z],
        "changed_by_last_refinement": map.changed,
        "balance_error": map.solved.imbalance,
        "power": figure(power),
        "solver_K_per_W": map.solver_k_w,
        "closed_form_K_per_W": map.closed_form_k_w,
        "joint": {
            "what": joint.what,
            "covered_share_of_die": joint.map.as_ref().map(|map| map.covered_die),
            "same_paste_even_K_per_W": joint.even_k_w,
            "fresh_K_per_W": joint.fresh_k_w,
            "mild_and_bad_end_K_per_W": joint.ends_k_w.map(|(mild, bad)| [mild, bad]),
        },
        "assumed": map.assumed,
        "says": draw::heat_map_text::sentences(map, power),
    })
}

/// How it warms after load comes on.
pub fn warming(curve: &Curve) -> Value {
    let at: Vec<Value> = curve
        .at
        .iter()
        .map(|at| {
            json!({
                "seconds": at.time_s,
                "junction_C": at.sustained_c,
                "best_and_worst_C": at.band_c.map(|(cool, hot)| [cool, hot]),
                "at_burst_power_C": at.burst_c,
            })
        })
        .collect();
    json!({
        "rest": curve.rest.rounded(4),
        "sustained": curve.sustained.rounded(4),
        "burst": curve.burst.map(|burst| burst.rounded(4)),
        "half_of_the_rise_seconds": curve.half_s,
        "all_but_a_kelvin_seconds": curve.settled_s,
        "curve": at,
        "says": draw::warming_text::sentences(curve),
    })
}
