//! Are there slots and address space enough for the memory?

use quantity::interval::Interval;
use quantity::reading::{Figure, Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::at_least;
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::memory::MemoryKit;

/// Number of modules against slots, capacity against board and processor.
pub const RULE: Rule = Rule {
    id: "memory-space",
    question: "Are there slots and address space enough for the memory?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Memory],
    judge,
    quick: None,
};

/// Capacity of all kits together.
pub fn capacity(kits: &[&MemoryKit]) -> Figure<quantity::dimension::CapacityDim> {
    let mut total = Reading::Known(Interval::exact(quantity::measure::Quantity::from_si(0.0)), Origin::Hand);
    for kit in kits {
        total = total.with(kit.module_capacity, |sum, each| sum + each * f64::from(kit.modules));
    }
    total
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board, kits) = (proposal.processor(), proposal.board(), proposal.memory());
    let modules: u32 = kits.iter().map(|kit| kit.modules).sum();
    if let Reading::Known(slots, origin) = board.memory_slots
        && modules > slots
    {
        return Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{modules} modules do not go into the {slots} slots of {}.", board.name),
        )
        .word("memory slots", slots, origin)
        .cure("Choose a kit of fewer, larger modules.");
    }
    let total = capacity(&kits);
    let limit = [board.memory_capacity, processor.memory_capacity]
        .into_iter()
        .filter(|figure| !figure.is_unknown())
        .min_by(|a, b| {
            let key = |figure: &Figure<_>| figure.known().map_or(f64::INFINITY, |value| value.low().si());
            key(a).total_cmp(&key(b))
        })
        .unwrap_or_default();
    let finding = match at_least(&limit, &total) {
        Some((Verdict::Fits, margin)) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("{modules} modules fit, and their capacity can be addressed."),
        )
        .margin(Some(margin)),
        Some((verdict, margin)) => Finding::new(
            RULE.id,
            verdict,
            format!("{} and {} cannot address all of this memory.", board.name, processor.name),
        )
        .margin(Some(margin))
        .cure("Choose a smaller kit."),
        None => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            "How much memory board and processor can address, or how much this is, is not known.",
        )
        .settle(format!("The memory page in the manual of {}.", board.name)),
    };
    let finding = match board.memory_slots {
        Reading::Known(slots, origin) => finding.word("memory slots", slots, origin),
        Reading::Unknown => finding.unknown("memory slots"),
    };
    finding
        .reading("capacity of the memory", &total)
        .reading("largest memory of the board", &board.memory_capacity)
        .reading("largest memory of the processor", &processor.memory_capacity)
}
