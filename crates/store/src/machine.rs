//! Machines and their records.

use crate::database::Fault;
use crate::open::{At, Beside, Store, StoreError, Tx};
use crate::value::{Row, given};

/// A machine on the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptMachine {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Which of its record's texts this is, from one.
    pub revision: i64,
    /// Text of the record.
    pub text: String,
    /// When it was last changed.
    pub changed_at: At,
}

/// One text that a record had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// Its number, from one.
    pub number: i64,
    /// Text.
    pub text: String,
    /// What made it.
    pub why: String,
    /// When.
    pub at: At,
}

/// A readable id out of a name: lower-case letters and digits with single dashes between.
///
/// # Example
/// ```
/// assert_eq!(store::machine::id_from("Anna's PC, 2nd"), "anna-s-pc-2nd");
/// assert_eq!(store::machine::id_from("\u{1f642}"), "machine");
/// ```
pub fn id_from(name: &str) -> String {
    let mut id = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            id.push(c);
        } else if !id.ends_with('-') && !id.is_empty() {
            id.push('-');
        }
        if id.len() >= 40 {
            break;
        }
    }
    let id = id.trim_end_matches('-');
    if id.is_empty() { "machine".to_owned() } else { id.to_owned() }
}

const COLUMNS: &str = "select machine.id, machine.name, machine.revision, machine_text.text, machine.changed_at
    from machine join machine_text on machine_text.machine = machine.id and machine_text.revision = machine.revision";

fn kept(row: &Row) -> Result<KeptMachine, Fault> {
    Ok(KeptMachine {
        id: row.text(0)?,
        name: row.text(1)?,
        revision: row.number(2)?,
        text: row.text(3)?,
        changed_at: At(row.number(4)?),
    })
}

fn add_text(
    tx: &mut Tx<'_>,
    (id, revision): (&str, i64),
    text: &str,
    why: &str,
    at: At,
) -> Result<(), StoreError> {
    tx.run(
        "insert into machine_text (machine, revision, text, why, at) values (?1, ?2, ?3, ?4, ?5)",
        given![id, revision, text, why, at.0],
    )?;
    Ok(())
}

/// Number of the next text of a machine's record.
fn next_text(tx: &mut Tx<'_>, id: &str) -> Result<i64, StoreError> {
    let sql = "select max(revision) + 1 from machine_text where machine = ?1";
    Ok(tx.first(sql, given![id], |row| row.number(0))?.unwrap_or(1))
}

/// Keeps a text that was not taken, without making it the record; gives its number. Sent once more it is kept once.
fn keep_beside(
    tx: &mut Tx<'_>,
    id: &str,
    begun: i64,
    text: &str,
    why: &str,
    at: At,
) -> Result<i64, StoreError> {
    let sql = "select revision from machine_text where machine = ?1 and revision > ?2 and text = ?3";
    if let Some(there) = tx.first(sql, given![id, begun, text], |row| row.number(0))? {
        return Ok(there);
    }
    let next = next_text(tx, id)?;
    add_text(tx, (id, next), text, &format!("{why}; not taken, since it began at revision {begun}"), at)?;
    Ok(next)
}

