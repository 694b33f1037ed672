//! Leads a run: tells the workers what to do, reads the sensors, asks the guard, writes the log.

use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use crate::dip::{Dip, Dips, WORD};
use crate::guard::{Ended, Guard, Watched};
use crate::kernel::{Load, Room};
use crate::processor::thread_time;
use crate::run::csv_log::CsvLog;
use crate::run::plan::Plan;
use crate::run::worker::{Core, Failure, Shared, work};
use crate::sensors::sampler::Sampler;

/// Longest nap of the conductor: a wish to end is seen within it.
const NAP: Duration = Duration::from_millis(5);
/// Building the loads' data takes no longer than this on any desktop computer.
const READY_WITHIN: Duration = Duration::from_secs(60);
/// Seconds of load before a trial's bit is flipped.
const TRIAL_AFTER_S: f64 = 0.5;

/// A moment of a run.
#[derive(Debug)]
pub struct Moment<'r> {
    /// Seconds since it began.
    pub time_s: f64,
    /// Seconds that it takes in all.
    pub length_s: f64,
    /// The load that runs; none at rest.
    pub load: Option<Load>,
    /// Place of the step.
    pub step: usize,
    /// Share of all cores' time that is worked.
    pub share: f64,
    /// Whether the load dips to ask a sensor that stands still whether it lives.
    pub dips: bool,
    /// Units of work in a second since the row before.
    pub work_per_s: f64,
    /// Wrong results so far.
    pub errors: usize,
    /// Headings of the sensors' columns.
    pub headings: &'r [String],
    /// What they say.
    pub row: &'r [Option<f64>],
    /// The sensors that the run rests on.
    pub watched: &'r [Watched],
}

/// What a run was.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Why it ended.
    pub ended: Ended,
    /// How long it was, in seconds.
    pub length_s: f64,
    /// Rows that were read.
    pub rows: u64,
    /// How often the load dipped because every sensor stood still.
    pub dips: usize,
    /// Highest value of each watched sensor, by its heading.
    pub highest: Vec<(String, f64)>,
    /// Units of work of each load, and the seconds of processors' time, all cores together, that they took.
    pub work: Vec<(Load, f64, f64)>,
    /// Wrong results.
    pub failures: Vec<Failure>,
    /// Cores whose worker could not be put there, with what the system said.
    pub astray: Vec<(Core, String)>,
    /// Share of one core that watching and logging took.
    pub watching: f64,
    /// Seconds from the decision to stop until every worker had stopped.
    pub stopped_in_s: f64,
}

/// Headings that a run adds to the sensors': after the time and before the load.
pub const ADDED: [&str; 2] = ["work 1/s", "errors"];

