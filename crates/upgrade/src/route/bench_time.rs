//! How long the work at the bench takes.

use crate::fit::firmware::{FirmwareNeed, need};
use crate::machine::proposal::Proposal;

/// Minutes of a practised person, without the soak.
///
/// # Source
/// common practice, no source.
const OPEN_AND_CLOSE: u32 = 15;
const PASTE: u32 = 15;
const COOLER: u32 = 20;
const FANS: u32 = 10;
const PROCESSOR: u32 = 15;
const BOARD: u32 = 75;
const MEMORY: u32 = 5;
const SUPPLY: u32 = 35;
const CASE: u32 = 60;
const FIRMWARE: u32 = 20;

/// Minutes at the bench for the changes of a proposal.
///
/// # Model
/// A sum over what is changed; opening and closing the machine counts once, the paste once.
pub fn minutes(proposal: &Proposal<'_>) -> u32 {
    let changes = &proposal.changes;
    if !changes.any() {
        return 0;
    }
    let mut minutes = OPEN_AND_CLOSE;
    let mut add = |is_done: bool, time: u32| minutes += if is_done { time } else { 0 };
    add(changes.lifts_cooler(), PASTE);
    add(changes.changes_cooler(), COOLER);
    add(changes.changes_fans(), FANS);
    add(changes.processor.is_some(), PROCESSOR);
    add(changes.board.is_some(), BOARD);
    add(changes.memory.is_some(), MEMORY);
    add(changes.supply.is_some(), SUPPLY);
    add(changes.case.is_some(), CASE);
    let updates =
        matches!(need(proposal), FirmwareNeed::UpdateBeforeSwap(_) | FirmwareNeed::UpdateWithoutProcessor(_));
    add(updates, FIRMWARE);
    minutes
}
