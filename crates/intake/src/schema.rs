//! JSON Schema of every kind of file, made by the functions that read it.

use serde_json::{Map, Value, json};

use crate::fields::{Description, Fields};
use crate::library::rate;
use crate::machine::file;
use crate::part::{board, case, chipset, cooler, memory, paste, processor, socket, supply};
use crate::problem::Problems;

const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// What a reading function accepts.
pub fn described<R>(read: impl FnOnce(&mut Fields<'_, '_>) -> R) -> Description {
    let mut description = Description::default();
    let mut problems = Problems::new("", "");
    read(&mut Fields::describe(&mut description, &mut problems));
    description
}

fn top(title: &str, properties: Map<String, Value>) -> Value {
    json!({
        "$schema": DIALECT,
        "title": title,
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    })
}

/// A TOML file of parts.
pub fn library() -> Value {
    let mut properties = Map::new();
    let mut list = |name: &str, schema: Value| {
        properties.insert(name.to_owned(), json!({ "type": "array", "items": schema }));
    };
    list("socket", described(socket::socket).schema());
    list("processor", described(processor::processor).schema());
    list("chipset", described(chipset::chipset).schema());
    list("board", described(board::board).schema());
    list("memory", described(memory::memory).schema());
    list("cooler", described(cooler::cooler).schema());
    list("paste", described(paste::paste).schema());
    list("supply", described(supply::supply).schema());
    list("case", described(case::case).schema());
    list("rate", described(rate).schema());
    top("reseat parts library", properties)
}

/// A TOML file of one machine.
pub fn machine() -> Value {
    let mut schema = described(file::describe).schema();
    if let Some(map) = schema.as_object_mut() {
        map.insert("$schema".to_owned(), json!(DIALECT));
        map.insert("title".to_owned(), json!("reseat machine"));
    }
    schema
}

/// A TOML file of tasks only.
pub fn workload() -> Value {
    let mut properties = Map::new();
    let task = described(crate::machine::task::task).schema();
    properties.insert("task".to_owned(), json!({ "type": "array", "items": task }));
    top("reseat workload", properties)
}

/// A JSON file of reference cases.
pub fn cases() -> Value {
    json!({
        "$schema": DIALECT,
        "title": "reseat reference cases",
        "type": "object",
        "required": ["topic", "source", "cases"],
        "properties": {
            "topic": { "type": "string" },
            "source": { "type": "string" },
            "cases": { "type": "array", "items": {
                "type": "object",
                "required": ["id", "model", "inputs", "expected", "tolerance"],
                "properties": {
                    "id": { "type": "string" },
                    "model": { "type": "string" },
                    "inputs": { "type": "object" },
                    "expected": { "type": "object" },
                    "tolerance": { "type": "object", "additionalProperties": {
                        "type": "object",
                        "properties": { "relative": { "type": "number" }, "absolute": { "type": "number" } },
                        "additionalProperties": false,
                    } },
                },
            } },
        },
    })
}