/// Runs a plan. `asked` says whether somebody wishes the end, and is asked by every worker after every block;
/// `told` sees every row.
pub fn run(
    plan: &Plan,
    sampler: &mut Sampler,
    watched: Vec<Watched>,
    mut log: Option<CsvLog>,
    asked: &(dyn Fn() -> bool + Sync),
    told: &mut dyn FnMut(&Moment<'_>),
) -> Report {
    let shared = Shared::new(&plan.cores);
    let loads = plan.schedule.loads();
    let room = Room { memory: plan.memory, cache: plan.cache, width: plan.width };
    let mut decided = Instant::now();
    let mut report = std::thread::scope(|scope| {
        for place in 0..plan.cores.len() {
            let (shared, loads) = (&shared, &loads);
            scope.spawn(move || work(shared, place, loads, room, asked));
        }
        let report = lead(plan, sampler, watched, log.as_mut(), &shared, asked, told);
        shared.stop.store(true, Ordering::Relaxed);
        decided = Instant::now();
        report
    });
    // The scope has waited for every worker.
    report.stopped_in_s = decided.elapsed().as_secs_f64();
    report.failures = shared.failures();
    report.astray = shared.astray();
    if !report.failures.is_empty() {
        report.ended = Ended::Wrong;
    } else if shared.stuck.load(Ordering::Relaxed) {
        report.ended = Ended::Stuck;
    }
    if let Some(Err(error)) = log.map(CsvLog::end) {
        report.ended = Ended::NoLog { why: error.to_string() };
    }
    report
}

/// Counts work and time since the last row to the load that ran; a row of rest after it still ends a block.
fn count(
    report: &mut Report,
    counted: &mut (f64, f64, Option<Load>),
    work: f64,
    took_s: f64,
    load: Option<Load>,
) {
    let (work_then, took_then, load_then) = *counted;
    if let Some((_, units, seconds)) = report.work.iter_mut().find(|(known, ..)| Some(*known) == load_then) {
        *units += work - work_then;
        *seconds += took_s - took_then;
    }
    *counted = (work, took_s, load.or(load_then));
}

fn lead(
    plan: &Plan,
    sampler: &mut Sampler,
    watched: Vec<Watched>,
    mut log: Option<&mut CsvLog>,
    shared: &Shared,
    asked: &(dyn Fn() -> bool + Sync),
    told: &mut dyn FnMut(&Moment<'_>),
) -> Report {
    let mut report = Report {
        ended: Ended::Done,
        length_s: 0.0,
        rows: 0,
        dips: 0,
        highest: watched.iter().map(|one| (one.heading.clone(), f64::NEG_INFINITY)).collect(),
        work: plan.schedule.loads().into_iter().map(|load| (load, 0.0, 0.0)).collect(),
        failures: Vec::new(),
        astray: Vec::new(),
        watching: 0.0,
        stopped_in_s: 0.0,
    };
    let columns: Vec<usize> = watched.iter().map(|one| one.column).collect();
    let (mut guard, mut dips) = (Guard::new(watched), Dips::after(plan.still_s));
    let wished = |report: &mut Report| {
        if asked() {
            report.ended = Ended::Asked;
            return true;
        }
        shared.stop.load(Ordering::Relaxed)
    };
    let asked_for = Instant::now();
    while !shared.desks.iter().all(|desk| desk.ready.load(Ordering::Relaxed)) {
        shared.beat();
        if asked_for.elapsed() > READY_WITHIN {
            report.ended = Ended::Stuck;
            return report;
        }
        if wished(&mut report) {
            return report;
        }
        std::thread::sleep(NAP);
    }
    let workers = plan.cores.len();
    let step = Duration::from_secs_f64(1.0 / plan.rows_hz);
    let (begun, cpu_begun) = (Instant::now(), thread_time());
    let mut row = Vec::with_capacity(sampler.headings().len());
    let mut cells: Vec<Option<f64>> = Vec::with_capacity(row.capacity() + ADDED.len());
    let mut before = (0.0, 0.0, 0.0);
    let mut counted = (0.0, 0.0, None);
    let mut worked_s = 0.0;
    let mut trial = plan.trial;
    let mut next = begun;
    loop {
        let time_s = begun.elapsed().as_secs_f64();
        report.length_s = time_s;
        let Some(now) = plan.schedule.at(time_s) else { break };
        shared.beat();
        let hardest = (0..workers).map(|place| now.duty_of(place)).fold(0.0, f64::max);
        let dip = dips.dips(time_s, hardest, guard.changed_s());
        report.dips = dips.count();
        if dip == Dip::Begins {
            guard.asked(time_s);
        }
        let of_load = if dip == Dip::None { 1.0 } else { 0.0 };
        for (place, desk) in shared.desks.iter().enumerate() {
            desk.order(now.step.load, of_load * now.duty_of(place));
        }
        sampler.sample(time_s, &mut row);
        let work: f64 = shared.desks.iter().map(super::worker::Desk::work).sum();
        let share = of_load * now.load_share(workers);
        let (before_s, before_work, before_share) = before;
        let passed_s = time_s - before_s;
        let work_per_s = if passed_s > 0.0 { (work - before_work) / passed_s } else { 0.0 };
        let took_s: f64 = shared.desks.iter().map(super::worker::Desk::took_s).sum();
        count(&mut report, &mut counted, work, took_s, now.step.load);
        before = (time_s, work, share);
        worked_s += passed_s * before_share;
        if worked_s > TRIAL_AFTER_S
            && let Some(desk) = trial.and_then(|trial| shared.desks.get(trial.worker))
        {
            desk.disturb(trial.take().map_or(0, |trial| trial.bit));
        }
        let errors = shared.failures().len();
        report.rows += 1;
        for ((_, highest), column) in report.highest.iter_mut().zip(&columns) {
            *highest = row.get(*column).copied().flatten().map_or(*highest, |value| value.max(*highest));
        }
        if let Some(log) = log.as_deref_mut() {
            cells.clear();
            cells.extend_from_slice(&row);
            cells.extend([Some(work_per_s), Some(errors as f64)]);
            let word = if dip != Dip::None { WORD } else { now.step.load.map_or("rest", Load::word) };
            if let Err(error) = log.row(time_s, &cells, word) {
                report.ended = Ended::NoLog { why: error.to_string() };
                break;
            }
        }
        let verdict = guard.look(time_s, &row, hardest);
        told(&Moment {
            time_s,
            length_s: plan.schedule.length_s(),
            load: now.step.load,
            step: now.place,
            share,
            dips: dip != Dip::None,
            work_per_s,
            errors,
            headings: sampler.headings(),
            row: &row,
            watched: guard.watched(),
        });
        if let Some(ended) = verdict {
            report.ended = ended;
            break;
        }
        next = (next + step).max(Instant::now());
        let mut is_over = wished(&mut report);
        while !is_over {
            let left = next.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            std::thread::sleep(left.min(NAP));
            is_over = wished(&mut report);
        }
        if is_over {
            break;
        }
    }
    report.length_s = begun.elapsed().as_secs_f64();
    let took_s: f64 = shared.desks.iter().map(super::worker::Desk::took_s).sum();
    let work: f64 = shared.desks.iter().map(super::worker::Desk::work).sum();
    count(&mut report, &mut counted, work, took_s, None);
    let took = (thread_time() - cpu_begun).as_secs_f64();
    report.watching = if report.length_s > 0.0 { took / report.length_s } else { 0.0 };
    report
}
