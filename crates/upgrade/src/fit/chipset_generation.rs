//! Does the board drive this electrical generation?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::board::{Board, SupportScope};
use crate::part::id::Kind;
use crate::part::processor::Processor;

/// One socket can serve generations that exclude each other: chipset and support list decide.
pub const RULE: Rule = Rule {
    id: "generation",
    question: "Do chipset and board drive this electrical generation?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

/// How a board's support list mentions a processor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mention {
    /// By its own id.
    ByName,
    /// By its generation.
    ByGeneration,
    /// As one that does not run.
    Excluded,
    /// Not at all.
    Not,
}

/// How the support list mentions the processor. Its own line overrules its generation's.
pub fn mention(board: &Board, processor: &Processor) -> Mention {
    let has = |scope: &SupportScope| board.support.iter().any(|entry| entry.scope == *scope);
    if has(&SupportScope::Excluded(processor.id.clone())) {
        Mention::Excluded
    } else if has(&SupportScope::Processor(processor.id.clone())) {
        Mention::ByName
    } else if has(&SupportScope::Generation(processor.generation.clone())) {
        Mention::ByGeneration
    } else {
        Mention::Not
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    let chipset = proposal.library.chipsets.get(&board.chipset);
    let drives = chipset.map(|chipset| chipset.generations.contains(&processor.generation));
    let named = format!("{} ({})", processor.name, processor.generation);
    let finding = match (drives, mention(board, processor)) {
        (_, Mention::Excluded) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("The maker of {} lists {named} as one that does not run.", board.name),
        )
        .cure("Choose another processor of the list, or another board."),
        (Some(false), _) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!(
                "The {} chipset of {} cannot drive {named}, although the socket is the same.",
                board.chipset, board.name
            ),
        )
        .cure(format!("It takes a board whose chipset drives {}.", processor.generation)),
        (_, Mention::ByName) => {
            Finding::new(RULE.id, Verdict::Fits, format!("{} lists {} by name.", board.name, processor.name))
        }
        (_, Mention::ByGeneration) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{} lists the generation {}.", board.name, processor.generation),
        ),
        (Some(true), Mention::Not) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!(
                "The chipset of {} could drive {named}, but the board's list does not say so.",
                board.name
            ),
        )
        .settle(format!("The maker's present support list for {}.", board.name)),
        (None, Mention::Not) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Neither the chipset nor the support list of {} is known for {named}.", board.name),
        )
        .settle(format!("The printing on {}'s chipset, or its maker's support list.", board.name)),
    };
    let finding = finding.word("generation", &processor.generation, Origin::Sheet);
    match chipset {
        Some(chipset) => {
            let generations: Vec<&str> = chipset.generations.iter().map(|id| id.text()).collect();
            finding.word(format!("generations of {}", chipset.name), generations.join(", "), Origin::Sheet)
        }
        None => finding.unknown(format!("chipset {}", board.chipset)),
    }
}
