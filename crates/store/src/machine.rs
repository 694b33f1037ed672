//! Machines and their records.

use rusqlite::{OptionalExtension as _, Transaction, TransactionBehavior, params};

use crate::open::{At, Store, StoreError, access};

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

fn kept(row: &rusqlite::Row<'_>) -> rusqlite::Result<KeptMachine> {
    Ok(KeptMachine {
        id: row.get(0)?,
        name: row.get(1)?,
        revision: row.get(2)?,
        text: row.get(3)?,
        changed_at: At(row.get(4)?),
    })
}

fn add_text(
    tx: &Transaction<'_>,
    id: &str,
    revision: i64,
    text: &str,
    why: &str,
    at: At,
) -> rusqlite::Result<()> {
    tx.execute(
        "insert into machine_text (machine, revision, text, why, at) values (?1, ?2, ?3, ?4, ?5)",
        params![id, revision, text, why, at.0],
    )?;
    Ok(())
}

impl Store {
    /// Machines on the bench, last changed first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn machines(&self) -> Result<Vec<KeptMachine>, StoreError> {
        self.list(
            "list the machines in",
            &format!("{COLUMNS} where removed = 0 order by changed_at desc, machine.id"),
            [],
            kept,
        )
    }

    /// One machine.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn machine(&self, id: &str) -> Result<KeptMachine, StoreError> {
        self.connection
            .query_row(&format!("{COLUMNS} where machine.id = ?1 and removed = 0"), [id], kept)
            .optional()
            .map_err(access("read a machine from"))?
            .ok_or_else(|| StoreError::Missing { what: "machine", id: id.to_owned() })
    }

    /// Puts a machine on the bench under an id made from its name; gives the id.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn add_machine(&mut self, name: &str, text: &str, why: &str, at: At) -> Result<String, StoreError> {
        let stem = id_from(name);
        let mut write = || {
            let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let mut id = stem.clone();
            let mut number = 2;
            while tx.query_row("select 1 from machine where id = ?1", [&id], |_| Ok(())).optional()?.is_some()
            {
                id = format!("{stem}-{number}");
                number += 1;
            }
            tx.execute(
                "insert into machine (id, name, revision, changed_at) values (?1, ?2, 1, ?3)",
                params![id, name, at.0],
            )?;
            add_text(&tx, &id, 1, text, why, at)?;
            tx.commit()?;
            Ok(id)
        };
        write().map_err(access("add a machine to"))
    }

    /// Gives a machine a new text, if nobody did so since revision `begun`. Gives the new revision.
    ///
    /// # Errors
    /// It is not there, was changed in the meantime, or the store cannot be written.
    pub fn change_machine(
        &mut self,
        id: &str,
        begun: i64,
        (name, text): (&str, &str),
        why: &str,
        at: At,
    ) -> Result<i64, StoreError> {
        let failed = access("change a machine in");
        let tx =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(&failed)?;
        let now: i64 = tx
            .query_row("select revision from machine where id = ?1 and removed = 0", [id], |row| row.get(0))
            .optional()
            .map_err(&failed)?
            .ok_or_else(|| StoreError::Missing { what: "machine", id: id.to_owned() })?;
        if now != begun {
            return Err(StoreError::Changed { machine: id.to_owned(), begun, now });
        }
        // A text that was refused before may still hold this number.
        let next: i64 = tx
            .query_row("select max(revision) + 1 from machine_text where machine = ?1", [id], |row| {
                row.get(0)
            })
            .map_err(&failed)?;
        add_text(&tx, id, next, text, why, at).map_err(&failed)?;
        tx.execute(
            "update machine set name = ?2, revision = ?3, changed_at = ?4 where id = ?1",
            params![id, name, next, at.0],
        )
        .map_err(&failed)?;
        tx.commit().map_err(&failed)?;
        Ok(next)
    }

    /// Every text that a machine's record had, newest first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn revisions(&self, id: &str) -> Result<Vec<Revision>, StoreError> {
        self.list(
            "read a record's history from",
            "select revision, text, why, at from machine_text where machine = ?1 order by revision desc",
            [id],
            |row| {
                Ok(Revision { number: row.get(0)?, text: row.get(1)?, why: row.get(2)?, at: At(row.get(3)?) })
            },
        )
    }

    /// The text of one revision.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn revision(&self, id: &str, number: i64) -> Result<String, StoreError> {
        self.connection
            .query_row(
                "select text from machine_text where machine = ?1 and revision = ?2",
                params![id, number],
                |row| row.get(0),
            )
            .optional()
            .map_err(access("read a record's history from"))?
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
        let changed = self
            .connection
            .execute(
                "update machine set removed = ?2, changed_at = ?3 where id = ?1",
                params![id, removed, at.0],
            )
            .map_err(access("change a machine in"))?;
        if changed == 0 {
            return Err(StoreError::Missing { what: "machine", id: id.to_owned() });
        }
        Ok(())
    }
}
