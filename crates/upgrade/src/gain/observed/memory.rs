//! How much of the time in which cores ran they were waiting for memory, as far as counters tell.

use quantity::dimension::Ratio;
use quantity::text::significant;

use crate::gain::observed::span::Span;

/// A share with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct MemoryShare {
    /// Least share of the running time.
    pub low: f64,
    /// Largest share.
    pub high: f64,
    /// Whether counters told.
    pub basis: Basis,
}

/// What a share rests on.
#[derive(Debug, Clone, PartialEq)]
pub enum Basis {
    /// No counter told.
    RuleOfThumb,
    /// Counters did: what each of them allows, in words.
    Counted(Vec<String>),
}

/// Without a counter, up to this share of the time in which cores run they may in truth wait for memory
/// (`common practice, no source`).
const AT_MOST: f64 = 0.3;
/// Bytes that a cache fetches at once (`from memory`: every desktop processor's).
const LINE: f64 = 64.0;
/// Seconds from a cache miss to its data, where memory serves it and where a further cache may (`from memory`: desktop
/// memory 60 to 120 ns when it is not crowded, last caches from 10 ns).
const MEMORY_S: (f64, f64) = (60e-9, 120e-9);
const FURTHER_CACHE_S: f64 = 10e-9;
/// Most lines that one core has under way at once (`from memory`: the queues of desktop cores hold 10 to 48).
const UNDER_WAY: f64 = 48.0;
/// Lines fetched ahead that a count of misses may pass over, for each that it counts (`common practice, no source`).
const AHEAD: f64 = 2.0;
/// A counter tells of work if it counted in nearly all of its time.
const NEARLY_ALL: f64 = 0.9;

/// The busy time of the spans for which something is known; none unless that is nearly all of it.
fn known_busy_s(spans: &[&Span], known: impl Fn(&Span) -> bool) -> Option<f64> {
    let sum = |known: &dyn Fn(&Span) -> bool| -> f64 {
        let busy = |span: &&Span| Some(span.busy? * span.length_s);
        spans.iter().filter(|span| known(span)).filter_map(busy).sum()
    };
    let known = sum(&known);
    (known > 0.0 && known >= NEARLY_ALL * sum(&|_| true)).then_some(known)
}

/// The mean of a share over the time in which cores were busy.
fn over_busy(spans: &[&Span], of: impl Fn(&Span) -> Option<f64>) -> Option<f64> {
    let sum: f64 = spans.iter().filter_map(|span| Some(of(span)? * span.busy? * span.length_s)).sum();
    Some(sum / known_busy_s(spans, |span| of(span).is_some())?)
}

/// What is counted in a second, for each second in which a core was busy.
fn per_busy_second(spans: &[&Span], of: impl Fn(&Span) -> Option<f64>) -> Option<f64> {
    let sum: f64 = spans
        .iter()
        .filter(|span| span.busy.is_some())
        .filter_map(|span| Some(of(span)? * span.length_s))
        .sum();
    Some(sum / known_busy_s(spans, |span| of(span).is_some())?)
}

fn percent(share: f64) -> String {
    Ratio::from_si(share).rounded(2)
}

/// The share of the time in which cores ran that went into waiting for memory.
///
/// # Model
/// At most the cycles in which the back end could take no instruction, and at most the slots lost to memory, where the
/// processor counts them; at most the lines fetched times what one of them takes, as if none overlapped. At least the
/// time in which a line was under way if as many overlapped as a core can hold (J. D. C. Little's law, Operations
/// Research 9, 383-387, 1961): lines a second times what one takes, over the most under way. Of a count of misses and
/// one of bytes the smaller makes the least and the larger the most. Without any of these a rule of thumb.
pub fn memory_share(spans: &[&Span]) -> MemoryShare {
    let stalled = over_busy(spans, |span| span.stalled_cycles);
    let bound = over_busy(spans, |span| span.memory_bound);
    let misses = per_busy_second(spans, |span| span.misses_s);
    let lines = per_busy_second(spans, |span| span.memory_bytes_s).map(|bytes| bytes / LINE);
    let mut words = Vec::new();
    let mut high = 1.0_f64;
    let mut at_most = |share: f64, what: String| {
        high = high.min(share);
        words.push(what);
    };
    if let Some(stalled) = stalled {
        at_most(stalled, format!("in {} of the cycles the back end took no instruction", percent(stalled)));
    }
    if let Some(bound) = bound {
        at_most(
            bound,
            format!("{} of the slots for instructions were lost to memory and caches", percent(bound)),
        );
    }
    let most = match (misses, lines) {
        (Some(misses), Some(lines)) => Some(misses.max(lines)),
        (Some(misses), None) => Some(misses * AHEAD),
        (None, lines) => lines,
    };
    if let Some(most) = most {
        let counted = match (misses, lines) {
            (Some(misses), _) => format!("{} million cache misses", significant(misses / 1e6, 2)),
            (None, _) => format!("{} million lines to and from memory", significant(most / 1e6, 2)),
        };
        at_most(most * MEMORY_S.1, format!("{counted} a second of a busy core"));
    }
    if words.is_empty() {
        return MemoryShare { low: 0.0, high: AT_MOST, basis: Basis::RuleOfThumb };
    }
    let least = match (misses, lines) {
        (Some(misses), Some(lines)) => misses.min(lines) * MEMORY_S.0,
        (Some(misses), None) => misses * FURTHER_CACHE_S,
        // Bytes alone may be those of graphics and disks.
        (None, _) => 0.0,
    };
    MemoryShare { low: (least / UNDER_WAY).min(high), high, basis: Basis::Counted(words) }
}

