//! At which rate will the memory run?

use quantity::dimension::TransferRateDim;
use quantity::reading::Figure;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// The lowest of processor, board and modules decides; the rest of a fast kit is not used.
pub const RULE: Rule = Rule {
    id: "memory-speed",
    question: "At which rate will the memory run?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Memory],
    judge,
    quick: None,
};

/// Rate at which the memory will run: the lowest of those known, and whether all are known.
pub fn running_rate(
    proposal: &Proposal<'_>,
) -> (Figure<TransferRateDim>, Vec<(String, Figure<TransferRateDim>)>) {
    let board = proposal.board();
    let processor = proposal.processor();
    let supported = processor.memory.iter().find(|support| Some(support.kind) == board.memory.get());
    let mut rates = vec![
        (format!("rate of {}", processor.name), supported.map(|s| s.speed).unwrap_or_default()),
        (format!("rate of {}", board.name), board.memory_speed),
    ];
    rates.extend(proposal.memory().iter().map(|kit| (format!("rate of {}", kit.name), kit.speed)));
    let lowest = rates
        .iter()
        .map(|(_, figure)| *figure)
        .reduce(|a, b| a.with(b, |x, y| if x.low().si() <= y.low().si() { x } else { y }));
    (lowest.unwrap_or_default(), rates)
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let (rate, rates) = running_rate(proposal);
    let mut finding = match rate.known() {
        Some(rate) => {
            let faster: Vec<&str> = rates
                .iter()
                .filter(|(_, figure)| figure.known().is_some_and(|f| f.low() > rate.high()))
                .map(|(what, _)| what.trim_start_matches("rate of "))
                .collect();
            let rest = if faster.is_empty() {
                String::new()
            } else {
                format!(" {} could do more, which is not used.", faster.join(" and "))
            };
            Finding::new(RULE.id, Verdict::Fits, format!("The memory will run at {}.{rest}", rate.rounded(4)))
        }
        None => {
            let unknown: Vec<&str> = rates
                .iter()
                .filter(|(_, figure)| figure.is_unknown())
                .map(|(what, _)| what.as_str())
                .collect();
            Finding::new(
                RULE.id,
                Verdict::CannotTell,
                format!(
                    "At which rate the memory will run is not known: {} is missing.",
                    unknown.join(" and ")
                ),
            )
            .settle(format!("The {}.", unknown.first().unwrap_or(&"rate")))
        }
    };
    for (what, figure) in &rates {
        finding = finding.reading(what.clone(), figure);
    }
    finding
}
