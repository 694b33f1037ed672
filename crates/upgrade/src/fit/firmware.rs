//! Is the firmware new enough, and can it be made so in time?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::board::{Board, FirmwareUpdate, FirmwareVersion, SupportScope};
use crate::part::id::Kind;
use crate::part::processor::Processor;

/// Lowest firmware for the processor against what is installed, and the order an update forces.
pub const RULE: Rule = Rule {
    id: "firmware",
    question: "Is the firmware new enough, and can it be updated in time?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

/// What the firmware needs before the processor can start.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FirmwareNeed {
    /// Nothing: what is installed starts it.
    Nothing,
    /// An update while the old processor is still in.
    UpdateBeforeSwap(FirmwareVersion),
    /// An update with an empty socket, before or after the swap.
    UpdateWithoutProcessor(FirmwareVersion),
    /// An update that nothing at hand can do: the seller or a borrowed processor has to.
    UpdateElsewhere(FirmwareVersion),
    /// Lowest or installed version unknown, or how it can be updated.
    Unknown,
}

/// Lowest firmware that starts the processor; its own line overrules its generation's.
pub fn lowest(board: &Board, processor: &Processor) -> Reading<FirmwareVersion> {
    let since = |scope: &SupportScope| {
        board.support.iter().find(|entry| entry.scope == *scope).map(|entry| entry.since.clone())
    };
    since(&SupportScope::Processor(processor.id.clone()))
        .or_else(|| since(&SupportScope::Generation(processor.generation.clone())))
        .unwrap_or(Reading::Unknown)
}

/// Firmware that is on the board of the machine-to-be before anything is done.
pub fn installed(proposal: &Proposal<'_>) -> Reading<FirmwareVersion> {
    match proposal.changes.board {
        Some(board) => board.firmware_sold.clone(),
        None => proposal.now.firmware.clone(),
    }
}

/// What has to be done about the firmware.
pub fn need(proposal: &Proposal<'_>) -> FirmwareNeed {
    let board = proposal.board();
    if !proposal.changes.any() || (proposal.changes.processor.is_none() && proposal.changes.board.is_none()) {
        // The machine runs today with just these two.
        return FirmwareNeed::Nothing;
    }
    let (Reading::Known(lowest, _), Reading::Known(installed, _)) =
        (lowest(board, proposal.processor()), installed(proposal))
    else {
        return FirmwareNeed::Unknown;
    };
    if installed >= lowest {
        return FirmwareNeed::Nothing;
    }
    match board.firmware_update.get() {
        Some(FirmwareUpdate::WithoutProcessor) => FirmwareNeed::UpdateWithoutProcessor(lowest),
        Some(FirmwareUpdate::NeedsProcessor) if proposal.changes.board.is_none() => {
            FirmwareNeed::UpdateBeforeSwap(lowest)
        }
        Some(FirmwareUpdate::NeedsProcessor) if old_processor_starts(proposal, &installed) => {
            FirmwareNeed::UpdateBeforeSwap(lowest)
        }
        Some(FirmwareUpdate::NeedsProcessor) => FirmwareNeed::UpdateElsewhere(lowest),
        None => FirmwareNeed::Unknown,
    }
}

/// Whether the processor that is in the machine now would start the new board as it is sold.
fn old_processor_starts(proposal: &Proposal<'_>, installed: &FirmwareVersion) -> bool {
    let (board, old) = (proposal.board(), &proposal.now.processor.part);
    board.socket == old.socket
        && matches!(lowest(board, old), Reading::Known(needed, _) if needed <= *installed)
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (board, processor) = (proposal.board(), proposal.processor());
    let (lowest, installed) = (lowest(board, processor), installed(proposal));
    let finding = match need(proposal) {
        FirmwareNeed::Nothing => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("The firmware on {} starts {}.", board.name, processor.name),
        ),
        FirmwareNeed::UpdateBeforeSwap(version) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "{} needs firmware {version} on {}; it is older, and only a running processor can update it.",
                processor.name, board.name
            ),
        )
        .cure(format!("Update to {version} or later while the old processor is still in.")),
        FirmwareNeed::UpdateWithoutProcessor(version) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!("{} needs firmware {version} on {}; it is older.", processor.name, board.name),
        )
        .cure(format!("Update to {version} or later; the marked port does it without a processor.")),
        FirmwareNeed::UpdateElsewhere(version) => Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!(
                "{} is sold with firmware older than {version}, which {} needs, and no processor at hand starts it.",
                board.name, processor.name
            ),
        )
        .cure(format!("Have the seller update it to {version} or later before it is sent, in writing.")),
        FirmwareNeed::Unknown => {
            let (sentence, settle) = if lowest.is_unknown() {
                (
                    format!("From which firmware on {} starts {} is not known.", board.name, processor.name),
                    format!("The line for {} in the support list of {}.", processor.name, board.name),
                )
            } else if installed.is_unknown() {
                (
                    format!("Which firmware is on {} is not known.", board.name),
                    "The version on the first page of the firmware's settings.".to_owned(),
                )
            } else {
                (
                    format!("The firmware of {} is too old, and how it can be updated is not known.", board.name),
                    format!("The chapter on updating in the manual of {}.", board.name),
                )
            };
            Finding::new(RULE.id, Verdict::CannotTell, sentence).settle(settle)
        }
    };
    let shown = |finding: Finding, what: &str, version: &Reading<FirmwareVersion>| match version {
        Reading::Known(version, origin) => finding.word(what, version, *origin),
        Reading::Unknown => finding.unknown(what),
    };
    let finding = shown(finding, "lowest firmware for the processor", &lowest);
    let what = if proposal.changes.board.is_some() { "firmware as sold" } else { "installed firmware" };
    let finding = shown(finding, what, &installed);
    match board.firmware_update {
        Reading::Known(FirmwareUpdate::NeedsProcessor, origin) => {
            finding.word("update", "with a running processor", origin)
        }
        Reading::Known(FirmwareUpdate::WithoutProcessor, origin) => {
            finding.word("update", "also without a processor", origin)
        }
        Reading::Unknown => finding.word("update", "unknown", Origin::Sheet),
    }
}
