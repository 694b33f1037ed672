//! What looks wrong in a log, told once for each kind with its first row.

use core::ops::Range;
use std::collections::BTreeMap;

use crate::problem::{Problems, Severity};

/// Doubts of one kind about one column.
#[derive(Debug)]
struct Doubt {
    span: Range<usize>,
    severity: Severity,
    message: String,
    help: String,
    more: usize,
}

/// Doubts by column and kind, so that a thousand rows with one slip give one message.
#[derive(Debug, Default)]
pub(super) struct Doubts(BTreeMap<(String, &'static str), Doubt>);

impl Doubts {
    /// Adds a doubt about a row; only the first of its kind in its column is worded.
    pub(super) fn add(
        &mut self,
        place: (&str, &'static str),
        span: Range<usize>,
        severity: Severity,
        message: impl FnOnce() -> String,
        help: &str,
    ) {
        self.0
            .entry((place.0.to_owned(), place.1))
            .and_modify(|doubt| doubt.more += 1)
            .or_insert_with(|| Doubt { span, severity, message: message(), help: help.to_owned(), more: 0 });
    }

    /// Hands them over, in the order of the file.
    pub(super) fn tell(self, problems: &mut Problems<'_>) {
        let mut doubts: Vec<_> = self.0.into_iter().collect();
        doubts.sort_by_key(|(_, doubt)| doubt.span.start);
        for ((column, _), doubt) in doubts {
            let more = match doubt.more {
                0 => String::new(),
                1 => "; one more row is like it".to_owned(),
                more => format!("; {more} more rows are like it"),
            };
            let help = (!doubt.help.is_empty()).then_some(doubt.help);
            problems.add(doubt.span, &column, doubt.severity, format!("{}{more}", doubt.message), help);
        }
    }
}
