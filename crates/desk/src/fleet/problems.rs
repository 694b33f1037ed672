//! What is wrong with the machines of a fleet, as a table.

use columns::table::{Column, Table, Values};
use intake::problem::Problem;

use crate::fleet::table::csv;
use crate::fleet::take_in::TakenIn;

/// Every problem of every machine as CSV.
pub fn problems_csv(taken: &TakenIn) -> Vec<u8> {
    let problems = taken.problems();
    let words = |name: &str, of: fn(&Problem) -> Option<String>| Column {
        name: name.to_owned(),
        values: Values::Words(problems.iter().map(of).collect()),
    };
    let whole = |name: &str, of: fn(&Problem) -> usize| Column {
        name: name.to_owned(),
        values: Values::Whole(problems.iter().map(|problem| i64::try_from(of(problem)).ok()).collect()),
    };
    csv(&Table {
        notes: Vec::new(),
        columns: vec![
            words("file", |problem| Some(problem.file.clone())),
            whole("line", |problem| problem.line),
            whole("column", |problem| problem.column),
            words("field", |problem| Some(problem.field.clone())),
            words("severity", |problem| Some(problem.severity.word().to_owned())),
            words("problem", |problem| Some(problem.message.clone())),
            words("what to do", |problem| problem.help.clone()),
        ],
    })
}
