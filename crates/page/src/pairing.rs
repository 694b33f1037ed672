//! Phones that may see and tick one job's sheet, for a short time.

use std::sync::{Mutex, PoisonError};

use store::open::At;

/// How long a pairing lasts.
pub const LIFE_MS: i64 = 2 * 3_600_000;

/// One pairing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairing {
    /// Secret in the phone's address.
    pub token: String,
    /// The one job it may see.
    pub job: String,
    /// When it ends.
    pub until: At,
}

/// All pairings; they end with the run.
#[derive(Debug, Default)]
pub struct Pairings(Mutex<Vec<Pairing>>);

/// Compares without telling by its time how much was right.
pub fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |unlike, (x, y)| unlike | (x ^ y)) == 0
}

impl Pairings {
    /// Pairs a phone with a job.
    pub fn pair(&self, job: &str, token: String, now: At) {
        let mut list = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        list.retain(|pairing| pairing.until > now && pairing.job != job);
        list.push(Pairing { token, job: job.to_owned(), until: At(now.0 + LIFE_MS) });
    }

    /// The pairing of a job, if there is one.
    pub fn of_job(&self, job: &str, now: At) -> Option<Pairing> {
        let list = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        list.iter().find(|pairing| pairing.job == job && pairing.until > now).cloned()
    }

    /// The job that a token may see.
    pub fn job(&self, token: &str, now: At) -> Option<String> {
        let list = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        list.iter()
            .find(|pairing| pairing.until > now && same(&pairing.token, token))
            .map(|pairing| pairing.job.clone())
    }

    /// Ends the pairing of a job.
    pub fn end(&self, job: &str) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).retain(|pairing| pairing.job != job);
    }
}
