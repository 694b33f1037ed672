//! Long computations: begun by a page, looked at by the same page, stopped when nobody wants them.

use std::collections::VecDeque;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// How far a computation is, and whether it shall go on.
#[derive(Debug, Default)]
pub struct Work {
    per_mille: AtomicU32,
    stop: AtomicBool,
}

/// One computation.
#[derive(Debug)]
struct Begun<T> {
    work: Work,
    done: OnceLock<Result<Arc<T>, String>>,
}

/// How a computation stands.
#[derive(Debug)]
pub enum Stands<T> {
    /// At work: hundredths done.
    At(u32),
    /// Done: what came out.
    Done(Arc<T>),
    /// It cannot be done, or was stopped.
    Not(String),
    /// As many are at work already as this computer carries.
    Busy,
}

impl Work {
    /// Tells how much is done, 0 to 1; says whether to go on.
    pub fn go_on(&self, done: f64) -> bool {
        // Between 0 and 1 times a thousand: it fits.
        self.per_mille.store((done.clamp(0.0, 1.0) * 1000.0) as u32, Ordering::Relaxed);
        !self.stop.load(Ordering::Relaxed)
    }
}

impl<T> Begun<T> {
    fn stands(&self) -> Stands<T> {
        match self.done.get() {
            Some(Ok(result)) => Stands::Done(Arc::clone(result)),
            Some(Err(text)) => Stands::Not(text.clone()),
            None => Stands::At(self.work.per_mille.load(Ordering::Relaxed) / 10),
        }
    }
}

/// Computations of one kind, by what they are about; the oldest finished ones are forgotten.
#[derive(Debug)]
pub struct Works<T>(Mutex<VecDeque<(String, Arc<Begun<T>>)>>);

impl<T> Default for Works<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

/// How many are at work at once.
const AT_ONCE: usize = 2;
/// How many are remembered.
const REMEMBERED: usize = 8;

impl<T: Send + Sync + 'static> Works<T> {
    /// How the computation about this stands; begun if nobody did yet.
    pub fn look(
        &self,
        about: &str,
        compute: impl FnOnce(&Work) -> Result<T, String> + Send + 'static,
    ) -> Stands<T> {
        let mut works = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, work)) = works.iter().find(|(known, _)| known == about) {
            let stands = work.stands();
            if matches!(stands, Stands::Not(_)) {
                // Told once; asked again it is tried again.
                works.retain(|(known, _)| known != about);
            }
            return stands;
        }
        if works.iter().filter(|(_, work)| work.done.get().is_none()).count() >= AT_ONCE {
            return Stands::Busy;
        }
        while works.len() >= REMEMBERED {
            let Some(oldest) = works.iter().position(|(_, work)| work.done.get().is_some()) else { break };
            works.remove(oldest);
        }
        let work = Arc::new(Begun { work: Work::default(), done: OnceLock::new() });
        works.push_back((about.to_owned(), Arc::clone(&work)));
        drop(works);
        let begun = Arc::clone(&work);
        std::thread::spawn(move || {
            // A computation that panics must not seem to go on for ever.
            let result = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| compute(&begun.work)))
                .unwrap_or_else(|_| Err("the computation failed; please report it".to_owned()));
            // Set only here, once.
            let _ = begun.done.set(result.map(Arc::new));
        });
        work.stands()
    }

    /// Whether a computation about this was begun and is not forgotten.
    pub fn knows(&self, about: &str) -> bool {
        let works = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        works.iter().any(|(known, _)| known == about)
    }

    /// What came out of the computation about this, if it is done.
    pub fn done(&self, about: &str) -> Option<Arc<T>> {
        let works = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (_, work) = works.iter().find(|(known, _)| known == about)?;
        work.done.get()?.as_ref().ok().map(Arc::clone)
    }

    /// Stops the computation about this.
    pub fn stop(&self, about: &str) {
        let works = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, work)) = works.iter().find(|(known, _)| known == about) {
            work.work.stop.store(true, Ordering::Relaxed);
        }
    }
}
