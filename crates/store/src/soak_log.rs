//! Soak logs of a job: the files as they came, only ever added.

use crate::open::{At, Store, StoreError};
use crate::value::given;

/// Which soak of a job a log is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Before the work.
    Before,
    /// After it.
    After,
}

impl Side {
    /// The word it is kept under.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::After => "after",
        }
    }

    /// The side with this word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Before, Self::After].into_iter().find(|side| side.word() == word)
    }
}

/// A kept log without its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptLog {
    /// Number in the store's order.
    pub number: i64,
    /// Which soak it is of.
    pub side: Side,
    /// Name of the file it came from.
    pub name: String,
    /// When the store took it.
    pub at: At,
}

impl Store {
    /// Keeps a log with a job; gives its number. An earlier one of the same side stays.
    ///
    /// # Errors
    /// The job is not there, or the store cannot be written.
    pub fn add_soak_log(
        &mut self,
        job: &str,
        side: Side,
        (name, text): (&str, &str),
        at: At,
    ) -> Result<i64, StoreError> {
        self.change("keep a soak log in", |tx| {
            tx.first("select 1 from job where id = ?1", given![job], |_| Ok(()))?
                .ok_or_else(|| StoreError::Missing { what: "job", id: job.to_owned() })?;
            let number = tx
                .first("select coalesce(max(number), 0) + 1 from soak_log", &[], |row| row.number(0))?
                .unwrap_or(1);
            tx.run(
                "insert into soak_log (number, job, side, name, text, at) values (?1, ?2, ?3, ?4, ?5, ?6)",
                given![number, job, side.word(), name, text, at.0],
            )?;
            Ok(number)
        })
    }

    /// Logs of a job in the order in which they came.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn soak_logs(&mut self, job: &str) -> Result<Vec<KeptLog>, StoreError> {
        self.list(
            "list the soak logs in",
            "select number, side, name, at from soak_log where job = ?1 order by number",
            given![job],
            |row| {
                Ok(KeptLog {
                    number: row.number(0)?,
                    // A side that a newer version wrote counts as the later one.
                    side: Side::from_word(&row.text(1)?).unwrap_or(Side::After),
                    name: row.text(2)?,
                    at: At(row.number(3)?),
                })
            },
        )
    }

    /// The text of a log of this job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn soak_log_text(&mut self, job: &str, number: i64) -> Result<String, StoreError> {
        self.first(
            "read a soak log from",
            "select text from soak_log where number = ?1 and job = ?2",
            given![number, job],
            |row| row.text(0),
        )?
        .ok_or_else(|| StoreError::Missing { what: "soak log", id: number.to_string() })
    }
}
