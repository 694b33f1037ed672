//! Is there a mounting set of the cooler for this socket?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::{Kind, PartId};

/// Mounting set for the socket: in the box, to be bought, or none.
pub const RULE: Rule = Rule {
    id: "cooler-mounting",
    question: "Is there a mounting set of the cooler for this socket?",
    looks_at: &[Kind::Board, Kind::Cooler],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (cooler, board) = (proposal.cooler(), proposal.board());
    let names = |ids: &[PartId]| ids.iter().map(PartId::text).collect::<Vec<_>>().join(", ");
    let kept = !proposal.changes.changes_cooler() && proposal.now.board.part.socket == board.socket;
    let finding = if kept || cooler.sockets.contains(&board.socket) {
        Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{} comes with a set for {}.", cooler.name, board.socket),
        )
    } else if cooler.sockets_with_extra_set.contains(&board.socket) {
        Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!("{} goes on {} with a mounting set that is not in its box.", cooler.name, board.socket),
        )
        .cure(format!("Order the maker's set for {} with it.", board.socket))
    } else {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("There is no mounting set of {} for {}.", cooler.name, board.socket),
        )
        .cure(format!("Choose a cooler for {}.", board.socket))
    };
    finding.word("socket", &board.socket, Origin::Sheet).word(
        "sets of the cooler",
        names(&cooler.sockets),
        Origin::Sheet,
    )
}
