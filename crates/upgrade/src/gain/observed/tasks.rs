//! From spans to tasks, and whether the processor is what the machine waits for.

use quantity::dimension::{Duration, DurationDim, Ratio, RatioDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};
use quantity::text::significant;

use crate::gain::observed::memory::{Basis, MemoryShare, memory_share};
use crate::gain::observed::share::share;
use crate::gain::observed::span::Span;
use crate::machine::workload::{Attended, Task};

/// What was derived.
#[derive(Debug, Clone, PartialEq)]
pub struct Observed {
    /// How long it was watched, in all.
    pub watched: Duration,
    /// Share of that time in which something was wanted.
    pub active: Figure<RatioDim>,
    /// Tasks; empty where nothing was wanted, or it was not watched for long enough.
    pub tasks: Vec<Task>,
    /// How much of the running time went into waiting for memory.
    pub memory: MemoryShare,
    /// What the machine waits for.
    pub verdict: Verdict,
    /// What that rests on, in sentences.
    pub evidence: Vec<String>,
}

/// What the machine waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The processor, most of its active time.
    Processor,
    /// Something else, most of its active time: a faster processor shortens little.
    NotTheProcessor,
    /// Neither for most of the time, as far as was seen.
    Both,
    /// It hardly worked while it was watched.
    Rests,
    /// Not watched for long enough.
    TooShort,
}

/// Shortest time that says something.
const LEAST_S: f64 = 30.0;
/// Below this share of looks the machine rests.
const RESTS: f64 = 0.02;
/// Spans with less than this share of active looks belong to no task: housekeeping.
const HOUSEKEEPING: f64 = 0.05;
/// A machine waits for something if it does so in more than this share of its active time.
const MOST: f64 = 0.6;

/// Kinds of span, by what most of their active looks found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// One task wanted a processor.
    One,
    /// Several did.
    Many,
    /// None did, while something else was waited for.
    Elsewhere,
}

/// The kind of a span; none for one that hardly anything was wanted in.
pub fn kind(span: &Span) -> Option<Kind> {
    if span.active() < HOUSEKEEPING * span.looks() || span.active() == 0.0 {
        return None;
    }
    let (one, many, elsewhere) = (span.one, span.many, span.elsewhere);
    Some(if elsewhere > one.saturating_add(many) {
        Kind::Elsewhere
    } else if many > one {
        Kind::Many
    } else {
        Kind::One
    })
}

fn figure<D>(low: f64, high: f64, origin: Origin) -> Figure<D> {
    Reading::from_option(Interval::new(Quantity::from_si(low), Quantity::from_si(high)), origin)
}

fn counted<D>((low, high): (f64, f64)) -> Figure<D> {
    figure(low, high, Origin::Measured)
}

