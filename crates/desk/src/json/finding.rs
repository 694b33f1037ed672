//! Findings as JSON.

use serde_json::{Value, json};
use upgrade::fit::finding::{Finding, UsedReading};

/// Readings with their origins.
pub fn readings(list: &[UsedReading]) -> Value {
    let one = |reading: &UsedReading| {
        json!({
            "what": reading.what,
            "value": reading.value,
            "origin": reading.origin.map(|origin| origin.word()),
        })
    };
    Value::Array(list.iter().map(one).collect())
}

/// One finding.
pub fn finding(finding: &Finding) -> Value {
    json!({
        "rule": finding.rule,
        "verdict": finding.verdict.word(),
        "sentence": finding.sentence,
        "margin": finding.margin.as_ref().map(|margin| json!({
            "text": margin.text,
            "worst_share": margin.worst_share,
            "best_share": margin.best_share,
        })),
        "cure": finding.cure,
        "settle": finding.settle,
        "readings": readings(&finding.readings),
    })
}

/// A list of findings.
pub fn findings(list: &[Finding]) -> Value {
    Value::Array(list.iter().map(finding).collect())
}
