//! Own parts: texts in the format of a library's files, read after the library.

use crate::database::Fault;
use crate::open::{At, Beside, Store, StoreError};
use crate::value::{Row, given};

const NEWEST_OF: &str =
    "select revision, text from parts_text where name = ?1 order by revision desc limit 1";

fn newest(row: &Row) -> Result<(i64, String), Fault> {
    Ok((row.number(0)?, row.text(1)?))
}

impl Store {
    /// The newest text of each own parts file, by name; empty ones are left out.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn own_parts(&mut self) -> Result<Vec<(String, String)>, StoreError> {
        self.list(
            "read own parts from",
            "select name, text from parts_text as one where text <> '' and revision =
             (select max(revision) from parts_text where name = one.name) order by name",
            &[],
            |row| Ok((row.text(0)?, row.text(1)?)),
        )
    }

    /// How often own parts were given a text: another number than before says that another bench did so.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn own_parts_changes(&mut self) -> Result<i64, StoreError> {
        let count =
            self.first("read own parts from", "select count(*) from parts_text", &[], |row| row.number(0))?;
        Ok(count.unwrap_or(0))
    }

    /// The newest text of one own parts file and its revision; nothing, at revision zero, where there is none.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn own_parts_file(&mut self, name: &str) -> Result<(i64, String), StoreError> {
        Ok(self.first("read own parts from", NEWEST_OF, given![name], newest)?.unwrap_or_default())
    }

    /// Gives an own parts file a new text, if nobody did so since revision `begun`; the old ones are kept. Gives the
    /// revision that holds then.
    ///
    /// # Errors
    /// It was changed in the meantime, or the store cannot be written.
    pub fn set_own_parts(&mut self, name: &str, begun: i64, text: &str, at: At) -> Result<i64, StoreError> {
        self.change("write own parts to", |tx| {
            let (now, text_now) = tx.first(NEWEST_OF, given![name], newest)?.unwrap_or_default();
            if text_now == text {
                // Two that want the same have no quarrel.
                return Ok(now);
            }
            if now != begun {
                return Err(StoreError::Changed { what: name.to_owned(), begun, now, kept: Beside::Nowhere });
            }
            tx.run(
                "insert into parts_text (name, revision, text, at) values (?1, ?2, ?3, ?4)",
                given![name, now + 1, text, at.0],
            )?;
            Ok(now + 1)
        })
    }
}
