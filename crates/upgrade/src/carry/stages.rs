//! What the board's power stages hold, for ever and for a burst.

use physics::power::body::Temperatures;
use physics::power::burst::From;
use physics::power::converter::Load;
use physics::power::limits::{Nearest, burst_used, largest_burst_from, largest_sustained, used};
use quantity::dimension::PowerDim;
use quantity::interval::Interval;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::{AT_REST_W, between};
use crate::carry::stage_air::stage_air;
use crate::carry::stage_class::spans;
use crate::carry::stage_corner::{Corner, StageReadings};
use crate::fit::finding::{UsedReading, Verdict};
use crate::machine::proposal::Proposal;
use crate::part::board::{Board, StageClass};
use crate::part::processor::Processor;

/// How long a burst lasts where a processor's sheet is silent, in seconds.
///
/// # Source
/// common practice, no source.
const UNKNOWN_BURST_S: (f64, f64) = (1.0, 60.0);

/// What the stages hold.
#[derive(Debug, Clone, PartialEq)]
pub struct StageCapacity {
    /// Processor power they hold for ever.
    pub sustained: Figure<PowerDim>,
    /// Processor power they hold for a burst of this processor's length, beginning at rest.
    pub burst: Figure<PowerDim>,
    /// The limit that binds at the weak end and at the strong end.
    pub nearest: Option<(Nearest, Nearest)>,
}

/// Lowest and highest share of its input that a board's converter gives on under load: bounds for
/// searches, within which [`crate::carry::power_path`] computes it.
pub fn efficiency(board: &Board) -> (f64, f64) {
    let classes = board.stages.class.get().map_or_else(|| StageClass::ALL.to_vec(), |class| vec![class]);
    classes
        .into_iter()
        .map(|class| spans(class).efficiency)
        .fold((1.0_f64, 0.0_f64), |(low, high), span| (low.min(span.weak), high.max(span.strong)))
}

/// Readings of the stages of the machine-to-be.
pub fn readings(proposal: &Proposal<'_>) -> StageReadings {
    StageReadings::of(proposal.board(), proposal.processor(), stage_air(proposal))
}

/// The same, the weak end drawn in to what the board's maker warrants.
pub fn warranted_readings(proposal: &Proposal<'_>) -> StageReadings {
    let readings = readings(proposal);
    match proposal.board().rated_processor_power.get() {
        Some(rated) => readings.keeping_word(rated.low().si()),
        None => readings,
    }
}

/// Length of a burst, weak end (long) first.
pub fn burst_s(processor: &Processor) -> (f64, f64) {
    processor
        .burst_time
        .get()
        .map_or((UNKNOWN_BURST_S.1, UNKNOWN_BURST_S.0), |time| (time.high().si(), time.low().si()))
}

/// Where a burst begins at a corner: at rest. The films stay as they were for the weak end, and are
/// those of the limits for the strong one: the truth lies between.
fn burst_from(corner: &Corner, side: Side) -> Option<From> {
    let rest_w = match side {
        Side::Weak => AT_REST_W.1,
        Side::Strong => AT_REST_W.0,
    };
    let load = Load { power_w: rest_w, set_v: corner.set_v };
    let start = corner.converter.solve_unchecked(&load, &corner.air).ok()?.temperatures;
    let film_at = match side {
        Side::Weak => start,
        Side::Strong => Temperatures::all(corner.limits.junction_c),
    };
    Some(From { start, film_at })
}

/// Ends of what is unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Weak,
    Strong,
}

