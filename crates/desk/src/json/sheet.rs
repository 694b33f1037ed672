//! Job sheets as JSON.

use serde_json::{Value, json};
use upgrade::sheet::sheet_of::JobSheet;

use crate::json::finding::findings;

/// A job sheet.
pub fn sheet(sheet: &JobSheet) -> Value {
    let steps: Vec<Value> = sheet
        .steps
        .iter()
        .map(|step| {
            let cautions: Vec<Value> = step
                .cautions
                .iter()
                .map(|caution| {
                    json!({ "signal": caution.signal.word(), "text": caution.text, "source": caution.source })
                })
                .collect();
            json!({
                "id": step.id,
                "title": step.title,
                "what": step.what,
                "why": step.why,
                "right_when": step.right,
                "if_not": step.otherwise,
                "minutes": step.minutes,
                "tools": step.tools,
                "cautions": cautions,
                "stop_point": step.stop,
            })
        })
        .collect();
    json!({
        "machine": sheet.machine,
        "title": sheet.title,
        "minutes": sheet.minutes,
        "tools": sheet.tools,
        "before_you_begin": findings(&sheet.before_you_begin),
        "steps": steps,
    })
}