/// Reads spans of a machine with so many threads that works `hours` a day as it did while it was watched.
///
/// # Model
/// Each span of some seconds is of the kind that most of its active looks are of; spans of a kind make a task. A
/// look finds one task wanting a processor: serial; several: parallel; none while a disk is waited for, or
/// graphics at their limit: elsewhere. What in this is waiting for memory no look can tell apart: it is an interval from
/// the counters of that task's own spans, or a rule of thumb.
pub fn observed(spans: &[Span], threads: u32, hours: Duration) -> Observed {
    let watched_s: f64 = spans.iter().map(|span| span.length_s).sum();
    let groups = |hits: fn(&Span) -> f64, of: fn(&Span) -> f64, wanted: &dyn Fn(&Span) -> bool| {
        let chosen = spans.iter().filter(|span| wanted(span));
        share(&chosen.map(|span| (hits(span), of(span))).collect::<Vec<_>>())
    };
    let active = groups(Span::active, Span::looks, &|_| true);
    let mut tasks = Vec::new();
    let elsewhere = if sees_graphics(spans) { "waiting for disk or graphics" } else { "waiting for a disk" };
    for (wanted, name) in
        [(Kind::One, "work on one core"), (Kind::Many, "work on many cores"), (Kind::Elsewhere, elsewhere)]
    {
        let is = |span: &Span| kind(span) == Some(wanted);
        let time: Vec<(f64, f64)> =
            spans.iter().map(|span| (if is(span) { span.active() } else { 0.0 }, span.looks())).collect();
        let (Some(time), true) = (share(&time), watched_s >= LEAST_S && spans.iter().any(is)) else {
            continue;
        };
        let one = groups(|span| f64::from(span.one), Span::active, &is);
        let many = groups(|span| f64::from(span.many), Span::active, &is);
        let elsewhere = groups(|span| f64::from(span.elsewhere), Span::active, &is);
        let (Some(one), Some(many), Some(elsewhere)) = (one, many, elsewhere) else { continue };
        let memory = memory_share(&spans.iter().filter(|span| is(span)).collect::<Vec<_>>());
        // The parts of the running time that went into work and not into waiting for memory.
        let (least, most) = (1.0 - memory.high, 1.0 - memory.low);
        let of_work = |of: (f64, f64)| figure(of.0 * least, of.1 * most, Origin::Estimated);
        let running = (one.0 + many.0, (one.1 + many.1).min(1.0));
        tasks.push(Task {
            name: name.to_owned(),
            time_a_day: counted::<DurationDim>((time.0 * hours.si(), time.1 * hours.si())),
            serial: of_work(one),
            parallel: of_work(many),
            memory: figure(memory.low * running.0, memory.high * running.1, Origin::Estimated),
            elsewhere: counted(elsewhere),
            attended: Attended::Waited,
            widest: widest(spans, &is, threads),
        });
    }
    let of_active = groups(|span| f64::from(span.elsewhere), Span::active, &|_| true);
    let memory = memory_share(&spans.iter().collect::<Vec<_>>());
    // Waiting for memory is waiting too, as far as it was counted; a rule of thumb decides nothing.
    let waits = of_active.map(|(low, high)| match memory.basis {
        Basis::RuleOfThumb => (low, high),
        Basis::Counted(_) => (low + (1.0 - low) * memory.low, high + (1.0 - high) * memory.high),
    });
    let verdict = match (active, waits) {
        _ if watched_s < LEAST_S => Verdict::TooShort,
        (Some((_, high)), _) if high < RESTS => Verdict::Rests,
        (Some(_), Some((low, _))) if low > MOST => Verdict::NotTheProcessor,
        (Some(_), Some((_, high))) if high < 1.0 - MOST => Verdict::Processor,
        (Some(_), Some(_)) => Verdict::Both,
        _ => Verdict::Rests,
    };
    Observed {
        watched: Quantity::from_si(watched_s),
        active: active.map_or(Reading::Unknown, counted),
        tasks,
        verdict,
        evidence: evidence(spans, of_active, &memory),
        memory,
    }
}

/// Whether the machine tells how busy its graphics are.
fn sees_graphics(spans: &[Span]) -> bool {
    spans.iter().any(|span| span.graphics.is_some())
}

/// The most cores that a kind of work used, where that is less than there are.
fn widest(spans: &[Span], is: &dyn Fn(&Span) -> bool, threads: u32) -> Option<u32> {
    let chosen = || spans.iter().filter(|span| is(span) && span.many > 0);
    let looks: f64 = chosen().map(|span| f64::from(span.many)).sum();
    let wanting: f64 = chosen().map(|span| f64::from(span.wanting)).sum();
    // Wide work is cut off by nothing; narrow work shows its own width on average.
    let mean = (wanting / looks.max(1.0)).ceil();
    (looks > 0.0 && mean < f64::from(threads)).then_some(mean.max(2.0) as u32)
}

fn mean(spans: &[Span], of: impl Fn(&Span) -> Option<f64>) -> Option<f64> {
    let known = spans.iter().filter_map(|span| Some((of(span)?, span.length_s)));
    let (sum, time) =
        known.fold((0.0, 0.0), |(sum, time), (value, length)| (sum + value * length, time + length));
    (time > 0.0).then(|| sum / time)
}

