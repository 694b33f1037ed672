//! Is the memory of the type that board and processor drive?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Memory types have different slots: the wrong type does not go in at all.
pub const RULE: Rule = Rule {
    id: "memory-type",
    question: "Is the memory of the type that board and processor drive?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Memory],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board, kits) = (proposal.processor(), proposal.board(), proposal.memory());
    let drives: Vec<&str> = processor.memory.iter().map(|support| support.kind.word()).collect();
    let Some(slots) = board.memory.get() else {
        let sentence = format!("Which memory {} takes is not known.", board.name);
        return Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("The type printed on a module, or beside the memory slots.");
    };
    // What runs in these slots today is of their type, whether it was read or not.
    let stays = proposal.changes.memory.is_none() && proposal.changes.board.is_none();
    let finding = if let Some((kit, kind)) =
        kits.iter().find_map(|kit| Some((kit, kit.kind.get().filter(|kind| *kind != slots)?)))
    {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} has slots for {slots}, {} is {kind}.", board.name, kit.name),
        )
        .cure(format!("{slots} memory has to be bought with this board."))
    } else if !stays && let Some(kit) = kits.iter().find(|kit| kit.kind.is_unknown()) {
        Finding::new(RULE.id, Verdict::CannotTell, format!("Of which type {} is, is not known.", kit.name))
            .settle("The type printed on a module.")
    } else if processor.memory.is_empty() {
        Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Which memory {} drives is not known.", processor.name),
        )
        .settle(format!("The memory line on the sheet of {}.", processor.name))
    } else if !processor.memory.iter().any(|support| support.kind == slots) {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!(
                "{} drives {}, the slots of {} are {}.",
                processor.name,
                drives.join(" and "),
                board.name,
                slots
            ),
        )
        .cure(format!("Choose a processor that drives {slots}, or another board."))
    } else {
        Finding::new(RULE.id, Verdict::Fits, format!("Board, processor and memory agree on {slots}."))
    };
    finding.word("slots of the board", slots, Origin::Sheet).word(
        "types the processor drives",
        if drives.is_empty() { "unknown".to_owned() } else { drives.join(", ") },
        Origin::Sheet,
    )
}