/// Power held for ever at the weak and the strong end, with what binds there.
pub(super) fn sustained_ends(readings: &StageReadings) -> Option<[(f64, Nearest); 2]> {
    let held =
        |corner: Corner| largest_sustained(&corner.converter, corner.set_v, &corner.air, &corner.limits).ok();
    let mut weak: Option<(f64, Nearest)> = None;
    for corner in readings.weak() {
        let held = held(corner)?;
        weak = Some(weak.map_or(held, |weak| if held.0 < weak.0 { held } else { weak }));
    }
    let mut strong: Option<(f64, Nearest)> = None;
    for corner in readings.strong() {
        let held = held(corner)?;
        strong = Some(strong.map_or(held, |strong| if held.0 > strong.0 { held } else { strong }));
    }
    Some([weak?, strong?])
}

/// Power held for a burst at both ends; no less than what is held for ever.
fn burst_ends(readings: &StageReadings, seconds: (f64, f64), sustained: (f64, f64)) -> Option<(f64, f64)> {
    let held = |corner: &Corner, side: Side, seconds: f64| {
        let from = burst_from(corner, side)?;
        largest_burst_from(&corner.converter, corner.set_v, &corner.air, &corner.limits, &from, seconds)
            .ok()
            .map(|(watts, _)| watts)
    };
    let mut weak = f64::INFINITY;
    for corner in readings.weak() {
        weak = weak.min(held(&corner, Side::Weak, seconds.0)?);
    }
    let mut strong = 0.0_f64;
    for corner in readings.strong() {
        strong = strong.max(held(&corner, Side::Strong, seconds.1)?);
    }
    Some((weak.max(sustained.0), strong.max(sustained.1)))
}

/// What a maker warrants is held, whatever the stages look like.
fn warranted(board: &Board, low_w: f64, high_w: f64) -> (f64, f64) {
    let low = board.rated_processor_power.get().map_or(low_w, |rated| low_w.max(rated.low().si()));
    (low, high_w.max(low))
}

/// What the stages of the machine-to-be hold.
///
/// # Model
/// The whole converter at two corners, everything unknown at the end at which the stages hold least, and
/// most (see [`crate::carry::stage_corner`]); what the board's maker warrants cuts off the lower part.
/// Both ends are bounds: what a stage holds never shrinks when one of these gets better, which a test
/// of the model checks.
pub fn capacity(proposal: &Proposal<'_>) -> StageCapacity {
    let readings = readings(proposal);
    let board = proposal.board();
    let Some([weak, strong]) = sustained_ends(&readings) else {
        return StageCapacity { sustained: Reading::Unknown, burst: Reading::Unknown, nearest: None };
    };
    let (low, high) = warranted(board, weak.0, strong.0);
    let burst = burst_ends(&readings, burst_s(proposal.processor()), (low, high))
        .map_or(Reading::Unknown, |(weak, strong)| between(weak, strong));
    StageCapacity { sustained: between(low, high), burst, nearest: Some((weak.1, strong.1)) }
}

/// Whether the stages hold a power for ever: surely, perhaps, or not; `None` where nothing can be said.
fn holds_sustained(
    proposal: &Proposal<'_>,
    readings: &StageReadings,
    power: Interval<PowerDim>,
) -> Option<Verdict> {
    judge(readings, proposal.board(), power, |corner, _, load| held_for_ever(corner, load))
}

/// Whether the stages hold a burst.
fn holds_burst(
    proposal: &Proposal<'_>,
    readings: &StageReadings,
    power: Interval<PowerDim>,
) -> Option<Verdict> {
    let (long, short) = burst_s(proposal.processor());
    judge(readings, proposal.board(), power, |corner, side, load| {
        // What is held for ever is held for a while.
        if held_for_ever(corner, load)? {
            return Some(true);
        }
        let from = burst_from(corner, side)?;
        let seconds = if side == Side::Weak { long } else { short };
        burst_used(&corner.converter, &from, load, &corner.air, &corner.limits, seconds)
            .ok()
            .map(|(share, _)| share <= 1.0)
    })
}

/// Whether a corner keeps its limits at a load.
fn held_for_ever(corner: &Corner, load: &Load) -> Option<bool> {
    used(&corner.converter, load, &corner.air, &corner.limits).ok().map(|(share, _)| share <= 1.0)
}

