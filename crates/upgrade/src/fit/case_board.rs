//! Does the board go into the case?

use quantity::reading::Origin;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::case::RearOpening;
use crate::part::id::Kind;

/// Form factor, stand-offs and the rear opening.
pub const RULE: Rule = Rule {
    id: "case-board",
    question: "Does the board go into the case?",
    looks_at: &[Kind::Board, Kind::Case],
    judge,
    quick: None,
};

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (board, case) = (proposal.board(), proposal.case());
    if proposal.changes.board.is_none() && proposal.changes.case.is_none() {
        return Finding::new(RULE.id, Verdict::Fits, format!("{} is in {} already.", board.name, case.name));
    }
    let Some(form) = board.form.get().filter(|_| !case.forms.is_empty()) else {
        let sentence = format!("Whether {} goes into {} is not known.", board.name, case.name);
        return Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("Width and depth of the board that is in the case, by ruler, and its stand-offs.");
    };
    let forms: Vec<&str> = case.forms.iter().map(|form| form.word()).collect();
    let finding = if !case.forms.contains(&form) {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!(
                "{} is {}, {} has stand-offs for {}.",
                board.name,
                form.word(),
                case.name,
                forms.join(", ")
            ),
        )
        .cure("Choose a board of a form factor that the case takes.")
    } else if case.rear_opening.get() == Some(RearOpening::Fixed) {
        Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("The rear opening of {} is pressed for the board it came with.", case.name),
        )
        .cure("Keep the board, or change the case with it.")
    } else if case.rear_opening.is_unknown() {
        let sentence = format!("Whether the rear opening of {} fits any board is not known.", case.name);
        Finding::new(RULE.id, Verdict::CannotTell, sentence)
            .settle("Whether a plate snaps into the rear opening, or the case itself is pressed, by a look.")
    } else {
        Finding::new(RULE.id, Verdict::Fits, format!("{} takes a board of {}.", case.name, form.word()))
    };
    finding.word("form factor of the board", form.word(), Origin::Sheet).word(
        "stand-offs of the case",
        forms.join(", "),
        Origin::Sheet,
    )
}
