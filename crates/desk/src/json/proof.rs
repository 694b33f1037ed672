//! A proof as JSON.

use physics::network::path::HeatPathFound;
use serde_json::{Value, json};
use upgrade::proof::criterion::Criterion;
use upgrade::proof::diagnose::{Diagnosis, Suspect};
use upgrade::proof::soak::SoakRead;

use crate::json::route::figure;
use crate::proof::ProofAnswer;

fn suspect(suspect: &Suspect) -> Value {
    let evidence: Vec<Value> = suspect
        .evidence
        .iter()
        .map(|(read, times)| {
            json!({ "sign": read.sign.words(), "read": read.words, "sound": read.sound, "likelier_by": times })
        })
        .collect();
    json!({
        "fault": suspect.fault.id,
        "name": suspect.fault.name,
        "chance": suspect.chance,
        "chance_before": suspect.before,
        "evidence": evidence,
        "check": suspect.fault.check,
        "cure": suspect.fault.cure,
    })
}

fn diagnosis(found: &Diagnosis) -> Value {
    let named: Vec<&str> = found.suspects.iter().take(found.named).map(|one| one.fault.id).collect();
    let untold: Vec<Value> =
        found.untold.iter().map(|one| json!({ "fault": one.fault.id, "reading": one.reading })).collect();
    let signs: Vec<Value> = found
        .signs
        .iter()
        .map(|read| json!({ "sign": read.sign.words(), "read": read.words, "sound": read.sound }))
        .collect();
    json!({
        "outcome": found.outcome.word(),
        "named": named,
        "nothing_wrong": found.nothing,
        "something_else": found.something_else,
        "suspects": found.suspects.iter().map(suspect).collect::<Vec<_>>(),
        "one_of": found.one_of.map(|(group, chance)| json!({ "what": group.what, "faults": group.ids, "chance": chance })),
        "separates": found.separates,
        "not_shown": untold,
        "signs": signs,
    })
}

fn soak(read: &SoakRead) -> Value {
    let path = read.path.as_ref().map(|path| {
        let steps: Vec<Value> = path
            .steps
            .iter()
            .map(|step| {
                json!({
                    "name": step.name,
                    "found_k_w": step.found.map(|found| found.value.si()),
                    "band_k_w": step.found.map(|found| [found.band.low().si(), found.band.high().si()]),
                    "sound": figure(&step.sound),
                })
            })
            .collect();
        json!({
            "steps": steps,
            "whole_k_w": path.total.value.si(),
            "whole_band_k_w": [path.total.band.low().si(), path.total.band.high().si()],
            "air_measured": path.air_measured,
            "air_told": path.air_told,
            "left_k": path.stations.left_k,
        })
    });
    let settled = &read.settled;
    json!({
        "load": read.main.load,
        "junction": settled.junction.as_ref().map(|one| one.words()),
        "power": settled.power.as_ref().map(|one| one.words()),
        "clock": settled.clock.as_ref().map(|one| one.words()),
        "fan": settled.fan.as_ref().map(|one| one.words()),
        "heat_path": path.as_ref().ok(),
        "no_heat_path": read.path.as_ref().err().map(ToString::to_string),
        "diagnosis": diagnosis(&read.diagnosis),
        "notes": read.notes,
    })
}

fn structure(found: &HeatPathFound) -> Value {
    let curve: Vec<Value> = found
        .curve
        .iter()
        .map(|at| json!([at.capacitance_j_k, at.resistance_k_w, at.band_k_w.0, at.band_k_w.1]))
        .collect();
    let spectrum: Vec<Value> =
        found.terms.iter().map(|term| json!([term.time_constant_s, term.resistance_k_w])).collect();
    let ladder: Vec<Value> =
        found.rungs.iter().map(|rung| json!([rung.resistance_k_w, rung.capacitance_j_k])).collect();
    let layers: Vec<Value> =
        found.layers.iter().map(|layer| json!([layer.resistance_k_w, layer.capacitance_j_k])).collect();
    json!({
        "whole_k_w": found.total_k_w,
        "whole_band_k_w": [found.total_band_k_w.0, found.total_band_k_w.1],
        "too_fast_to_see_k_w": found.too_fast_k_w,
        "too_slow_to_see_k_w": found.too_slow_k_w,
        "spectrum": { "columns": ["time constant s", "resistance K/W"], "rows": spectrum },
        "ladder": { "columns": ["resistance K/W", "capacitance J/K"], "rows": ladder },
        "layers": { "columns": ["resistance K/W", "capacitance J/K"], "rows": layers },
        "cumulative": { "columns": ["capacitance J/K", "resistance K/W", "from K/W", "to K/W"], "rows": curve },
    })
}

fn criterion(one: &Criterion) -> Value {
    json!({
        "what": one.what,
        "measured": one.measured,
        "planned": one.planned,
        "holds": one.verdict.word(),
        "needs": one.missing,
    })
}

/// The proof.
pub fn proof(answer: &ProofAnswer) -> Value {
    let proof = &answer.proof;
    let compared: Vec<Value> = proof
        .compared
        .iter()
        .map(|one| {
            json!({
                "what": one.what,
                "before": one.before,
                "after": one.after,
                "difference": one.difference,
                "share": one.share.map(|(low, high)| [low, high]),
                "which_is": one.went.word(),
            })
        })
        .collect();
    json!({
        "title": proof.title,
        "verdict": proof.verdict.word(),
        "criteria": proof.criteria.iter().map(criterion).collect::<Vec<_>>(),
        "compared": compared,
        "after": soak(&proof.after),
        "before": proof.before.as_ref().map(soak),
        "structure_after": answer.after.as_ref().map(structure),
        "structure_before": answer.before.as_ref().map(structure),
    })
}
