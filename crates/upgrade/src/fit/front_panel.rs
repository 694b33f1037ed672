//! Has the board the headers that the case's front panel needs?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Plugs of the front panel against headers of the board.
pub const RULE: Rule = Rule {
    id: "front-panel",
    question: "Has the board the headers that the front panel needs?",
    looks_at: &[Kind::Board, Kind::Case],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (board, case) = (proposal.board(), proposal.case());
    if proposal.changes.board.is_none() && proposal.changes.case.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, "The front panel is connected already.");
    }
    let missing: Vec<&str> = case
        .front_plugs
        .iter()
        .filter(|plug| !board.front_headers.contains(plug))
        .map(String::as_str)
        .collect();
    let finding = if missing.is_empty() {
        Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{} has a header for each plug of {}.", board.name, case.name),
        )
    } else {
        Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!("{} has no header for: {}.", board.name, missing.join(", ")),
        )
        .cure("Accept that these stay dead, or use an adapter that the board's manual allows.")
    };
    finding.word("plugs of the case", case.front_plugs.join(", "), Origin::Sheet).word(
        "headers of the board",
        board.front_headers.join(", "),
        Origin::Sheet,
    )
}