/// The verdict from what each corner says: it fits where every weak corner holds the most that is needed or
/// the board's maker warrants it, and does not where no strong corner holds the least.
fn judge(
    readings: &StageReadings,
    board: &Board,
    power: Interval<PowerDim>,
    holds: impl Fn(&Corner, Side, &Load) -> Option<bool>,
) -> Option<Verdict> {
    let warranted_w = board.rated_processor_power.get().map_or(0.0, |rated| rated.low().si());
    let (least_w, most_w) = (power.low().si(), power.high().si());
    let mut all = true;
    if warranted_w < most_w {
        for corner in readings.weak() {
            let load = Load { power_w: most_w, set_v: corner.set_v };
            all &= holds(&corner, Side::Weak, &load)?;
            if !all {
                break;
            }
        }
    }
    if all {
        return Some(Verdict::Fits);
    }
    if warranted_w >= least_w {
        return Some(Verdict::CannotTell);
    }
    for corner in readings.strong() {
        let load = Load { power_w: least_w, set_v: corner.set_v };
        if holds(&corner, Side::Strong, &load)? {
            return Some(Verdict::CannotTell);
        }
    }
    Some(Verdict::DoesNotFit)
}

/// Verdicts on sustained and burst power; `None` where a power or the stages are unknown.
pub fn verdicts(proposal: &Proposal<'_>) -> (Option<Verdict>, Option<Verdict>) {
    let (processor, readings) = (proposal.processor(), readings(proposal));
    let sustained =
        processor.sustained_power.get().and_then(|power| holds_sustained(proposal, &readings, power));
    let burst = match sustained {
        Some(Verdict::DoesNotFit | Verdict::CannotTell) | None => None,
        Some(_) => processor.burst_power.get().and_then(|power| holds_burst(proposal, &readings, power)),
    };
    (sustained, burst)
}

/// What the stages hold for ever, as far as it may bind the processor: unknown where they surely hold all
/// that it may draw.
pub fn binding_power(proposal: &Proposal<'_>) -> Figure<PowerDim> {
    let readings = readings(proposal);
    let surely = proposal
        .processor()
        .sustained_power
        .get()
        .and_then(|power| holds_sustained(proposal, &readings, power))
        == Some(Verdict::Fits);
    if surely {
        return Reading::Unknown;
    }
    sustained_ends(&readings).map_or(Reading::Unknown, |[weak, strong]| {
        let (low, high) = warranted(proposal.board(), weak.0, strong.0);
        between(low, high)
    })
}

/// The readings that a capacity rests on.
pub fn used_readings(proposal: &Proposal<'_>) -> Vec<UsedReading> {
    let board = proposal.board();
    let stages = &board.stages;
    let word = |what: &str, value: Option<String>, origin| UsedReading {
        what: what.to_owned(),
        value: value.unwrap_or_else(|| "unknown".to_owned()),
        origin,
    };
    let air = stage_air(proposal);
    vec![
        word("class of the stages", stages.class.known().map(|c| c.word().to_owned()), stages.class.origin()),
        word("number of stages", stages.count.known().map(u32::to_string), stages.count.origin()),
        word(
            "rated current of a stage",
            stages.stage_current.known().map(|a| a.rounded(3)),
            stages.stage_current.origin(),
        ),
        word(
            "inductance of a stage",
            stages.inductance.known().map(|l| l.rounded(3)),
            stages.inductance.origin(),
        ),
        word("air over the stages", air.temperature().known().map(|t| t.rounded(3)), Some(Origin::Estimated)),
        word("speed of that air", air.speed().known().map(|v| v.rounded(2)), Some(Origin::Estimated)),
        word(
            "processor power the board's maker warrants",
            board.rated_processor_power.known().map(|p| p.rounded(4)),
            board.rated_processor_power.origin(),
        ),
    ]
}
