//! A file of reference cases: reading it, running it, comparing.
//!
//! The form is `{"topic", "source", "cases": [{"id", "model", "inputs", "expected", "tolerance"}]}`.
//! A tolerance names an output, or `*` for the rest; `|computed - expected| <= absolute + relative
//! |expected|` for each element of a list. Words, booleans and `null` must be equal.

use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError};

/// Why a file is no case file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CaseFileError {
    /// Not JSON.
    #[error("not a JSON file: {reason} (line {line}, column {column})")]
    NotJson {
        /// What the parser said.
        reason: String,
        /// Line.
        line: usize,
        /// Column.
        column: usize,
    },
    /// A part of the form is missing or of the wrong kind.
    #[error("{place}: {what} is missing or is not {expected}")]
    Form {
        /// Where.
        place: String,
        /// Which field.
        what: &'static str,
        /// What it should be.
        expected: &'static str,
    },
}

/// Compared values of one case file.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Topic, as the file has it.
    pub topic: String,
    /// Source, as the file has it.
    pub source: String,
    /// One row for each compared value, or for each case that gave none.
    pub rows: Vec<Row>,
}

/// One compared value.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Id of the case.
    pub case: String,
    /// Model of the case.
    pub model: String,
    /// Output, with its place in a list as `name[2]`; empty where the case gave no outputs.
    pub output: String,
    /// What we computed.
    pub computed: String,
    /// What the source says.
    pub expected: String,
    /// `(computed - expected) / |expected|`, where both are numbers and the latter is not zero.
    pub deviation: Option<f64>,
    /// Whether it agrees.
    pub outcome: Outcome,
}

/// Whether a value agrees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Within tolerance.
    Pass,
    /// Outside it.
    Fail,
    /// We have no such model.
    NoSuchModel,
    /// The model gave no outputs, and why.
    Refused(String),
}

impl Report {
    /// How many rows have an outcome for which the predicate holds.
    pub fn count(&self, predicate: impl Fn(&Outcome) -> bool) -> usize {
        self.rows.iter().filter(|row| predicate(&row.outcome)).count()
    }
}

fn field<'a>(map: &'a Map<String, Value>, what: &'static str, place: &str) -> Result<&'a str, CaseFileError> {
    map.get(what).and_then(Value::as_str).ok_or_else(|| CaseFileError::Form {
        place: place.to_owned(),
        what,
        expected: "a text",
    })
}

fn object<'a>(
    map: &'a Map<String, Value>,
    what: &'static str,
    place: &str,
) -> Result<&'a Map<String, Value>, CaseFileError> {
    map.get(what).and_then(Value::as_object).ok_or_else(|| CaseFileError::Form {
        place: place.to_owned(),
        what,
        expected: "an object",
    })
}

/// Runs every case of a file.
///
/// # Errors
/// The bytes are not a case file; a case that fails or is refused is a row, not an error.
pub fn run(bytes: &[u8], read: &dyn Fn(&str) -> Result<Vec<u8>, String>) -> Result<Report, CaseFileError> {
    let file: Value = serde_json::from_slice(bytes).map_err(|error| CaseFileError::NotJson {
        reason: error.to_string().split(" at line").next().unwrap_or("unreadable").to_owned(),
        line: error.line(),
        column: error.column(),
    })?;
    let not_object = CaseFileError::Form { place: "file".into(), what: "the whole", expected: "an object" };
    let file = file.as_object().ok_or(not_object)?;
    let (topic, source) = (field(file, "topic", "file")?, field(file, "source", "file")?);
    let cases = file.get("cases").and_then(Value::as_array).ok_or(CaseFileError::Form {
        place: "file".into(),
        what: "cases",
        expected: "a list",
    })?;
    let mut rows = Vec::new();
    for (case_idx, case) in cases.iter().enumerate() {
        let place = format!("case {}", case_idx + 1);
        let form = CaseFileError::Form { place: place.clone(), what: "the case", expected: "an object" };
        let case = case.as_object().ok_or(form)?;
        let id = field(case, "id", &place)?;
        let name = field(case, "model", id)?;
        let inputs = Inputs { values: object(case, "inputs", id)?, read };
        let expected = object(case, "expected", id)?;
        let tolerance = object(case, "tolerance", id)?;
        let row = |outcome| Row {
            case: id.to_owned(),
            model: name.to_owned(),
            output: String::new(),
            computed: String::new(),
            expected: String::new(),
            deviation: None,
            outcome,
        };
        let Some(model) = crate::verify::models().find(|model| model.name == name) else {
            rows.push(row(Outcome::NoSuchModel));
            continue;
        };
        match run_model(model, &inputs) {
            Ok(computed) => compare_case(&row(Outcome::Pass), &computed, expected, tolerance, &mut rows),
            Err(error) => rows.push(row(Outcome::Refused(error.to_string()))),
        }
    }
    Ok(Report { topic: topic.to_owned(), source: source.to_owned(), rows })
}

