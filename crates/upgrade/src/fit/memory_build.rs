//! Are the modules of the build that a desktop takes: buffering, error correction, voltage?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::memory::{Buffering, MemoryType};
use crate::part::processor::Support;

/// Registered modules do not start in a desktop; error correction needs board and processor too.
pub const RULE: Rule = Rule {
    id: "memory-build",
    question: "Are the modules unbuffered, of the usual voltage, and is their error correction used?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Memory],
    judge,
    quick: None,
};

/// Nominal supply voltage of modules.
///
/// # Source
/// JESD79-3 (1.5 V), JESD79-4 (1.2 V), JESD79-5 (1.1 V); from memory.
const fn nominal_volts(kind: MemoryType) -> f64 {
    match kind {
        MemoryType::Ddr3 => 1.5,
        MemoryType::Ddr4 => 1.2,
        MemoryType::Ddr5 => 1.1,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let kits = proposal.memory();
    let (board, processor) = (proposal.board(), proposal.processor());
    if let Some(kit) = kits.iter().find(|kit| kit.buffering.get() == Some(Buffering::Registered)) {
        return Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} has registered modules; a desktop board takes unbuffered ones.", kit.name),
        )
        .word("buffering", "registered", Origin::Sheet)
        .cure("Choose unbuffered modules.");
    }
    let mixed =
        kits.windows(2).any(|pair| matches!(pair, [a, b] if a.error_correction != b.error_correction));
    let wants_correction = kits.iter().any(|kit| kit.error_correction.get() == Some(Support::Yes));
    let corrects = board.error_correction.get() == Some(Support::Yes)
        && processor.error_correction.get() == Some(Support::Yes)
        && !mixed;
    let raised = kits.iter().find(|kit| {
        kit.kind.get().is_some_and(|kind| {
            kit.voltage.known().is_some_and(|volts| volts.high().si() > nominal_volts(kind) * 1.05)
        })
    });
    let unknown = kits.iter().find(|kit| kit.buffering.is_unknown());
    let finding = if let Some(kit) = unknown {
        Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether {} is registered is not known.", kit.name),
        )
        .settle("The printing on a module: a letter R behind the speed means registered.")
    } else if wants_correction && !corrects {
        Finding::new(
            RULE.id,
            Verdict::OnCondition,
            "The modules could correct errors, but board, processor or another module does not: it stays off.",
        )
        .cure("Accept that errors are not corrected, or choose board and processor that do.")
    } else if let Some(kit) = raised {
        Finding::new(
            RULE.id,
            Verdict::OnCondition,
            format!("{} reaches its rate only above the standard voltage.", kit.name),
        )
        .cure("Set the module's own profile in the firmware, or run it at the standard rate.")
    } else {
        Finding::new(RULE.id, Verdict::Fits, "The modules are unbuffered, as a desktop takes them.")
    };
    let mut finding = finding;
    for kit in &kits {
        finding = match kit.buffering {
            Reading::Known(Buffering::Unbuffered, origin) => {
                finding.word(format!("buffering of {}", kit.name), "unbuffered", origin)
            }
            Reading::Known(Buffering::Registered, origin) => {
                finding.word(format!("buffering of {}", kit.name), "registered", origin)
            }
            Reading::Unknown => finding.unknown(format!("buffering of {}", kit.name)),
        };
        finding = finding.reading(format!("voltage of {}", kit.name), &kit.voltage);
    }
    finding
}
