//! Soak logs of a job: the files as they came, only ever added.

use rusqlite::{OptionalExtension as _, TransactionBehavior, params};

use crate::open::{At, Store, StoreError, access};

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
        let failed = access("keep a soak log in");
        let tx =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(&failed)?;
        tx.query_row("select 1 from job where id = ?1", [job], |_| Ok(()))
            .optional()
            .map_err(&failed)?
            .ok_or_else(|| StoreError::Missing { what: "job", id: job.to_owned() })?;
        let number = tx
            .query_row(
                "insert into soak_log (job, side, name, text, at) values (?1, ?2, ?3, ?4, ?5) returning number",
                params![job, side.word(), name, text, at.0],
                |row| row.get(0),
            )
            .map_err(&failed)?;
        tx.commit().map_err(&failed)?;
        Ok(number)
    }

    /// Logs of a job in the order in which they came.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn soak_logs(&self, job: &str) -> Result<Vec<KeptLog>, StoreError> {
        self.list(
            "list the soak logs in",
            "select number, side, name, at from soak_log where job = ?1 order by number",
            [job],
            |row| {
                let side: String = row.get(1)?;
                Ok(KeptLog {
                    number: row.get(0)?,
                    // A side that a newer version wrote counts as the later one.
                    side: Side::from_word(&side).unwrap_or(Side::After),
                    name: row.get(2)?,
                    at: At(row.get(3)?),
                })
            },
        )
    }

    /// The text of a log of this job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn soak_log_text(&self, job: &str, number: i64) -> Result<String, StoreError> {
        self.connection
            .query_row(
                "select text from soak_log where number = ?1 and job = ?2",
                params![number, job],
                |row| row.get(0),
            )
            .optional()
            .map_err(access("read a soak log from"))?
            .ok_or_else(|| StoreError::Missing { what: "soak log", id: number.to_string() })
    }
}
