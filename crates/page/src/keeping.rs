//! The log of a soak that this computer ran, kept with the job it is for.

use std::path::Path;
use std::sync::{Mutex, PoisonError};

use intake::problem::SourceFile;
use intake::{report, soak_log};
use store::open::{At, Store};
use store::soak_log::Side;
use upgrade::proof::stretch::{main_stretch, stretches};

use crate::answer::with_causes;

/// No log that is kept with a job is larger than this, in bytes: a day at two rows a second.
pub const LARGEST_LOG_BYTES: usize = 24 << 20;

/// What a soak is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForJob {
    /// The job.
    pub job: String,
    /// What it is called.
    pub title: String,
    /// Before or after the work.
    pub side: Side,
}

/// Where a soak's log went.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Kept {
    /// Nowhere yet.
    #[default]
    NotYet,
    /// To the job, under this number.
    As(i64),
    /// It was to go to the job and could not.
    Not(String),
}

/// Why a log shows no load, in a sentence.
pub const NO_LOAD: &str = "Nothing in it says when the processor worked, so it proves nothing: log \"load\", \"power W\" or \"busy %\", and let the load begin.";

/// Keeps the log in a file with a job; the file goes when the store has it.
///
/// # Errors
/// The file cannot be read, is too large or has no load, or the store cannot be written; why, in words. The file stays then.
pub fn keep(store: &Mutex<Store>, of: &ForJob, file: &Path, at: At) -> Result<i64, String> {
    let unread = |error: std::io::Error| format!("the log {} cannot be read: {error}", file.display());
    let size = std::fs::metadata(file).map_err(unread)?.len();
    if usize::try_from(size).map_or(true, |size| size > LARGEST_LOG_BYTES) {
        return Err(format!(
            "the log has {} MiB and a job keeps at most {} MiB: it stays in {}",
            size >> 20,
            LARGEST_LOG_BYTES >> 20,
            file.display()
        ));
    }
    let bytes = std::fs::read(file).map_err(unread)?;
    let name = format!("soak-{}.csv", of.side.word());
    let source = SourceFile { name: name.clone(), bytes };
    let (log, problems) = soak_log::read(&source, &[]);
    let Some(log) = log else {
        return Err(format!("the log cannot be read:\n{}", report::text(&problems, &[source])));
    };
    if main_stretch(&log, &stretches(&log)).is_none() {
        return Err(NO_LOAD.to_owned());
    }
    let text = String::from_utf8(source.bytes).map_err(|error| error.to_string())?;
    let number = store
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .add_soak_log(&of.job, of.side, (&name, &text), at)
        .map_err(|error| with_causes(&error))?;
    // The store has it; a file that cannot be removed does no harm.
    let _ = std::fs::remove_file(file);
    Ok(number)
}
