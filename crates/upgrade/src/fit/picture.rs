//! Will there be a picture on the display?

use quantity::reading::{Origin, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::loads::LoadKind;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::processor::Graphics;

/// Without a graphics card and without graphics in the processor the display stays dark.
pub const RULE: Rule = Rule {
    id: "picture",
    question: "Will there be a picture?",
    looks_at: &[Kind::Processor, Kind::Board],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, board) = (proposal.processor(), proposal.board());
    if let Some(card) = proposal.now.loads.iter().find(|load| load.kind == LoadKind::GraphicsCard) {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} drives the display.", card.name)).word(
            "graphics card",
            &card.name,
            Origin::Sheet,
        );
    }
    let finding = match (processor.graphics, board.display_outputs) {
        (Reading::Known(Graphics::None, _), _) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} has no graphics and there is no card: the display stays dark.", processor.name),
        )
        .cure("Choose a processor with graphics, or add a graphics card."),
        (Reading::Known(Graphics::Present, _), Reading::Known(0, _)) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} has graphics, but {} has no display output.", processor.name, board.name),
        )
        .cure("Choose a board with a display output, or add a graphics card."),
        (Reading::Known(Graphics::Present, _), Reading::Known(_, _)) => Finding::new(
            RULE.id,
            Verdict::Fits,
            format!("The graphics of {} use the outputs of {}.", processor.name, board.name),
        ),
        (Reading::Unknown, _) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether {} has graphics is not known, and there is no card.", processor.name),
        )
        .settle(format!("The graphics line on the sheet of {}.", processor.name)),
        (_, Reading::Unknown) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether {} has a display output is not known.", board.name),
        )
        .settle("A look at the board's rear connectors."),
    };
    let finding = match processor.graphics {
        Reading::Known(Graphics::Present, origin) => {
            finding.word("graphics of the processor", "present", origin)
        }
        Reading::Known(Graphics::None, origin) => finding.word("graphics of the processor", "none", origin),
        Reading::Unknown => finding.unknown("graphics of the processor"),
    };
    match board.display_outputs {
        Reading::Known(count, origin) => finding.word("display outputs of the board", count, origin),
        Reading::Unknown => finding.unknown("display outputs of the board"),
    }
}
