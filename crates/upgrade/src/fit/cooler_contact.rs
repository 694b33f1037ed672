//! Does the cooler's face cover the dies under the lid?

use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::fit::finding::{Finding, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;
use crate::part::processor::Die;
use quantity::dimension::LengthDim;

/// A face that leaves a die's edge uncovered leaves that die hot.
pub const RULE: Rule = Rule {
    id: "cooler-contact",
    question: "Does the cooler's face cover the dies?",
    looks_at: &[Kind::Processor, Kind::Cooler],
    judge,
    quick: Some(quick),
};

/// Width that a face centred on the lid must have to cover a die along one axis.
fn span(offset: Figure<LengthDim>, size: Figure<LengthDim>) -> Figure<LengthDim> {
    offset.with(size, |offset, size| {
        let reach = |offset: f64, size: f64| 2.0 * offset.abs() + size;
        let ends = [offset.low().si(), offset.high().si()];
        let nearest = if ends[0] <= 0.0 && ends[1] >= 0.0 { 0.0 } else { ends[0].abs().min(ends[1].abs()) };
        let farthest = ends[0].abs().max(ends[1].abs());
        Interval::between(
            Quantity::from_si(reach(nearest, size.low().si())),
            Quantity::from_si(reach(farthest, size.high().si())),
        )
    })
}

fn widest(dies: &[Die], axis: impl Fn(&Die) -> Figure<LengthDim>) -> Figure<LengthDim> {
    let spans = dies.iter().map(axis);
    spans
        .reduce(|a, b| a.with(b, |x, y| Interval::between(x.low().max(y.low()), x.high().max(y.high()))))
        .unwrap_or(Reading::Unknown)
}

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let (cooler, dies) = (proposal.cooler(), &proposal.processor().package.dies);
    let across = widest(dies, |die| span(die.offset_x, die.width));
    let along = widest(dies, |die| span(die.offset_y, die.depth));
    match (holds(&cooler.base_width, &across), holds(&cooler.base_depth, &along)) {
        (Some(x), Some(y)) => match x.max(y) {
            Verdict::DoesNotFit => Verdict::OnCondition,
            other => other,
        },
        _ => Verdict::CannotTell,
    }
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (processor, cooler) = (proposal.processor(), proposal.cooler());
    let dies = &processor.package.dies;
    let across = widest(dies, |die| span(die.offset_x, die.width));
    let along = widest(dies, |die| span(die.offset_y, die.depth));
    let compared = [at_least(&cooler.base_width, &across), at_least(&cooler.base_depth, &along)];
    let finding = match compared {
        [Some((x, margin_x)), Some((y, margin_y))] => {
            let margin = if margin_x.worst_share <= margin_y.worst_share { margin_x } else { margin_y };
            let (verdict, sentence) = match x.max(y) {
                Verdict::DoesNotFit => (
                    Verdict::OnCondition,
                    format!(
                        "The face of {} leaves part of a die of {} uncovered.",
                        cooler.name, processor.name
                    ),
                ),
                Verdict::CannotTell => (
                    Verdict::CannotTell,
                    format!("The face of {} may leave the edge of a die uncovered.", cooler.name),
                ),
                _ => (
                    Verdict::Fits,
                    format!("The face of {} covers the dies of {}.", cooler.name, processor.name),
                ),
            };
            let finding = Finding::new(RULE.id, verdict, sentence).margin(Some(margin));
            match verdict {
                Verdict::OnCondition => {
                    finding.cure("Expect a hotter edge core, or choose a cooler with a larger face.")
                }
                Verdict::CannotTell => finding.settle("Width and depth of the cooler's face, by ruler."),
                _ => finding,
            }
        }
        _ => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!(
                "Where the dies of {} lie, or how large the face of {} is, is not known.",
                processor.name, cooler.name
            ),
        )
        .settle(if cooler.base_width.is_unknown() || cooler.base_depth.is_unknown() {
            "Width and depth of the cooler's face, by ruler."
        } else {
            "A drawing of the processor with its lid off."
        }),
    };
    finding
        .reading("width the face must cover", &across)
        .reading("depth the face must cover", &along)
        .reading("width of the face", &cooler.base_width)
        .reading("depth of the face", &cooler.base_depth)
}
