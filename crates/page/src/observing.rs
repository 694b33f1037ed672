//! What this computer does while it is used: watched from the page, one watch at a time.

use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use soak::watcher::{SPAN_S, Watcher};
use store::open::At;
use survey::root::Root;
use upgrade::gain::observed::compact::{MOST_SPANS, compact};
use upgrade::gain::observed::span::Span;

/// Longest watch from the page.
pub const LONGEST_S: f64 = 86_400.0;

/// What was counted so far.
#[derive(Debug, Clone, Default)]
pub struct Seen {
    /// Spans, in their order.
    pub spans: Vec<Span>,
    /// Threads of the processor.
    pub threads: u32,
    /// When it began.
    pub begun: Option<At>,
    /// How long it is to last, in seconds.
    pub length_s: f64,
    /// Whether it goes on.
    pub runs: bool,
    /// What kept a counter from counting, in words.
    pub not_counted: Vec<String>,
}

/// The watch that the page began.
#[derive(Debug, Default)]
pub struct Observing {
    seen: Arc<Mutex<Seen>>,
    stop: Arc<AtomicBool>,
}

/// Why no watch begins.
#[derive(Debug, thiserror::Error)]
pub enum NotBegun {
    /// One goes on.
    #[error("this computer is being watched already: end that first")]
    Runs,
    /// It cannot be looked into.
    #[error("this computer's counts cannot be read: {0}")]
    Unreadable(String),
}

fn locked(seen: &Mutex<Seen>) -> MutexGuard<'_, Seen> {
    seen.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Observing {
    /// What was seen so far.
    pub fn seen(&self) -> Seen {
        locked(&self.seen).clone()
    }

    /// Begins a watch of so many seconds; what was seen before is forgotten.
    ///
    /// # Errors
    /// One goes on, or there is nothing to count.
    pub fn begin(&self, length_s: f64, now: At) -> Result<(), NotBegun> {
        // Held until it has begun, so that two who press at once do not both begin.
        let mut seen = locked(&self.seen);
        if seen.runs {
            return Err(NotBegun::Runs);
        }
        let unreadable = |error: &dyn std::error::Error| NotBegun::Unreadable(error.to_string());
        let root = Root::folder(Path::new("/")).map_err(|error| unreadable(&error))?;
        let watcher = Watcher::new(&root).map_err(|error| unreadable(&error))?;
        let length_s = length_s.clamp(0.0, LONGEST_S);
        self.stop.store(false, Ordering::Relaxed);
        let (shown, stop) = (Arc::clone(&self.seen), Arc::clone(&self.stop));
        let threads = watcher.threads();
        std::thread::Builder::new()
            .name("observe".to_owned())
            .spawn(move || watch(watcher, length_s, &shown, &stop))
            .map_err(|error| unreadable(&error))?;
        *seen = Seen { threads, begun: Some(now), length_s, runs: true, ..Seen::default() };
        Ok(())
    }

    /// Takes what was counted elsewhere, in place of what was seen here.
    ///
    /// # Errors
    /// A watch goes on.
    pub fn take(&self, spans: Vec<Span>, threads: u32) -> Result<(), NotBegun> {
        let mut seen = locked(&self.seen);
        if seen.runs {
            return Err(NotBegun::Runs);
        }
        *seen = Seen { spans, threads, ..Seen::default() };
        Ok(())
    }

    /// Ends it; what was seen stays.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

fn watch(mut watcher: Watcher, length_s: f64, shown: &Mutex<Seen>, stop: &AtomicBool) {
    let begun = Instant::now();
    let asked = || stop.load(Ordering::Relaxed);
    loop {
        let left_s = length_s - begun.elapsed().as_secs_f64();
        if left_s <= 0.0 || asked() {
            break;
        }
        let span = watcher.span(begun, left_s.min(SPAN_S), &asked);
        let mut seen = locked(shown);
        seen.spans.push(span);
        compact(&mut seen.spans, MOST_SPANS);
        seen.not_counted = watcher.not_counted();
    }
    locked(shown).runs = false;
}
