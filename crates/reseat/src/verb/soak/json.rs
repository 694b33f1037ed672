//! A soak as JSON.

use serde_json::{Map, Value, json};
use soak::guard::{Ended, Watched};
use soak::run::conductor::{Moment, Report};
use soak::run::words::ended;
use soak::sensors::limit::Limit;
use soak::sensors::sampler::Sampler;

fn row(headings: &[String], row: &[Option<f64>]) -> Value {
    let cells = headings.iter().zip(row).map(|(heading, cell)| (heading.clone(), json!(cell)));
    Value::Object(cells.collect::<Map<String, Value>>())
}

/// A moment of a run.
pub(crate) fn moment(moment: &Moment<'_>, said: &[Option<f64>]) -> Value {
    json!({
        "time_s": moment.time_s,
        "length_s": moment.length_s,
        "load": moment.load.map(soak::kernel::Load::word),
        "share": moment.share,
        "dips": moment.dips,
        "work_per_s": moment.work_per_s,
        "errors": moment.errors,
        "sensors": row(moment.headings, said),
    })
}

const fn word(ended: &Ended) -> &'static str {
    match ended {
        Ended::Done => "done",
        Ended::Asked => "asked",
        Ended::Limit { .. } => "limit",
        Ended::Lost { .. } => "lost",
        Ended::Frozen { .. } => "frozen",
        Ended::Wrong => "wrong",
        Ended::Stuck => "stuck",
        Ended::NoLog { .. } => "no log",
    }
}

/// What a run was.
pub(crate) fn report(report: &Report, log: Option<&str>) -> Value {
    let (why, help) = ended(report);
    let highest = report.highest.iter().map(|(heading, value)| (heading.clone(), json!(value)));
    let work: Vec<Value> = report
        .work
        .iter()
        .map(|(load, units, core_seconds)| {
            json!({ "load": load.word(), "units": units, "unit": load.unit(), "core_seconds": core_seconds })
        })
        .collect();
    let failures: Vec<Value> = report
        .failures
        .iter()
        .map(|one| {
            json!({ "core": one.core.core, "thread": one.core.cpu, "load": one.load.word(), "what": one.what })
        })
        .collect();
    json!({
        "ended": word(&report.ended),
        "why": why,
        "do": help,
        "length_s": report.length_s,
        "rows": report.rows,
        "dips": report.dips,
        "highest": Value::Object(highest.collect()),
        "work": work,
        "failures": failures,
        "astray": report.astray.iter().map(|(core, why)| json!({ "thread": core.cpu, "why": why })).collect::<Vec<_>>(),
        "watching_share_of_a_core": report.watching,
        "stopped_in_s": report.stopped_in_s,
        "log": log,
    })
}

/// What can be read.
pub(crate) fn list(
    sampler: &Sampler,
    values: &[Option<f64>],
    limits: &[(Watched, Limit)],
    notes: &[String],
) -> Value {
    let limits: Vec<Value> = limits
        .iter()
        .map(|(one, limit)| json!({ "sensor": one.heading, "limit_celsius": limit.celsius, "basis": limit.basis.words() }))
        .collect();
    json!({
        "sensors": row(sampler.headings(), values),
        "power_from": sampler.power_from(),
        "limits": limits,
        "notes": notes,
    })
}
