//! What the board's power stages hold.

use quantity::dimension::PowerDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::scaled;
use crate::fit::finding::UsedReading;
use crate::machine::proposal::Proposal;
use crate::part::board::{Board, StageClass};

/// What the stages hold, what it rests on, and what would narrow it.
#[derive(Debug, Clone, PartialEq)]
pub struct StageCapacity {
    /// Processor power they hold for ever.
    pub sustained: Figure<PowerDim>,
    /// Processor power they hold for a burst.
    pub burst: Figure<PowerDim>,
    /// Readings it rests on.
    pub readings: Vec<UsedReading>,
    /// The reading that narrows it most.
    pub settle: String,
}

/// Processor power that one stage of a class carries for ever, in watts.
///
/// # Source
/// common practice, no source: heat a stage of this class gives off at 100 K above the air, over
/// the share of the power that is lost.
const fn power_per_stage_w(class: StageClass) -> (f64, f64) {
    match class {
        StageClass::DiscreteBare => (11.0, 24.0),
        StageClass::DiscreteWithHeatsink => (20.0, 45.0),
        StageClass::IntegratedBare => (20.0, 42.0),
        StageClass::IntegratedWithHeatsink => (36.0, 80.0),
    }
}

/// Burst power over sustained power: the stages' own heat capacity bridges seconds.
///
/// # Source
/// common practice, no source.
const BURST: (f64, f64) = (1.1, 1.4);

fn estimate(board: &Board) -> Figure<PowerDim> {
    board.stages.class.with(board.stages.count, |class, count| {
        let (low, high) = power_per_stage_w(class);
        Interval::between(
            Quantity::from_si(low * f64::from(count)),
            Quantity::from_si(high * f64::from(count)),
        )
    })
}

/// Sustained and burst processor power that a board's stages hold.
pub fn held(board: &Board) -> (Figure<PowerDim>, Figure<PowerDim>) {
    let sustained = match (estimate(board), board.rated_processor_power) {
        (Reading::Known(estimate, _), Reading::Known(rated, _)) => {
            let low = estimate.low().max(rated.low());
            Reading::Known(Interval::between(low, estimate.high().max(low)), Origin::Estimated)
        }
        (Reading::Unknown, rated) => rated,
        (estimate, Reading::Unknown) => estimate,
    };
    (sustained, scaled(sustained, BURST.0, BURST.1))
}

/// What the stages of the board of the machine-to-be hold.
///
/// # Model
/// The class and number of stages give an interval; what the board's maker warrants cuts off its
/// lower part.
pub fn capacity(proposal: &Proposal<'_>) -> StageCapacity {
    let board = proposal.board();
    let (sustained, burst) = held(board);
    let word = |what: &str, value: Option<String>, origin| UsedReading {
        what: what.to_owned(),
        value: value.unwrap_or_else(|| "unknown".to_owned()),
        origin,
    };
    let stages = &board.stages;
    let readings = vec![
        word("class of the stages", stages.class.known().map(|c| c.word().to_owned()), stages.class.origin()),
        word("number of stages", stages.count.known().map(u32::to_string), stages.count.origin()),
        word(
            "processor power the board's maker warrants",
            board.rated_processor_power.known().map(|p| p.rounded(4)),
            board.rated_processor_power.origin(),
        ),
    ];
    let settle = if stages.count.is_unknown() {
        "The number of inductors beside the socket, counted."
    } else if stages.class.is_unknown() {
        "Whether a heatsink covers the stages beside the socket, by a look."
    } else if board.rated_processor_power.is_unknown() {
        "The largest processor power in the board maker's support list."
    } else {
        "The printing on a switch beside an inductor, with a lens."
    };
    StageCapacity { sustained, burst, readings, settle: settle.to_owned() }
}