fn percent(share: f64) -> String {
    Ratio::from_si(share).rounded(2)
}

fn evidence(spans: &[Span], elsewhere: Option<(f64, f64)>, memory: &MemoryShare) -> Vec<String> {
    let mut out = Vec::new();
    let active: f64 = spans.iter().map(Span::active).sum();
    let looks: f64 = spans.iter().map(Span::looks).sum();
    if let Some((low, high)) = elsewhere {
        out.push(format!(
            "Of {active:.0} looks at which something was wanted ({looks:.0} looks in all), {} to {} found {}.",
            percent(low),
            percent(high),
            if sees_graphics(spans) {
                "nothing wanting the processor while a disk was waited for, or graphics at their limit"
            } else {
                "nothing wanting the processor while a disk was waited for; how busy graphics are is not told here"
            }
        ));
    }
    if let Some(busy) = mean(spans, |span| span.busy) {
        out.push(format!("On average {} threads of the processor were busy.", significant(busy, 2)));
    }
    for (place, what) in [(0, "a processor"), (1, "memory to be freed"), (2, "a disk")] {
        if let Some(stalled) = mean(spans, |span| span.stalled.get(place).copied().flatten()) {
            out.push(format!("Something waited for {what} in {} of the time.", percent(stalled)));
        }
    }
    if let Some(disk) = mean(spans, |span| span.disk) {
        out.push(format!("The busiest disk worked in {} of the time.", percent(disk)));
    }
    if let Some(graphics) = mean(spans, |span| span.graphics) {
        out.push(format!("Graphics worked in {} of the time.", percent(graphics)));
    }
    if active > 0.0 {
        out.push(memory.words());
    }
    let cycles =
        |span: &Span| span.instructions_per_cycle.filter(|_| span.busy.is_some_and(|busy| busy > 0.0));
    if let Some(done) = mean(spans, cycles) {
        out.push(format!("A running core did {} instructions in a clock cycle.", significant(done, 2)));
    }
    if let Some(bytes) = mean(spans, |span| span.memory_bytes_s) {
        out.push(format!("{} GB a second went between processor and memory.", significant(bytes / 1e9, 2)));
    }
    if let Some(clock) = mean(spans, |span| span.clock_mhz) {
        out.push(format!("The mean clock was {} MHz.", significant(clock, 3)));
    }
    out
}

