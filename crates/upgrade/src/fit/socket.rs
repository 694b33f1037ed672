//! Does the processor go into the board's socket?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Mechanical fit: the package must be the socket's.
pub const RULE: Rule = Rule {
    id: "socket",
    question: "Does the processor go into the board's socket?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    let finding = if processor.socket == board.socket {
        let sentence = format!("{} goes into the {} socket of {}.", processor.name, board.socket, board.name);
        Finding::new(RULE.id, Verdict::Fits, sentence)
    } else {
        let sentence = format!(
            "{} is made for socket {}, {} carries {}.",
            processor.name, processor.socket, board.name, board.socket
        );
        Finding::new(RULE.id, Verdict::DoesNotFit, sentence)
            .cure(format!("Choose a processor for {} or a board with {}.", board.socket, processor.socket))
    };
    finding.word("socket of the processor", &processor.socket, Origin::Sheet).word(
        "socket of the board",
        &board.socket,
        Origin::Sheet,
    )
}