impl MemoryShare {
    /// In a sentence.
    pub fn words(&self) -> String {
        let (low, high) = (percent(self.low), percent(self.high));
        match &self.basis {
            Basis::RuleOfThumb => format!(
                "Of the time in which cores ran, {low} to {high} may have gone into waiting for memory: a rule of thumb, for no counters told."
            ),
            Basis::Counted(words) => format!(
                "Of the time in which cores ran, {low} to {high} went into waiting for memory, as counters tell: {}.",
                words.join("; ")
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Basis, MemoryShare, memory_share};
    use crate::gain::observed::span::Span;

    fn share(span: Span) -> MemoryShare {
        memory_share(&[&span, &span])
    }

    fn two_cores() -> Span {
        Span { length_s: 10.0, busy: Some(2.0), ..Span::default() }
    }

    #[test]
    fn without_counters_it_is_the_rule_of_thumb() {
        let found = share(two_cores());
        assert_eq!((found.low, found.high, &found.basis), (0.0, 0.3, &Basis::RuleOfThumb));
        assert!(found.words().contains("rule of thumb"));
        // Nobody ran: nothing to share out.
        let idle = Span { busy: Some(0.0), misses_s: Some(1e6), ..two_cores() };
        assert_eq!(share(idle).basis, Basis::RuleOfThumb);
        assert_eq!(memory_share(&[]).basis, Basis::RuleOfThumb);
    }

    #[test]
    fn work_in_registers_hardly_waits_and_streams_do() {
        // By hand: 2 million misses a second on two busy cores are 1 million each; twice that for lines fetched ahead, 120 ns
        // each, is 24 % of the time at most; 10 ns each and 48 at once is 0.02 % at least.
        let calm = share(Span { misses_s: Some(2e6), ..two_cores() });
        assert!(
            (calm.high - 0.24).abs() < 1e-12 && (calm.low - 1e6 * 10e-9 / 48.0).abs() < 1e-12,
            "{calm:?}"
        );
        // The cycles tell more: 3 % of them stalled.
        let calm = share(Span { misses_s: Some(2e6), stalled_cycles: Some(0.03), ..two_cores() });
        assert!((calm.high - 0.03).abs() < 1e-12, "{calm:?}");
        // 20 GB a second by two cores: 156 million lines each, at least 60 ns, at most 48 at once: 19.5 %.
        let streams = share(Span {
            misses_s: Some(3.125e8),
            memory_bytes_s: Some(2e10),
            stalled_cycles: Some(0.9),
            ..two_cores()
        });
        assert!((streams.low - 0.1953).abs() < 1e-3 && (streams.high - 0.9).abs() < 1e-12, "{streams:?}");
        assert!(
            streams.words().contains("90 %") && streams.words().contains("160 million"),
            "{}",
            streams.words()
        );
    }

    #[test]
    fn a_counter_of_a_part_of_the_time_tells_nothing_of_the_rest() {
        let counted = Span { misses_s: Some(0.0), ..two_cores() };
        let found = memory_share(&[&counted, &two_cores()]);
        assert_eq!(found.basis, Basis::RuleOfThumb);
    }

    #[test]
    fn the_least_is_never_more_than_the_most() {
        for misses in [0.0, 1e5, 1e8, 1e10] {
            for stalled in [0.0, 0.2, 1.0] {
                let span = Span { misses_s: Some(misses), stalled_cycles: Some(stalled), ..two_cores() };
                let found = share(span);
                assert!(0.0 <= found.low && found.low <= found.high && found.high <= 1.0, "{found:?}");
            }
        }
    }
}