impl Verdict {
    /// In a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Processor => "The processor is what this machine waits for.",
            Self::NotTheProcessor => {
                "The processor is not what this machine waits for: a faster one would shorten little."
            }
            Self::Both => {
                "This machine waits for its processor and for other things, each a part of the time."
            }
            Self::Rests => "This machine hardly worked while it was watched: watch it while it is used.",
            Self::TooShort => "It was not watched for long enough to say anything.",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Observed, Verdict, observed};
    use crate::gain::observed::span::{Span, state};
    use quantity::measure::Quantity;

    /// A machine that is a known mixture: shares of rest, one, many and elsewhere in phases of some spans.
    struct Truth {
        shares: [f64; 4],
        graphics: Option<f64>,
    }

    /// Numbers from 0 to 1 that follow a seed.
    fn random(seed: &mut u64) -> f64 {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Spans of a hundred looks; within a span looks come in runs, as work does.
    fn trace(truth: &Truth, spans: usize, mut seed: u64) -> Vec<Span> {
        let mut current = 0;
        (0..spans)
            .map(|_| {
                let mut span = Span { length_s: 10.0, graphics: truth.graphics, ..Span::default() };
                for _ in 0..100 {
                    if random(&mut seed) < 0.1 {
                        let mut point = random(&mut seed);
                        current = truth
                            .shares
                            .iter()
                            .position(|share| {
                                point -= share;
                                point < 0.0
                            })
                            .unwrap_or(3);
                    }
                    let (runs, stuck) = [(0, 0), (1, 0), (6, 0), (0, 1)][current];
                    span.count(state(runs, stuck, truth.graphics), runs);
                }
                span
            })
            .collect()
    }

    fn seen(spans: &[Span]) -> Observed {
        observed(spans, 8, Quantity::from_si(8.0 * 3600.0))
    }

    #[test]
    fn shares_of_known_work_lie_in_their_intervals() {
        // Shares of all time: rest, one, many, elsewhere; most active looks are of several, so all spans are of one task.
        let truth = Truth { shares: [0.3, 0.1, 0.5, 0.1], graphics: None };
        let (mut inside, mut widest) = (0, 0.0_f64);
        for seed in 0..200 {
            let found = seen(&trace(&truth, 360, seed));
            let time: f64 = found.tasks.iter().map(|task| task.time_a_day.known().unwrap().high().si()).sum();
            assert!(time / (8.0 * 3600.0) > 0.6, "{found:#?}");
            let active = found.active.known().unwrap();
            inside += u32::from(active.contains(Quantity::from_si(0.7)));
            widest = widest.max(active.high().si() - active.low().si());
        }
        assert!(inside >= 185, "95 of 100 intervals should hold the truth: {inside} of 200");
        assert!(widest < 0.08, "an hour says more than that: {widest}");
    }

    #[test]
    fn kinds_of_work_become_tasks_and_their_shares_make_a_whole() {
        let mut spans = trace(&Truth { shares: [0.0, 0.95, 0.05, 0.0], graphics: None }, 200, 1);
        spans.extend(trace(&Truth { shares: [0.0, 0.05, 0.95, 0.0], graphics: None }, 100, 2));
        spans.extend(trace(&Truth { shares: [1.0, 0.0, 0.0, 0.0], graphics: None }, 100, 3));
        let found = seen(&spans);
        let names: Vec<&str> = found.tasks.iter().map(|task| task.name.as_str()).collect();
        assert_eq!(names, ["work on one core", "work on many cores"]);
        let hours: Vec<f64> =
            found.tasks.iter().map(|task| task.time_a_day.known().unwrap().middle().si() / 3600.0).collect();
        // Half and a quarter of eight hours.
        assert!((hours[0] - 4.0).abs() < 0.4 && (hours[1] - 2.0).abs() < 0.4, "{hours:?}");
        for task in &found.tasks {
            let shares = [task.serial, task.parallel, task.memory, task.elsewhere]
                .map(|share| *share.known().unwrap());
            assert!(shares.iter().map(|share| share.low().si()).sum::<f64>() <= 1.0);
            assert!(shares.iter().map(|share| share.high().si()).sum::<f64>() >= 1.0);
            assert_eq!(task.widest, Some(6));
        }
        assert!(found.tasks[0].serial.known().unwrap().contains(Quantity::from_si(0.95)));
        assert_eq!(found.verdict, Verdict::Processor);
    }

    #[test]
    fn it_says_when_the_processor_is_not_what_is_waited_for() {
        let disk = seen(&trace(&Truth { shares: [0.2, 0.1, 0.0, 0.7], graphics: None }, 200, 4));
        assert_eq!(disk.verdict, Verdict::NotTheProcessor);
        assert!(disk.evidence[0].contains("looks"));
        let graphics = seen(&trace(&Truth { shares: [0.0, 0.9, 0.1, 0.0], graphics: Some(0.97) }, 200, 5));
        assert_eq!(graphics.verdict, Verdict::NotTheProcessor);
        let rests = seen(&trace(&Truth { shares: [1.0, 0.0, 0.0, 0.0], graphics: None }, 200, 6));
        assert_eq!((rests.verdict, rests.tasks.len()), (Verdict::Rests, 0));
        let mixed = seen(&trace(&Truth { shares: [0.0, 0.5, 0.0, 0.5], graphics: None }, 200, 7));
        assert_eq!(mixed.verdict, Verdict::Both);
        assert_eq!(
            seen(&trace(&Truth { shares: [0.0, 1.0, 0.0, 0.0], graphics: None }, 2, 8)).verdict,
            Verdict::TooShort
        );
        assert_eq!(seen(&[]).verdict, Verdict::TooShort);
    }
}
