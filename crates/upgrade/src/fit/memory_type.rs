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
    let finding = if let Some(kit) = kits.iter().find(|kit| kit.kind != board.memory) {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} has slots for {}, {} is {}.", board.name, board.memory, kit.name, kit.kind),
        )
        .cure(format!("{} memory has to be bought with this board.", board.memory))
    } else if processor.memory.is_empty() {
        Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Which memory {} drives is not known.", processor.name),
        )
        .settle(format!("The memory line on the sheet of {}.", processor.name))
    } else if !processor.memory.iter().any(|support| support.kind == board.memory) {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!(
                "{} drives {}, the slots of {} are {}.",
                processor.name,
                drives.join(" and "),
                board.name,
                board.memory
            ),
        )
        .cure(format!("Choose a processor that drives {}, or another board.", board.memory))
    } else {
        Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("Board, processor and memory agree on {}.", board.memory),
        )
    };
    finding.word("slots of the board", board.memory, Origin::Sheet).word(
        "types the processor drives",
        if drives.is_empty() { "unknown".to_owned() } else { drives.join(", ") },
        Origin::Sheet,
    )
}
