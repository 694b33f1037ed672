//! Spans of days in a bounded room: two of one kind become one, which changes no count and no kind.

use crate::gain::observed::span::Span;
use crate::gain::observed::tasks::{Kind, kind};

/// Most spans that need be held: six days of ten seconds each, one by one.
pub const MOST_SPANS: usize = 50_000;

/// Makes them fewer where there are more than `most`: of each kind, two that follow each other become one.
///
/// # Model
/// Looks add up, so every share that is counted stays; means are weighted by the time, and those of running cores by the
/// time that cores ran. Longer spans are at least as independent of each other as shorter ones. A reading that one of the two
/// lacks is lost for both.
pub fn compact(spans: &mut Vec<Span>, most: usize) {
    while spans.len() > most.max(8) {
        let mut kept: Vec<Span> = Vec::with_capacity(spans.len() / 2 + 4);
        let mut waiting: [Option<Span>; 4] = Default::default();
        for span in spans.drain(..) {
            let place = match kind(&span) {
                None => 0,
                Some(Kind::One) => 1,
                Some(Kind::Many) => 2,
                Some(Kind::Elsewhere) => 3,
            };
            let Some(slot) = waiting.get_mut(place) else { continue };
            match slot.take() {
                Some(first) => kept.push(both(&first, &span)),
                None => *slot = Some(span),
            }
        }
        kept.extend(waiting.into_iter().flatten());
        *spans = kept;
    }
}

fn weighted(one: (Option<f64>, f64), other: (Option<f64>, f64)) -> Option<f64> {
    let (a, b) = (one.0?, other.0?);
    let weight = one.1 + other.1;
    Some(if weight > 0.0 { (a * one.1 + b * other.1) / weight } else { (a + b) / 2.0 })
}

fn both(a: &Span, b: &Span) -> Span {
    let by_time = |of: fn(&Span) -> Option<f64>| weighted((of(a), a.length_s), (of(b), b.length_s));
    let ran = |span: &Span| span.length_s * span.busy.unwrap_or(1.0);
    let by_running = |of: fn(&Span) -> Option<f64>| weighted((of(a), ran(a)), (of(b), ran(b)));
    Span {
        length_s: a.length_s + b.length_s,
        rest: a.rest.saturating_add(b.rest),
        one: a.one.saturating_add(b.one),
        many: a.many.saturating_add(b.many),
        elsewhere: a.elsewhere.saturating_add(b.elsewhere),
        wanting: a.wanting.saturating_add(b.wanting),
        busy: by_time(|span| span.busy),
        stalled: [
            by_time(|span| span.stalled[0]),
            by_time(|span| span.stalled[1]),
            by_time(|span| span.stalled[2]),
        ],
        disk: by_time(|span| span.disk),
        graphics: by_time(|span| span.graphics),
        clock_mhz: by_time(|span| span.clock_mhz),
        memory_bytes_s: by_time(|span| span.memory_bytes_s),
        instructions_per_cycle: by_running(|span| span.instructions_per_cycle),
        stalled_cycles: by_running(|span| span.stalled_cycles),
        memory_bound: by_running(|span| span.memory_bound),
        misses_s: by_time(|span| span.misses_s),
    }
}

#[cfg(test)]
mod tests {
    use super::compact;
    use crate::gain::observed::span::Span;
    use crate::gain::observed::tasks::observed;
    use quantity::measure::Quantity;

    fn spans(count: u32) -> Vec<Span> {
        (0..count)
            .map(|idx| {
                let (one, many, elsewhere) =
                    [(90, 5, 0), (10, 80, 5), (5, 0, 60), (1, 0, 0)][idx as usize % 4];
                Span {
                    length_s: 10.0,
                    rest: 100 - one - many - elsewhere,
                    one,
                    many,
                    elsewhere,
                    wanting: 4 * many,
                    busy: Some(f64::from(idx % 5)),
                    stalled_cycles: Some(f64::from(idx % 7) / 10.0),
                    misses_s: Some(f64::from(idx % 3) * 1e6),
                    ..Span::default()
                }
            })
            .collect()
    }

    #[test]
    fn a_month_in_little_room_says_what_all_of_it_says() {
        let all = spans(10_000);
        let mut few = all.clone();
        compact(&mut few, 500);
        assert!(few.len() <= 500 && few.len() > 100, "{}", few.len());
        let hours = Quantity::from_si(8.0 * 3600.0);
        let (whole, short) = (observed(&all, 8, hours), observed(&few, 8, hours));
        assert_eq!((whole.watched, whole.verdict), (short.watched, short.verdict));
        assert_eq!(whole.tasks.len(), short.tasks.len());
        for (a, b) in whole.tasks.iter().zip(&short.tasks) {
            assert_eq!((&a.name, a.widest), (&b.name, b.widest));
            let pairs = [(a.serial, b.serial), (a.parallel, b.parallel), (a.memory, b.memory)];
            for (a, b) in pairs.into_iter().chain([(a.elsewhere, b.elsewhere)]) {
                let (a, b) = (a.known().unwrap().middle().si(), b.known().unwrap().middle().si());
                assert!((a - b).abs() < 0.02, "{a}, {b}");
            }
        }
        assert!(
            (whole.memory.high - short.memory.high).abs() < 1e-9,
            "{:?} {:?}",
            whole.memory,
            short.memory
        );
    }

    #[test]
    fn a_few_stay_as_they_are() {
        let all = spans(8);
        let mut few = all.clone();
        compact(&mut few, 0);
        assert_eq!(all, few);
    }
}
