//! The soak of this computer that the page began: one at a time, what it shows, and how it is stopped.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use quantity::measure::Quantity;
use soak::guard::{Ended, Watched};
use soak::run::conductor::{Moment, Report, run};
use soak::run::csv_log::CsvLog;
use soak::run::head::headings;
use soak::run::plan::Plan;
use soak::run::words::DIPS;
use soak::sensors::sampler::Sampler;
use store::open::{At, Store};
use upgrade::proof::log::{Place, SoakLog, Track};

use crate::ask::Fields;
use crate::keeping::{ForJob, Kept, keep};
use crate::work::{Stands, Work, Works};

/// Rows that are kept for the picture; beyond that every second one is left out, again and again.
const MOST_ROWS: usize = 2000;

/// What is shown of a run.
#[derive(Debug, Default, Clone)]
pub struct Seen {
    /// Names of the sensors that are watched.
    pub names: Vec<String>,
    /// The lowest of their limits, in degrees Celsius.
    pub limit: Option<f64>,
    /// Seconds since it began, and what the sensors said.
    rows: Vec<(f64, Vec<Option<f64>>)>,
    every_s: f64,
    /// What the last row said, in words.
    pub now: String,
    /// Where the log is.
    pub log: Option<PathBuf>,
    /// The job it is for.
    pub job: Option<ForJob>,
    /// Whether the job has it.
    pub kept: Kept,
}

/// The soak that the page began.
#[derive(Debug, Default)]
pub struct Soaking {
    works: Works<Report>,
    seen: Arc<Mutex<Seen>>,
    stop: Arc<AtomicBool>,
    count: AtomicU64,
    entered: Mutex<Fields>,
}

/// What a run is made of.
#[derive(Debug)]
pub struct Ready {
    /// What it shall be.
    pub plan: Plan,
    /// Its sensors.
    pub sampler: Sampler,
    /// Those it rests on.
    pub watched: Vec<Watched>,
    /// Where its log goes.
    pub log: PathBuf,
    /// What stands above the log.
    pub about: Vec<(String, String)>,
    /// The job it is for.
    pub job: Option<ForJob>,
    /// What was entered into its form.
    pub entered: Fields,
    /// Where its log goes when it is for a job.
    pub store: Arc<Mutex<Store>>,
    /// Reads the clock.
    pub now: fn() -> At,
}

impl Seen {
    fn row(&mut self, moment: &Moment<'_>) {
        if self.rows.last().is_some_and(|(last, _)| moment.time_s - last < self.every_s) {
            return;
        }
        let values = moment.watched.iter().map(|one| moment.row.get(one.column).copied().flatten()).collect();
        self.rows.push((moment.time_s, values));
        if self.rows.len() > MOST_ROWS {
            let mut odd = false;
            self.rows.retain(|_| {
                odd = !odd;
                odd
            });
            self.every_s = 2.0 * self.every_s.max(0.1);
        }
        let load = match moment.load {
            Some(load) if moment.dips => format!("{}: {DIPS}", load.word()),
            Some(load) => format!("{} at {:.0} % of all cores", load.word(), 100.0 * moment.share),
            None => "rest".to_owned(),
        };
        self.now = format!(
            "{:.0} of {:.0} s: {load}; {} wrong results",
            moment.time_s, moment.length_s, moment.errors
        );
    }

    /// The rows as a log, for the picture.
    pub fn log(&self) -> SoakLog {
        SoakLog {
            times: self.rows.iter().map(|(time, _)| Quantity::from_si(*time)).collect(),
            temperatures: (0..self.names.len())
                .map(|place| Track {
                    what: self.names.get(place).map_or(Place::Package, |name| Place::Other(name.clone())),
                    values: self
                        .rows
                        .iter()
                        .map(|(_, row)| row.get(place).copied().flatten())
                        .map(|value| value.map(|celsius| Quantity::from_si(celsius + 273.15)))
                        .collect(),
                })
                .collect(),
            ..SoakLog::default()
        }
    }
}

