//! Comparing what is there with what is needed, when either may be an interval or unknown.

use quantity::dimension::Dimension;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::Figure;

use crate::fit::finding::{Margin, Verdict};

/// The verdict of [`at_least`] alone, for searches.
pub fn holds<D: Dimension>(have: &Figure<D>, need: &Figure<D>) -> Option<Verdict> {
    let (have, need) = (have.get()?, need.get()?);
    Some(verdict(have.low().si() - need.high().si(), have.high().si() - need.low().si()))
}

const fn verdict(worst: f64, best: f64) -> Verdict {
    if worst >= 0.0 {
        Verdict::Fits
    } else if best < 0.0 {
        Verdict::DoesNotFit
    } else {
        Verdict::CannotTell
    }
}

/// Whether `have` is at least `need` for sure, surely not, or perhaps; with the margin.
///
/// # Model
/// Both may lie anywhere in their intervals, independently. `None` where either is unknown.
pub fn at_least<D: Dimension>(have: &Figure<D>, need: &Figure<D>) -> Option<(Verdict, Margin)> {
    let (have, need) = (have.get()?, need.get()?);
    let worst = have.low().si() - need.high().si();
    let best = have.high().si() - need.low().si();
    let verdict = verdict(worst, best);
    let share = |left: f64, limit: f64| if limit == 0.0 { 0.0 } else { left / limit.abs() };
    let margin = Margin {
        text: signed(Interval::<D>::between(Quantity::from_si(worst), Quantity::from_si(best))),
        worst_share: share(worst, have.low().si()),
        best_share: share(best, have.high().si()),
    };
    Some((verdict, margin))
}

/// A margin's text always shows its sign.
fn signed<D: Dimension>(interval: Interval<D>) -> String {
    let text = interval.rounded(3);
    if interval.low().si() > 0.0 { format!("+{text}") } else { text }
}

#[cfg(test)]
mod tests {
    use quantity::dimension::PowerDim;
    use quantity::reading::{Figure, Origin, Reading};

    use super::at_least;
    use crate::fit::finding::Verdict;

    #[track_caller]
    fn check(have: &str, need: &str, verdict: Verdict, text: &str) {
        let figure =
            |text: &str| -> Figure<PowerDim> { Reading::Known(text.parse().unwrap(), Origin::Sheet) };
        let (found, margin) = at_least(&figure(have), &figure(need)).unwrap();
        assert_eq!((found, margin.text.as_str()), (verdict, text));
    }

    #[test]
    fn the_worst_of_both_decides() {
        check("100 W", "88 W", Verdict::Fits, "+12 W");
        check("80..100 W", "88 W", Verdict::CannotTell, "-8..12 W");
        check("80 W", "88..90 W", Verdict::DoesNotFit, "-10..-8 W");
        check("88 W", "88 W", Verdict::Fits, "0 W");
    }

    #[test]
    fn an_unknown_side_gives_no_verdict() {
        let known: Figure<PowerDim> = Reading::Known("1 W".parse().unwrap(), Origin::Sheet);
        assert!(at_least(&Reading::Unknown, &known).is_none());
    }
}
