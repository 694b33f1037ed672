//! Which reading of the power stages would narrow most what they hold.

use quantity::dimension::PowerDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;

use crate::carry::stage_class::{ClassSpans, Span};
use crate::carry::stage_corner::{StageReadings, class_hull};
use crate::carry::stages::{sustained_ends, warranted_readings};
use crate::machine::proposal::Proposal;
use crate::part::board::StageClass;

/// A reading that could be taken, and what it would leave of the interval.
struct Reader {
    what: &'static str,
    left: (f64, f64),
}

/// The reading that would narrow most what the stages hold, and what it would leave.
///
/// # Model
/// Each reading not taken is set, in turn, to the middle of what it may be (a class: to the one that leaves
/// most), and the interval of what the stages hold for ever computed again.
pub fn narrowest(proposal: &Proposal<'_>) -> String {
    let warranted = !proposal.board().rated_processor_power.is_unknown();
    let nothing_else = if warranted {
        "A soak under full load with a thermometer on the board beside the stages."
    } else {
        "The largest processor power in the board maker's support list."
    };
    let readings = warranted_readings(proposal);
    let stages = &proposal.board().stages;
    let held = |readings: &StageReadings| sustained_ends(readings).map(|[weak, strong]| (weak.0, strong.0));
    let Some(ends) = held(&readings) else { return nothing_else.to_owned() };
    let mut readers: Vec<Reader> = Vec::new();
    let mut offer = |what: &'static str, left: Option<(f64, f64)>| {
        if let Some(left) = left {
            readers.push(Reader { what, left });
        }
    };
    if stages.count.is_unknown() {
        let count = (readings.count.weak * readings.count.strong).sqrt().round();
        let fixed = StageReadings { count: both(count), ..readings.clone() };
        offer("The number of inductors beside the socket, counted", held(&fixed));
    }
    if stages.class.is_unknown() {
        let widest = StageClass::ALL
            .into_iter()
            .filter_map(|class| held(&StageReadings { classes: vec![class], ..readings.clone() }))
            .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
        offer(
            "Whether a heatsink covers the stages and whether each is one body or several, by a look",
            widest,
        );
    }
    if stages.stage_current.is_unknown()
        && let Some(middle) = middle(&readings, |class| class.stage_a)
    {
        let fixed = StageReadings { stage_a: Some(both(middle)), ..readings.clone() };
        offer(
            "The printing on a switch beside an inductor, with a lens: its sheet rates its current",
            held(&fixed),
        );
    }
    if stages.inductance.is_unknown()
        && let Some(middle) = middle(&readings, |class| class.inductance_h)
    {
        let fixed = StageReadings { inductance_h: Some(both(middle)), ..readings.clone() };
        offer("The printing on an inductor (R22 is 0.22 uH)", held(&fixed));
    }
    let mut measured = readings.clone();
    let celsius = 0.5 * (readings.air.weak.celsius + readings.air.strong.celsius);
    measured.air.weak.celsius = celsius;
    measured.air.strong.celsius = celsius;
    offer("The temperature of the air at the stages under load, by thermometer", held(&measured));
    let best = readers.into_iter().min_by(|a, b| (a.left.1 - a.left.0).total_cmp(&(b.left.1 - b.left.0)));
    match best {
        Some(best) if best.left.1 - best.left.0 < 0.95 * (ends.1 - ends.0) => {
            let text = |(low, high): (f64, f64)| {
                Interval::<PowerDim>::between(Quantity::from_si(low), Quantity::from_si(high)).rounded(2)
            };
            format!(
                "{}; it would narrow what they hold from {} to about {}.",
                best.what,
                text(ends),
                text(best.left)
            )
        }
        _ => nothing_else.to_owned(),
    }
}

fn both(value: f64) -> Span {
    Span { weak: value, strong: value }
}

/// Middle of what a class leaves open.
fn middle(readings: &StageReadings, of: impl Fn(&ClassSpans) -> Span) -> Option<f64> {
    class_hull(readings, of).map(|span| (span.weak * span.strong).sqrt())
}
