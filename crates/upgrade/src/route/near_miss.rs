//! Processors that would gain more than the picks, and the rule that stops them.

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::judge;
use crate::gain::task::{speeds, widths};
use crate::machine::proposal::Proposal;
use crate::part::id::PartId;
use crate::route::options::{Choice, Options};
use crate::route::score::quick_gain;
use crate::route::search::point;

/// A processor that nearly is a route.
#[derive(Debug, Clone, PartialEq)]
pub struct NearMiss {
    /// Processor.
    pub processor: PartId,
    /// Its name.
    pub name: String,
    /// Time a day that it would save if it fitted, in seconds; unknown where it cannot be computed.
    pub would_save_s: Option<i64>,
    /// The findings that stop it, in the rules' order.
    pub stopped_by: Vec<Finding>,
}

/// Processors of the present board's socket that do not fit, most promising first.
///
/// # Model
/// Each is tried on the present board, under the present cooler with fresh paste. Those of another
/// socket are no near misses: they come with a board.
pub fn near_misses<'a>(
    now: &Proposal<'a>,
    options: &Options<'a>,
    proposal: impl Fn(&Choice) -> Proposal<'a>,
    most: usize,
) -> Vec<NearMiss> {
    let tasks = &now.now.workload.tasks;
    let widths = widths(tasks);
    let before = speeds(now, point(now).clock, &widths);
    let mut misses = Vec::new();
    for (idx, purchase) in options.processors.iter().enumerate() {
        if purchase.part.socket != now.board().socket || purchase.part.id == now.processor().id {
            continue;
        }
        let choice = Choice {
            processor: idx + 1,
            paste: usize::from(!options.pastes.is_empty()),
            ..Choice::default()
        };
        let then = proposal(&choice);
        let stopped_by: Vec<Finding> =
            judge(&then).into_iter().filter(|finding| finding.verdict == Verdict::DoesNotFit).collect();
        if stopped_by.is_empty() {
            continue;
        }
        let after = speeds(&then, point(&then).clock, &widths);
        let would = quick_gain(&before, &after, &then.changes, tasks);
        misses.push(NearMiss {
            processor: purchase.part.id.clone(),
            name: purchase.part.name.clone(),
            // A day has 86,400 seconds: the cast cannot leave the range.
            would_save_s: would.map(|(saved_s, _)| saved_s.round() as i64),
            stopped_by,
        });
    }
    misses.sort_by(|a, b| b.would_save_s.cmp(&a.would_save_s).then_with(|| a.processor.cmp(&b.processor)));
    misses.truncate(most);
    misses
}
