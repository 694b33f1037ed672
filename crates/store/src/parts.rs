//! Own parts: texts in the format of a library's files, read after the library.

use rusqlite::{TransactionBehavior, params};

use crate::open::{At, Store, StoreError, access};

impl Store {
    /// The newest text of each own parts file, by name; empty ones are left out.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn own_parts(&self) -> Result<Vec<(String, String)>, StoreError> {
        self.list(
            "read own parts from",
            "select name, text, max(revision) from parts_text group by name having text <> '' order by name",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
    }

    /// Gives an own parts file a new text; the old ones are kept.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn set_own_parts(&mut self, name: &str, text: &str, at: At) -> Result<(), StoreError> {
        let mut write = || {
            let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            tx.execute(
                "insert into parts_text (name, revision, text, at)
                 select ?1, coalesce(max(revision), 0) + 1, ?2, ?3 from parts_text where name = ?1",
                params![name, text, at.0],
            )?;
            tx.commit()
        };
        write().map_err(access("write own parts to"))
    }
}