impl Store {
    /// Machines on the bench, last changed first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn machines(&mut self) -> Result<Vec<KeptMachine>, StoreError> {
        self.list(
            "list the machines in",
            &format!("{COLUMNS} where removed = 0 order by changed_at desc, machine.id"),
            &[],
            kept,
        )
    }

    /// One machine.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn machine(&mut self, id: &str) -> Result<KeptMachine, StoreError> {
        let sql = format!("{COLUMNS} where machine.id = ?1 and removed = 0");
        self.first("read a machine from", &sql, given![id], kept)?
            .ok_or_else(|| StoreError::Missing { what: "machine", id: id.to_owned() })
    }

    /// Puts a machine on the bench under an id made from its name; gives the id.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn add_machine(&mut self, name: &str, text: &str, why: &str, at: At) -> Result<String, StoreError> {
        let stem = id_from(name);
        self.change("add a machine to", |tx| {
            let mut id = stem.clone();
            let mut number = 2;
            while tx.first("select 1 from machine where id = ?1", given![&id], |_| Ok(()))?.is_some() {
                id = format!("{stem}-{number}");
                number += 1;
            }
            tx.run(
                "insert into machine (id, name, revision, changed_at) values (?1, ?2, 1, ?3)",
                given![&id, name, at.0],
            )?;
            add_text(tx, (&id, 1), text, why, at)?;
            Ok(id)
        })
    }

    /// Gives a machine a new text, if nobody did so since revision `begun`. Gives the revision that holds then.
    ///
    /// # Errors
    /// It is not there, was changed in the meantime (the text is kept beside then), or the store cannot be written.
    pub fn change_machine(
        &mut self,
        id: &str,
        begun: i64,
        (name, text): (&str, &str),
        why: &str,
        at: At,
    ) -> Result<i64, StoreError> {
        let done = self.change("change a machine in", |tx| {
            let (now, text_now) = tx
                .first(&format!("{COLUMNS} where machine.id = ?1 and removed = 0"), given![id], |row| {
                    Ok((row.number(2)?, row.text(3)?))
                })?
                .ok_or_else(|| StoreError::Missing { what: "machine", id: id.to_owned() })?;
            if text_now == text {
                // Two that want the same have no quarrel.
                return Ok(Ok(now));
            }
            if now != begun {
                let kept = Beside::As(keep_beside(tx, id, begun, text, why, at)?);
                return Ok(Err(StoreError::Changed {
                    what: format!("the record of {id}"),
                    begun,
                    now,
                    kept,
                }));
            }
            let next = next_text(tx, id)?;
            add_text(tx, (id, next), text, why, at)?;
            tx.run(
                "update machine set name = ?2, revision = ?3, changed_at = ?4 where id = ?1",
                given![id, name, next, at.0],
            )?;
            Ok(Ok(next))
        });
        done.and_then(|taken| taken)
    }

    /// Every text that a machine's record had, newest first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn revisions(&mut self, id: &str) -> Result<Vec<Revision>, StoreError> {
        self.list(
            "read a record's history from",
            "select revision, text, why, at from machine_text where machine = ?1 order by revision desc",
            given![id],
            |row| {
                Ok(Revision {
                    number: row.number(0)?,
                    text: row.text(1)?,
                    why: row.text(2)?,
                    at: At(row.number(3)?),
                })
            },
        )
    }

    /// The text of one revision.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn revision(&mut self, id: &str, number: i64) -> Result<String, StoreError> {
        self.first(
            "read a record's history from",
            "select text from machine_text where machine = ?1 and revision = ?2",
            given![id, number],
            |row| row.text(0),
        )?
        .ok_or_else(|| StoreError::Missing { what: "revision of", id: format!("{id}, {number}") })
    }

    /// Takes a machine off the bench. Its texts and jobs stay in the store; [`Store::put_back`] brings it back.
    ///
    /// # Errors
    /// It is not there, or the store cannot be written.
    pub fn take_off(&mut self, id: &str, at: At) -> Result<(), StoreError> {
        self.set_removed(id, 1, at)
    }

    /// Puts a machine back on the bench that was taken off.
    ///
    /// # Errors
    /// It never was there, or the store cannot be written.
    pub fn put_back(&mut self, id: &str, at: At) -> Result<(), StoreError> {
        self.set_removed(id, 0, at)
    }

    fn set_removed(&mut self, id: &str, removed: i64, at: At) -> Result<(), StoreError> {
        let changed = self.change("change a machine in", |tx| {
            tx.run(
                "update machine set removed = ?2, changed_at = ?3 where id = ?1",
                given![id, removed, at.0],
            )
        })?;
        if changed == 0 {
            return Err(StoreError::Missing { what: "machine", id: id.to_owned() });
        }
        Ok(())
    }
}