fn run_model(model: &Model, inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    (model.run)(inputs)
}

fn compare_case(
    template: &Row,
    computed: &Map<String, Value>,
    expected: &Map<String, Value>,
    tolerance: &Map<String, Value>,
    rows: &mut Vec<Row>,
) {
    for (name, expected) in expected {
        let allowed = Allowed::of(tolerance.get(name).or_else(|| tolerance.get("*")));
        let computed = computed.get(name).unwrap_or(&Value::Null);
        match (computed.as_array(), expected.as_array()) {
            (Some(ours), Some(theirs)) => {
                for idx in 0..ours.len().max(theirs.len()) {
                    let none = Value::String("nothing".into());
                    let (ours, theirs) = (ours.get(idx).unwrap_or(&none), theirs.get(idx).unwrap_or(&none));
                    rows.push(compare(template, &format!("{name}[{idx}]"), ours, theirs, allowed));
                }
            }
            _ => rows.push(compare(template, name, computed, expected, allowed)),
        }
    }
}

/// Allowed deviations.
#[derive(Clone, Copy)]
struct Allowed {
    relative: f64,
    absolute: f64,
}

impl Allowed {
    /// What a case says; nothing at all where it says nothing.
    fn of(value: Option<&Value>) -> Self {
        let part = |name| value.and_then(|v| v.get(name)).and_then(Value::as_f64).unwrap_or(0.0);
        Self { relative: part("relative"), absolute: part("absolute") }
    }
}

fn compare(template: &Row, output: &str, computed: &Value, expected: &Value, allowed: Allowed) -> Row {
    let (deviation, agrees) = match (computed.as_f64(), expected.as_f64()) {
        (Some(ours), Some(theirs)) => {
            let difference = ours - theirs;
            let agrees = difference.abs() <= allowed.absolute + allowed.relative * theirs.abs();
            ((theirs != 0.0).then(|| difference / theirs.abs()), agrees)
        }
        _ => (None, computed == expected),
    };
    Row {
        output: output.to_owned(),
        computed: shown(computed),
        expected: shown(expected),
        deviation,
        outcome: if agrees { Outcome::Pass } else { Outcome::Fail },
        ..template.clone()
    }
}

/// A value as a table shows it.
fn shown(value: &Value) -> String {
    match value {
        Value::Null => "no answer".to_owned(),
        Value::String(text) => text.clone(),
        Value::Number(number) => number.as_f64().map_or_else(|| number.to_string(), number_text),
        other => other.to_string(),
    }
}

fn number_text(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-3..1e7).contains(&size) {
        format!("{value:.6e}")
    } else {
        quantity::text::significant(value, 8)
    }
}

#[cfg(test)]
mod tests {
    use super::{Outcome, run};

    fn outcome(case: &str) -> Vec<Outcome> {
        let file = format!(r#"{{"topic": "t", "source": "s", "cases": [{case}]}}"#);
        let report = run(file.as_bytes(), &|_| Err("no files here".to_owned())).unwrap();
        report.rows.into_iter().map(|row| row.outcome).collect()
    }

    #[test]
    fn a_model_that_does_not_exist_is_said() {
        let case = r#"{"id": "x", "model": "philosophers_stone", "inputs": {}, "expected": {"gold_kg": 1}, "tolerance": {}}"#;
        assert_eq!(outcome(case), [Outcome::NoSuchModel]);
    }

    #[test]
    fn bytes_that_are_no_case_file_are_refused() {
        let nothing = |_: &str| Err(String::new());
        assert!(run(b"", &nothing).is_err());
        assert!(run(b"\xff\x00", &nothing).is_err());
        assert!(run(b"[]", &nothing).is_err());
        let error = run(br#"{"topic": "t", "source": "s", "cases": [{}]}"#, &nothing).unwrap_err();
        assert_eq!(error.to_string(), "case 1: id is missing or is not a text");
    }
}
