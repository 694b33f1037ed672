//! `verify`: reference cases against the program's own models.

use desk::json::verify::{report as as_json, word};
use desk::verify::case::{CaseFileError, Outcome, Report, run as run_cases};
use draw::paint::Role;
use draw::table::{Side, Table};

use crate::args::Verify;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read};

/// A case file that is none.
#[derive(Debug, thiserror::Error)]
#[error("{path} is not a case file")]
struct NotACaseFile {
    path: String,
    source: CaseFileError,
}

pub(crate) fn run(wanted: &Verify, screen: &Screen) -> Result<Exit, Failure> {
    let mut reports = Vec::new();
    for path in &wanted.files {
        let bytes = read(path)?;
        let folder = path.parent().unwrap_or_else(|| std::path::Path::new("."));
        let beside = |name: &str| std::fs::read(folder.join(name)).map_err(|error| error.to_string());
        let report = run_cases(&bytes, &beside)
            .map_err(|source| NotACaseFile { path: path.display().to_string(), source })?;
        reports.push(report);
    }
    let is_bad = |outcome: &Outcome| match outcome {
        Outcome::Pass => false,
        Outcome::NoSuchModel => !wanted.allow_missing,
        Outcome::Fail | Outcome::Refused(_) => true,
    };
    if wanted.json {
        print_json(&serde_json::Value::Array(reports.iter().map(as_json).collect()));
    } else {
        for report in &reports {
            print(&text(report, wanted, screen));
        }
        let total: usize = reports.iter().map(|report| report.rows.len()).sum();
        let bad: usize = reports.iter().map(|report| report.count(is_bad)).sum();
        print(&format!("{} values compared, {} agree, {bad} fail\n", total, total - bad));
    }
    let bad = reports.iter().any(|report| report.count(is_bad) > 0);
    Ok(if bad { Exit::No } else { Exit::Done })
}

fn text(report: &Report, wanted: &Verify, screen: &Screen) -> String {
    let mut table = Table::new(&[
        ("case", Side::Left),
        ("model", Side::Left),
        ("value", Side::Left),
        ("computed", Side::Right),
        ("expected", Side::Right),
        ("deviation", Side::Right),
        ("", Side::Left),
    ]);
    for row in &report.rows {
        if wanted.failures && row.outcome == Outcome::Pass {
            continue;
        }
        let outcome = match &row.outcome {
            Outcome::Refused(reason) => format!("refused: {reason}"),
            other => word(other).to_owned(),
        };
        table.row([
            row.case.clone(),
            row.model.clone(),
            row.output.clone(),
            row.computed.clone(),
            row.expected.clone(),
            row.deviation.map_or_else(String::new, |deviation| format!("{deviation:+.1e}")),
            outcome,
        ]);
    }
    let heading = screen.paint.text(Role::Heading, &report.topic);
    let body = if table.is_empty() { String::new() } else { table.render(screen.width.max(100)) };
    format!("{heading}\n  source: {}\n{body}\n", report.source)
}
