//! What happened on a job: ticks and notes, only ever added.
//!
//! Every device chooses a key for each entry it makes, so that sending one again, after a lost answer
//! say, adds it once. A step counts as done by its last entry in the store's order, which is the same for
//! every device that asks: two devices that tick at once see the same sheet, and every note of both is kept.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension as _, TransactionBehavior, params};

use crate::open::{At, Store, StoreError, access};

/// Kinds of entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EntryKind {
    /// A step was ticked.
    Done,
    /// A tick was taken back.
    Undone,
    /// Something was noted.
    Note,
}

impl EntryKind {
    /// The word it is kept under.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Undone => "undone",
            Self::Note => "note",
        }
    }

    /// The kind with this word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Done, Self::Undone, Self::Note].into_iter().find(|kind| kind.word() == word)
    }
}

/// An entry that a device makes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewEntry {
    /// Key, chosen by the device.
    pub key: String,
    /// Step it is about.
    pub step: String,
    /// Kind.
    pub kind: EntryKind,
    /// Text of a note; empty for ticks.
    pub text: String,
    /// Device that made it.
    pub device: String,
}

/// An entry in the store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Place in the store's order.
    pub number: i64,
    /// What the device sent.
    pub made: NewEntry,
    /// When the store took it.
    pub at: At,
}

/// Steps that count as done, with the time of their tick.
pub fn done_steps(entries: &[Entry]) -> BTreeMap<&str, At> {
    let mut done = BTreeMap::new();
    for entry in entries {
        match entry.made.kind {
            EntryKind::Done => {
                done.insert(entry.made.step.as_str(), entry.at);
            }
            EntryKind::Undone => {
                done.remove(entry.made.step.as_str());
            }
            EntryKind::Note => {}
        }
    }
    done
}

impl Store {
    /// Adds entries to a job, all or none; those whose key is there already are passed over.
    ///
    /// # Errors
    /// The job is not there, or the store cannot be written.
    pub fn add_entries(&mut self, job: &str, entries: &[NewEntry], at: At) -> Result<(), StoreError> {
        let failed = access("add to a job in");
        let tx =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(&failed)?;
        let is_there = tx
            .query_row("select 1 from job where id = ?1", [job], |_| Ok(()))
            .optional()
            .map_err(&failed)?
            .is_some();
        if !is_there {
            return Err(StoreError::Missing { what: "job", id: job.to_owned() });
        }
        for entry in entries {
            tx.execute(
                "insert into entry (job, key, step, kind, text, device, at) values (?1, ?2, ?3, ?4, ?5, ?6, ?7)
                 on conflict (key) do nothing",
                // Keys of different jobs cannot meet.
                params![
                    job,
                    format!("{job}/{}", entry.key),
                    entry.step,
                    entry.kind.word(),
                    entry.text,
                    entry.device,
                    at.0
                ],
            )
            .map_err(&failed)?;
        }
        tx.commit().map_err(&failed)
    }

    /// Entries of a job after a place in the store's order, in that order.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn entries(&self, job: &str, after: i64) -> Result<Vec<Entry>, StoreError> {
        self.list("read a job from", "select number, key, step, kind, text, device, at from entry where job = ?1 and number > ?2 order by number", params![job, after], |row| {
                    let key: String = row.get(1)?;
                    let kind: String = row.get(3)?;
                    Ok(Entry {
                        number: row.get(0)?,
                        made: NewEntry {
                            key: key.strip_prefix(job).and_then(|key| key.strip_prefix('/')).unwrap_or(&key).to_owned(),
                            step: row.get(2)?,
                            // A kind that a newer version wrote shows as what it says.
                            kind: EntryKind::from_word(&kind).unwrap_or(EntryKind::Note),
                            text: row.get(4)?,
                            device: row.get(5)?,
                        },
                        at: At(row.get(6)?),
                    })
                })
    }
}
