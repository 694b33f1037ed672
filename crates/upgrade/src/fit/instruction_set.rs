//! Does the processor run the software?

use quantity::reading::Reading;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Instruction-set level of the x86-64 psABI against what the software needs.
pub const RULE: Rule = Rule {
    id: "instruction-set",
    question: "Does the processor run the software?",
    looks_at: &[Kind::Processor],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let processor = proposal.processor();
    if proposal.changes.processor.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} runs the software today.", processor.name));
    }
    let needed = proposal.now.software.instruction_level;
    let level = |level: u8| format!("x86-64-v{level}");
    match (processor.instruction_level, needed) {
        (Reading::Known(has, a), Reading::Known(needs, b)) => {
            let finding = if has >= needs {
                Finding::new(
                    RULE.id,
                    Verdict::Fits,
                    format!(
                        "{} reaches {}, the software needs {}.",
                        processor.name,
                        level(has),
                        level(needs)
                    ),
                )
            } else {
                Finding::new(
                    RULE.id,
                    Verdict::DoesNotFit,
                    format!(
                        "{} stops at {}, the software needs {}.",
                        processor.name,
                        level(has),
                        level(needs)
                    ),
                )
                .cure("Choose a newer generation.")
            };
            finding.word("level of the processor", level(has), a).word(
                "level the software needs",
                level(needs),
                b,
            )
        }
        (_, Reading::Unknown) => Finding::new(
            RULE.id,
            Verdict::Fits,
            "Nothing is known of software that needs a newer instruction set than the present one.",
        ),
        (Reading::Unknown, Reading::Known(needs, b)) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Which instruction sets {} has is not known.", processor.name),
        )
        .word("level the software needs", level(needs), b)
        .settle(format!("The instruction sets on the sheet of {}.", processor.name)),
    }
}
