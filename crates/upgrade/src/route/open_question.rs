//! What is unknown about a machine, in the order in which it would change the answer.

use std::collections::BTreeMap;

use crate::fit::finding::Verdict;
use crate::fit::rule::judge;
use crate::fit::rules::ALL;
use crate::gain::task::{speeds, widths};
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::part::library::Library;
use crate::route::score::quick_gain;
use crate::route::search::point;

/// A reading that is missing, and what hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenQuestion {
    /// Rule whose answer is open; `gain` where the gain itself cannot be computed.
    pub rule: &'static str,
    /// The question.
    pub question: &'static str,
    /// What would settle it.
    pub settle: String,
    /// Processors whose fit hangs on it; empty where it is about the machine as it is.
    pub decides: Vec<String>,
    /// Most time a day, in seconds, that one of them would save; none where that cannot be computed.
    pub most_saved_s: Option<i64>,
}

/// What hangs on a reading.
#[derive(Debug, Default)]
struct Hangs {
    decides: Vec<String>,
    most_saved_s: Option<i64>,
}

/// Findings that are open on a machine as it is and with each processor of its socket, grouped by what
/// would settle them: what could save most comes first.
///
/// # Model
/// Each processor is tried by itself, with fresh paste of any kind. One that surely does not fit asks no
/// questions.
pub fn open_questions(machine: &Machine, library: &Library) -> Vec<OpenQuestion> {
    let now = Proposal { now: machine, changes: Changes::default(), library };
    let tasks = &machine.workload.tasks;
    let widths = widths(tasks);
    let before = speeds(&now, point(&now).clock, &widths);
    let mut open: BTreeMap<(&'static str, String), Hangs> = BTreeMap::new();
    for finding in judge(&now).into_iter().filter(|finding| finding.verdict == Verdict::CannotTell) {
        open.entry((finding.rule, finding.settle.unwrap_or(finding.sentence))).or_default();
    }
    let candidates = library.processors.values().filter(|processor| {
        processor.socket == machine.board.part.socket && processor.id != machine.processor.part.id
    });
    let (mut tried, mut without_gain) = (0_usize, 0_usize);
    for processor in candidates {
        let changes = Changes {
            processor: Some(processor),
            paste: library.pastes.values().next(),
            ..Changes::default()
        };
        let then = Proposal { changes, ..now };
        let findings = judge(&then);
        if findings.iter().any(|finding| finding.verdict == Verdict::DoesNotFit) {
            continue;
        }
        tried += 1;
        let after = speeds(&then, point(&then).clock, &widths);
        // A day has 86,400 seconds: the cast cannot leave the range.
        let saved = quick_gain(&before, &after, &changes, tasks).map(|(saved_s, _)| saved_s.round() as i64);
        without_gain += usize::from(saved.is_none());
        for finding in findings.into_iter().filter(|finding| finding.verdict == Verdict::CannotTell) {
            let settle = finding.settle.unwrap_or(finding.sentence);
            let hangs = open.entry((finding.rule, settle)).or_default();
            hangs.decides.push(processor.name.clone());
            hangs.most_saved_s = hangs.most_saved_s.max(saved);
        }
    }
    let mut out: Vec<OpenQuestion> = open
        .into_iter()
        .map(|((rule, settle), Hangs { decides, most_saved_s })| OpenQuestion {
            rule,
            question: ALL.iter().find(|known| known.id == rule).map_or("", |known| known.question),
            settle,
            decides,
            most_saved_s,
        })
        .collect();
    out.sort_by(|a, b| {
        b.most_saved_s
            .cmp(&a.most_saved_s)
            .then(b.decides.len().cmp(&a.decides.len()))
            .then(a.rule.cmp(b.rule))
    });
    if tried > 0 && without_gain == tried {
        let settle = if tasks.is_empty() {
            "What the machine does, as tasks with their time a day."
        } else {
            "Which processor it is, by an id of the library; or the index and clocks of its cores."
        };
        out.insert(
            0,
            OpenQuestion {
                rule: "gain",
                question: "How much faster would anything be?",
                settle: settle.to_owned(),
                decides: Vec::new(),
                most_saved_s: None,
            },
        );
    }
    out
}
