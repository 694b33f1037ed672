//! A thread on one core that works as it is told, and ends by itself when nobody watches any more.

use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use crate::kernel::{Kernel, Load, Room};
use crate::processor::{pin_to, step_back, thread_time};

/// One period of work and rest, where a worker works a share of its time.
const PERIOD: Duration = Duration::from_millis(40);
/// Longest that a resting worker sleeps before it looks again.
const NAP: Duration = Duration::from_millis(10);
/// Without a sign of life of the conductor for so long, workers end: the sensors are not watched.
pub const ALONE_AFTER: Duration = Duration::from_secs(3);

/// A core that a worker runs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Core {
    /// The system's number of the thread that is used.
    pub cpu: usize,
    /// The core's number.
    pub core: usize,
}

impl core::fmt::Display for Core {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if self.cpu == self.core {
            write!(f, "core {}", self.core)
        } else {
            write!(f, "core {} (thread {})", self.core, self.cpu)
        }
    }
}

/// A wrong result and where it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// On which core.
    pub core: Core,
    /// Under which load.
    pub load: Load,
    /// What was wrong, in a sentence.
    pub what: String,
}

/// What one worker is told and tells.
#[derive(Debug)]
pub(super) struct Desk {
    pub(super) core: Core,
    /// Place in [`Load::ALL`].
    load: AtomicU32,
    per_mille: AtomicU32,
    /// A bit to flip, plus one; zero for none.
    disturb: AtomicU32,
    /// Units of work so far, as the bits of an `f64`.
    work: AtomicU64,
    /// Nanoseconds of the processor's time that they took.
    took: AtomicU64,
    pub(super) ready: AtomicBool,
}

impl Desk {
    pub(super) fn new(core: Core) -> Self {
        Self {
            core,
            load: AtomicU32::new(0),
            per_mille: AtomicU32::new(0),
            disturb: AtomicU32::new(0),
            work: AtomicU64::new(0),
            took: AtomicU64::new(0),
            ready: AtomicBool::new(false),
        }
    }

    /// Tells the worker what to do.
    pub(super) fn order(&self, load: Option<Load>, duty: f64) {
        let place = Load::ALL.iter().position(|known| Some(*known) == load);
        if let Some(place) = place {
            self.load.store(u32::try_from(place).unwrap_or(0), Ordering::Relaxed);
        }
        let duty = if place.is_some() { duty.clamp(0.0, 1.0) } else { 0.0 };
        self.per_mille.store((duty * 1000.0) as u32, Ordering::Relaxed);
    }

    /// Has the worker flip a bit in its data.
    pub(super) fn disturb(&self, bit: u32) {
        self.disturb.store(bit + 1, Ordering::Relaxed);
    }

    /// Units of work so far.
    pub(super) fn work(&self) -> f64 {
        f64::from_bits(self.work.load(Ordering::Relaxed))
    }

    /// Seconds of the processor's time that they took.
    pub(super) fn took_s(&self) -> f64 {
        self.took.load(Ordering::Relaxed) as f64 * 1e-9
    }

    fn add_time(&self, time: Duration) {
        self.took.fetch_add(u64::try_from(time.as_nanos()).unwrap_or(0), Ordering::Relaxed);
    }

    fn add(&self, work: f64) {
        // Only the worker itself writes.
        self.work.store((self.work() + work).to_bits(), Ordering::Relaxed);
    }
}

/// What all workers and the conductor share.
#[derive(Debug)]
pub(super) struct Shared {
    pub(super) desks: Vec<Desk>,
    pub(super) stop: AtomicBool,
    pub(super) stuck: AtomicBool,
    /// Milliseconds from the beginning to the conductor's last sign of life.
    beat: AtomicU64,
    begun: Instant,
    failures: Mutex<Vec<Failure>>,
    /// Cores whose worker could not be put there.
    astray: Mutex<Vec<(Core, String)>>,
}

impl Shared {
    pub(super) fn new(cores: &[Core]) -> Self {
        Self {
            desks: cores.iter().copied().map(Desk::new).collect(),
            stop: AtomicBool::new(false),
            stuck: AtomicBool::new(false),
            beat: AtomicU64::new(0),
            begun: Instant::now(),
            failures: Mutex::default(),
            astray: Mutex::default(),
        }
    }

    fn since(&self) -> u64 {
        u64::try_from(self.begun.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    /// The conductor's sign of life.
    pub(super) fn beat(&self) {
        self.beat.store(self.since(), Ordering::Relaxed);
    }

    pub(super) fn failures(&self) -> Vec<Failure> {
        self.failures.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn astray(&self) -> Vec<(Core, String)> {
        self.astray.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn goes_on(&self, asked: &(dyn Fn() -> bool + Sync)) -> bool {
        if self.stop.load(Ordering::Relaxed) || asked() {
            return false;
        }
        let silent = self.since().saturating_sub(self.beat.load(Ordering::Relaxed));
        if u128::from(silent) > ALONE_AFTER.as_millis() {
            self.stuck.store(true, Ordering::Relaxed);
            return false;
        }
        true
    }
}

/// Works until told to stop.
pub(super) fn work(
    shared: &Shared,
    place: usize,
    loads: &[Load],
    room: Room,
    asked: &(dyn Fn() -> bool + Sync),
) {
    let Some(desk) = shared.desks.get(place) else { return };
    if let Err(error) = pin_to(desk.core.cpu) {
        shared.astray.lock().unwrap_or_else(PoisonError::into_inner).push((desk.core, error.to_string()));
    }
    step_back();
    let mut kernels: Vec<(Load, Box<dyn Kernel>)> =
        loads.iter().map(|load| (*load, load.kernel(room, place as u64 + 1))).collect();
    desk.ready.store(true, Ordering::Relaxed);
    while shared.goes_on(asked) {
        let share = desk.per_mille.load(Ordering::Relaxed);
        let load = Load::ALL.get(desk.load.load(Ordering::Relaxed) as usize);
        let kernel = kernels.iter_mut().find(|(known, _)| Some(known) == load);
        let (Some((load, kernel)), true) = (kernel, share > 0) else {
            std::thread::sleep(NAP);
            continue;
        };
        let (begun, time_then) = (Instant::now(), thread_time());
        let busy = PERIOD * share / 1000;
        while shared.goes_on(asked) {
            match desk.disturb.swap(0, Ordering::Relaxed) {
                0 => {}
                bit => kernel.disturb(bit - 1),
            }
            let done = kernel.block();
            desk.add(done.work);
            if let Some(wrong) = done.wrong {
                let failure = Failure { core: desk.core, load: *load, what: wrong.what };
                shared.failures.lock().unwrap_or_else(PoisonError::into_inner).push(failure);
                // Nothing that this machine computes from here on can be relied on.
                shared.stop.store(true, Ordering::Relaxed);
            }
            if begun.elapsed() >= busy {
                break;
            }
        }
        desk.add_time(thread_time().saturating_sub(time_then));
        if share < 1000 && shared.goes_on(asked) {
            std::thread::sleep(PERIOD.saturating_sub(begun.elapsed()));
        }
    }
}
