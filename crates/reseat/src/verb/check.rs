//! `check`: every finding about a machine with named changes.

use desk::check::{changes, check};
use draw::findings_text::{Depth, findings, role};
use upgrade::fit::finding::Verdict;

use crate::args::Check;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;

pub(crate) fn run(wanted: &Check, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let changes = changes(&library, &wanted.changes.with)?;
    let (list, verdict) = check(&machine, &library, changes);
    if wanted.json {
        print_json(&serde_json::json!({
            "machine": { "id": machine.id, "name": machine.name },
            "with": wanted.changes.with,
            "verdict": verdict.word(),
            "findings": desk::json::finding::findings(&list),
        }));
    } else {
        let depth = if wanted.readings { Depth::Full } else { Depth::Short };
        print(&findings(&list, depth, screen.width, screen.paint));
        let words = format!("{} {}", verdict.mark(), verdict.word());
        print(&format!("{}\n", screen.paint.text(role(verdict), &words)));
    }
    Ok(match verdict {
        Verdict::Fits | Verdict::OnCondition => Exit::Done,
        Verdict::CannotTell => Exit::CannotTell,
        Verdict::DoesNotFit => Exit::No,
    })
}
