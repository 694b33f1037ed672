//! Do cards and drives keep their lanes with this processor and board?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::loads::{Load, LoadKind};
use crate::machine::proposal::Proposal;
use crate::part::board::{Board, LaneSource};
use crate::part::id::Kind;
use crate::part::processor::Processor;

/// Slots and drive places that lose or share lanes with this processor.
pub const RULE: Rule = Rule {
    id: "lanes",
    question: "Do cards and drives keep their lanes?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

/// What happens to one load.
enum Loss {
    /// Its place is dead with this generation of processor.
    Dead(String),
    /// It runs, with fewer lanes or an older generation.
    Slower(String),
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (board, processor) = (proposal.board(), proposal.processor());
    let mut dead = Vec::new();
    let mut slower = Vec::new();
    let mut taken: u32 = 0;
    for load in &proposal.now.loads {
        let Some(place) = load.place.as_deref() else { continue };
        if proposal.changes.board.is_some() {
            // Places are the old board's: on a new board only their number and kind can be asked.
            continue;
        }
        for loss in losses(board, processor, load, place, &proposal.now.loads, &mut taken) {
            match loss {
                Loss::Dead(sentence) => dead.push(sentence),
                Loss::Slower(sentence) => slower.push(sentence),
            }
        }
    }
    if proposal.changes.board.is_some() {
        let wanted =
            |kind| proposal.now.loads.iter().filter(|load| load.kind == kind && load.place.is_some()).count();
        let cards = wanted(LoadKind::GraphicsCard) + wanted(LoadKind::Card);
        if cards > board.slots.len() {
            dead.push(format!("{} has {} card slots for {cards} cards.", board.name, board.slots.len()));
        }
        if wanted(LoadKind::Drive) > board.drives.len() {
            dead.push(format!(
                "{} has {} drive places for {} drives.",
                board.name,
                board.drives.len(),
                wanted(LoadKind::Drive)
            ));
        }
    }
    if let Reading::Known(lanes, _) = processor.lanes
        && taken > u32::from(lanes.count)
    {
        slower.push(format!(
            "cards and drives want {taken} lanes of the processor, {} has {}.",
            processor.name, lanes.count
        ));
    }
    let finding = if !dead.is_empty() {
        Finding::new(RULE.id, Verdict::DoesNotFit, dead.join(" "))
            .cure("Move the drive or card to another place, or choose another processor or board.")
    } else if !slower.is_empty() {
        Finding::new(RULE.id, Verdict::OnCondition, slower.join(" "))
            .cure("Accept the slower link, or move what needs it to another place.")
    } else if processor.lanes.is_unknown() && taken > 0 {
        Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("How many lanes {} has is not known.", processor.name),
        )
        .settle(format!("The expansion line on the sheet of {}.", processor.name))
    } else {
        Finding::new(RULE.id, Verdict::Fits, "Cards and drives keep their lanes.")
    };
    match processor.lanes {
        Reading::Known(lanes, origin) => finding.word(
            "lanes of the processor",
            format!("{} of generation {}", lanes.count, lanes.generation),
            origin,
        ),
        Reading::Unknown => finding.unknown("lanes of the processor"),
    }
    .word(
        "places in use",
        proposal.now.loads.iter().filter(|load| load.place.is_some()).count(),
        Origin::Firmware,
    )
}

fn losses(
    board: &Board,
    processor: &Processor,
    load: &Load,
    place: &str,
    all: &[Load],
    taken: &mut u32,
) -> Vec<Loss> {
    let mut losses = Vec::new();
    if let Some(slot) = board.slots.iter().find(|slot| slot.name == place) {
        if slot.source == LaneSource::Processor {
            let wanted = load.lanes.get().unwrap_or(slot.lanes).min(slot.lanes);
            *taken += u32::from(wanted);
            if let Reading::Known(lanes, _) = processor.lanes
                && lanes.generation < slot.generation
                && load.kind == LoadKind::GraphicsCard
            {
                losses.push(Loss::Slower(format!(
                    "{} in {place} runs at bus generation {} instead of {}.",
                    load.name, lanes.generation, slot.generation
                )));
            }
        }
    } else if let Some(drive) = board.drives.iter().find(|drive| drive.name == place) {
        if !drive.only_generations.is_empty() && !drive.only_generations.contains(&processor.generation) {
            losses.push(Loss::Dead(format!(
                "{} sits in {place}, which {} does not feed.",
                load.name, processor.generation
            )));
        } else if drive.source == LaneSource::Processor {
            *taken += u32::from(load.lanes.get().unwrap_or(drive.lanes).min(drive.lanes));
        }
        if let Some(shared) = &drive.shares_with
            && let Some(other) = all.iter().find(|other| other.place.as_deref() == Some(shared))
        {
            losses.push(Loss::Slower(format!(
                "{} in {place} shares lanes with {} in {shared}.",
                load.name, other.name
            )));
        }
    }
    losses
}
