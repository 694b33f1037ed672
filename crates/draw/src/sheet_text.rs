//! A job sheet as terminal text, with boxes to tick.

use upgrade::fit::finding::Finding;
use upgrade::sheet::caution::DEFER;
use upgrade::sheet::first_start::{CAUTIONS, Next, TREE};
use upgrade::sheet::sheet_of::JobSheet;

use crate::paint::{Paint, Role};
use crate::wrap::wrap;

fn paragraph(out: &mut String, indent: usize, text: &str, width: usize) {
    for line in wrap(text, width.saturating_sub(indent), 0) {
        out.push_str(&" ".repeat(indent));
        out.push_str(&line);
        out.push('\n');
    }
}

fn heading(out: &mut String, text: &str, width: usize, paint: Paint) {
    for line in wrap(text, width, 2) {
        out.push_str(&paint.text(Role::Heading, &line));
        out.push('\n');
    }
}

/// A condition or an open question in one sentence.
pub fn beforehand(finding: &Finding) -> String {
    let todo = finding.cure.as_ref().or(finding.settle.as_ref());
    match todo {
        Some(todo) => format!("{} {todo}", finding.sentence),
        None => finding.sentence.clone(),
    }
}

/// The sheet.
pub fn sheet(sheet: &JobSheet, width: usize, paint: Paint) -> String {
    let mut out = String::new();
    heading(&mut out, &format!("Job sheet: {}", sheet.machine), width, paint);
    paragraph(&mut out, 0, &sheet.title, width);
    paragraph(&mut out, 0, DEFER, width);
    out.push('\n');
    paragraph(
        &mut out,
        0,
        &format!("Time: about {} h {} min", sheet.minutes / 60, sheet.minutes % 60),
        width,
    );
    paragraph(&mut out, 0, &format!("Tools: {}", sheet.tools.join(", ")), width);
    if !sheet.before_you_begin.is_empty() {
        out.push('\n');
        heading(&mut out, "Before you begin", width, paint);
        for finding in &sheet.before_you_begin {
            paragraph(&mut out, 0, &format!("[ ] {}", beforehand(finding)), width);
        }
    }
    out.push('\n');
    for (step, number) in sheet.steps.iter().zip(1..) {
        heading(&mut out, &format!("[ ] {number}. {}  ({} min)", step.title, step.minutes), width, paint);
        for caution in &step.cautions {
            paragraph(&mut out, 6, &format!("{}: {}", caution.signal.word(), caution.text), width);
        }
        paragraph(&mut out, 6, &step.what, width);
        paragraph(&mut out, 6, &format!("Why: {}", step.why), width);
        paragraph(&mut out, 6, &format!("Right when: {}", step.right), width);
        paragraph(&mut out, 6, &format!("If not: {}", step.otherwise), width);
        if let Some(stop) = step.stop {
            paragraph(&mut out, 6, &paint.text(Role::Careful, &format!("STOP POINT: {stop}")), width);
        }
        out.push('\n');
    }
    heading(&mut out, "When the first start does nothing", width, paint);
    for caution in &CAUTIONS {
        paragraph(&mut out, 0, &format!("{}: {}", caution.signal.word(), caution.text), width);
    }
    for node in TREE {
        paragraph(&mut out, 0, &format!("{}: {}", node.id, node.question), width);
        for (answer, next) in [("yes", node.yes), ("no", node.no)] {
            let text = match next {
                Next::Ask(id) => format!("{answer}: go to {id}"),
                Next::Do(what) => format!("{answer}: {what}"),
            };
            paragraph(&mut out, 4, &text, width);
        }
    }
    out
}
