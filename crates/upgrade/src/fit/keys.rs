//! Are keys and licences bound to what is changed?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::firmware::{FirmwareNeed, need};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::machine::software::{BoundKeys, FirmwareMode};
use crate::part::id::Kind;

/// Disk encryption and licences bound to firmware or board, and machines that start the older way.
pub const RULE: Rule = Rule {
    id: "keys",
    question: "Are keys and licences bound to what is changed?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let software = &proposal.now.software;
    let board_changes = proposal.changes.board.is_some();
    let processor_changes = proposal.changes.processor.is_some();
    let updates =
        matches!(need(proposal), FirmwareNeed::UpdateBeforeSwap(_) | FirmwareNeed::UpdateWithoutProcessor(_));
    if !board_changes && !processor_changes && !updates {
        return Finding::new(RULE.id, Verdict::Fits, "Nothing that keys are bound to changes.");
    }
    if board_changes && software.firmware_mode.get() == Some(FirmwareMode::Legacy) {
        return Finding::new(
            RULE.id,
            Verdict::OnCondition,
            "The system starts through the master boot record; newer boards may only start UEFI systems.",
        )
        .word("firmware mode", "legacy", Origin::Firmware)
        .cure("Convert or newly install the system for UEFI, with a back-up made first.");
    }
    let (keys, origin) = match software.bound_keys {
        Reading::Known(keys, origin) => (keys, origin),
        Reading::Unknown => (BoundKeys::default(), Origin::Hand),
    };
    let mut parts = Vec::new();
    if keys.disk_encryption == Some(true) {
        parts.push("a disk is encrypted, perhaps with a key that firmware or security chip keeps");
    }
    if keys.licence == Some(true) && board_changes {
        parts.push("a licence is bound to the board");
    }
    let finding = if !parts.is_empty() {
        Finding::new(RULE.id, Verdict::OnCondition, format!("Careful: {}.", parts.join(", and ")))
            .cure("Write down the recovery key and make a back-up before firmware or board is touched.")
    } else if keys.disk_encryption.is_none() {
        Finding::new(
            RULE.id,
            Verdict::CannotTell,
            "Whether a disk is encrypted with a key in the firmware is not known.",
        )
        .settle("The disk encryption page of the operating system.")
    } else if keys.licence.is_none() && board_changes {
        Finding::new(RULE.id, Verdict::CannotTell, "Whether a licence is bound to the board is not known.")
            .settle("The licence page of the operating system.")
    } else {
        Finding::new(RULE.id, Verdict::Fits, "No key or licence is bound to what changes.")
    };
    let said = |finding: Finding, what: &str, value: Option<bool>| match value {
        Some(value) => finding.word(what, if value { "yes" } else { "no" }, origin),
        None => finding.unknown(what),
    };
    let finding = said(finding, "disk encryption", keys.disk_encryption);
    said(finding, "licence bound to the board", keys.licence)
}
