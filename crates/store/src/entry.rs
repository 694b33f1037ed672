//! What happened on a job: ticks and notes, only ever added.
//!
//! Every device chooses a key for each entry it makes, so that sending one again, after a lost answer
//! say, adds it once. A step counts as done by its last entry in the store's order, which is the same for
//! every device that asks: two devices that tick at once see the same sheet, and every note of both is kept.

use std::collections::BTreeMap;

use crate::open::{At, Store, StoreError};
use crate::value::given;

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
        self.change("add to a job in", |tx| {
            tx.first("select 1 from job where id = ?1", given![job], |_| Ok(()))?
                .ok_or_else(|| StoreError::Missing { what: "job", id: job.to_owned() })?;
            for entry in entries {
                // Numbered by hand: only one change goes on at a time, so a number that is seen has none below it
                // that is still to come, and a device that asks for what came after misses nothing.
                tx.run(
                    "insert into entry (number, job, key, step, kind, text, device, at)
                     select coalesce(max(number), 0) + 1, cast(?1 as text), cast(?2 as text), cast(?3 as text),
                       cast(?4 as text), cast(?5 as text), cast(?6 as text), cast(?7 as bigint)
                     from entry where true on conflict (key) do nothing",
                    given![
                        job,
                        // Keys of different jobs cannot meet.
                        &format!("{job}/{}", entry.key),
                        &entry.step,
                        entry.kind.word(),
                        &entry.text,
                        &entry.device,
                        at.0
                    ],
                )?;
            }
            Ok(())
        })
    }

    /// Entries of a job after a place in the store's order, in that order.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn entries(&mut self, job: &str, after: i64) -> Result<Vec<Entry>, StoreError> {
        self.list(
            "read a job from",
            "select number, key, step, kind, text, device, at from entry where job = ?1 and number > ?2 order by number",
            given![job, after],
            |row| {
                let key = row.text(1)?;
                Ok(Entry {
                    number: row.number(0)?,
                    made: NewEntry {
                        key: key.strip_prefix(job).and_then(|key| key.strip_prefix('/')).unwrap_or(&key).to_owned(),
                        step: row.text(2)?,
                        // A kind that a newer version wrote shows as what it says.
                        kind: EntryKind::from_word(&row.text(3)?).unwrap_or(EntryKind::Note),
                        text: row.text(4)?,
                        device: row.text(5)?,
                    },
                    at: At(row.number(6)?),
                })
            },
        )
    }
}
