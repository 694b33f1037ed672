//! What was seen of a machine while it was watched, as blocks of a document.

use quantity::dimension::Dimension;
use quantity::reading::Figure;
use upgrade::gain::observed::tasks::Observed;

use crate::document::Block;
use crate::table::{Side, Table};

fn told<D: Dimension>(figure: &Figure<D>) -> String {
    figure.known().map_or("unknown".to_owned(), |known| known.rounded(3))
}

/// How long it was watched, the tasks it would be planned with, what it waits for, and what that rests on; with what kept
/// a counter from counting.
pub fn blocks(found: &Observed, not_counted: &[String]) -> Vec<Block> {
    let mut out = vec![Block::Text(format!(
        "Watched for {}; something was wanted in {} of it.",
        found.watched.rounded(3),
        told(&found.active)
    ))];
    if !found.tasks.is_empty() {
        let mut table = Table::new(&[
            ("task", Side::Left),
            ("time a day", Side::Right),
            ("serial", Side::Right),
            ("parallel", Side::Right),
            ("memory", Side::Right),
            ("elsewhere", Side::Right),
            ("widest", Side::Right),
        ]);
        for task in &found.tasks {
            table.row([
                task.name.clone(),
                told(&task.time_a_day),
                told(&task.serial),
                told(&task.parallel),
                told(&task.memory),
                told(&task.elsewhere),
                task.widest.map_or("all".to_owned(), |widest| widest.to_string()),
            ]);
        }
        out.push(Block::Table(table));
    }
    out.push(Block::Heading(found.verdict.words().to_owned()));
    // Where there are no tasks there is nothing that counters would narrow.
    let not_counted = if found.tasks.is_empty() { &[] } else { not_counted };
    out.extend(found.evidence.iter().chain(not_counted).map(|one| Block::Item(one.clone())));
    out
}
