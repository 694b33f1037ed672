//! Compared reference cases as JSON.

use serde_json::{Value, json};

use crate::verify::case::{Outcome, Report};

/// The word for an outcome.
pub const fn word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Fail => "fail",
        Outcome::NoSuchModel => "no such model",
        Outcome::Refused(_) => "refused",
    }
}

/// A report.
pub fn report(report: &Report) -> Value {
    let rows: Vec<Value> = report
        .rows
        .iter()
        .map(|row| {
            json!({
                "case": row.case,
                "model": row.model,
                "output": row.output,
                "computed": row.computed,
                "expected": row.expected,
                "relative_deviation": row.deviation,
                "outcome": word(&row.outcome),
                "reason": match &row.outcome { Outcome::Refused(reason) => Some(reason), _ => None },
            })
        })
        .collect();
    json!({ "topic": report.topic, "source": report.source, "rows": rows })
}