impl Soaking {
    /// What is shown.
    pub fn seen(&self) -> Seen {
        self.locked().clone()
    }

    fn locked(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn key(&self) -> String {
        format!("soak {}", self.count.load(Ordering::Relaxed))
    }

    /// How the run stands; none where none was begun.
    pub fn stands(&self) -> Option<Stands<Report>> {
        if self.count.load(Ordering::Relaxed) == 0 {
            return None;
        }
        // It was begun when it was counted, so what is asked for here never runs.
        Some(self.works.look(&self.key(), |_| Err("it was ended long ago".to_owned())))
    }

    /// Begins a run; false where one is at work.
    pub fn begin(&self, ready: Ready) -> bool {
        // Held so that two who press at once do not both begin.
        let mut seen = self.locked();
        if matches!(self.stands(), Some(Stands::At(_) | Stands::Busy)) {
            return false;
        }
        self.count.fetch_add(1, Ordering::Relaxed);
        self.stop.store(false, Ordering::Relaxed);
        *seen = Seen {
            names: ready.watched.iter().map(|one| soak::run::words::named(&one.heading).to_owned()).collect(),
            limit: ready.watched.iter().map(|one| one.limit).reduce(f64::min),
            log: Some(ready.log.clone()),
            job: ready.job.clone(),
            ..Seen::default()
        };
        drop(seen);
        *self.entered.lock().unwrap_or_else(PoisonError::into_inner) = ready.entered.clone();
        let (shown, stop) = (Arc::clone(&self.seen), Arc::clone(&self.stop));
        matches!(
            self.works.look(&self.key(), move |work| soaked(ready, work, &shown, &stop)),
            Stands::At(_) | Stands::Done(_)
        )
    }

    /// What was entered for the last one.
    pub fn entered(&self) -> Fields {
        self.entered.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Keeps the log of the last one with this job.
    ///
    /// # Errors
    /// It is at work, there is none, the job has it already, or it cannot be kept; why, in words.
    pub fn keep(&self, of: ForJob, store: &Mutex<Store>, at: At) -> Result<i64, String> {
        // Held so that it is not kept twice.
        let mut seen = self.locked();
        if matches!(self.stands(), Some(Stands::At(_) | Stands::Busy)) {
            return Err("the soak is still at work".to_owned());
        }
        if matches!(seen.kept, Kept::As(_)) {
            return Err("the log of this soak is kept already".to_owned());
        }
        let file = seen.log.clone().ok_or("there is no log of a soak here")?;
        let number = keep(store, &of, &file, at)?;
        (seen.job, seen.kept) = (Some(of), Kept::As(number));
        Ok(number)
    }

    /// Stops it.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

fn soaked(ready: Ready, work: &Work, shown: &Mutex<Seen>, stop: &AtomicBool) -> Result<Report, String> {
    let Ready { plan, mut sampler, watched, log, about, job, store, now, .. } = ready;
    let file = CsvLog::begin(&log, &about, &headings(&sampler))
        .map_err(|error| format!("the log {} cannot be begun: {error}", log.display()))?;
    let asked = || stop.load(Ordering::Relaxed);
    let report = run(&plan, &mut sampler, watched, Some(file), &asked, &mut |moment| {
        if !work.go_on(moment.time_s / moment.length_s) {
            stop.store(true, Ordering::Relaxed);
        }
        shown.lock().unwrap_or_else(PoisonError::into_inner).row(moment);
    });
    // What a person broke off is kept only if the person says so; what ended by itself, at a limit too, is what happened.
    if let Some(of) = job.filter(|_| report.ended != Ended::Asked) {
        let kept = match keep(&store, &of, &log, now()) {
            Ok(number) => Kept::As(number),
            Err(why) => Kept::Not(why),
        };
        shown.lock().unwrap_or_else(PoisonError::into_inner).kept = kept;
    }
    Ok(report)
}
