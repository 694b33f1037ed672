//! Opening a store.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;

use crate::migrate::{MigrateError, migrate};

/// Milliseconds since 1970 in universal time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct At(pub i64);

/// An open store.
#[derive(Debug)]
pub struct Store {
    pub(crate) connection: Connection,
}

/// What can go wrong with a store.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The file could not be opened.
    #[error("cannot open the store {}", path.display())]
    Open {
        /// File.
        path: PathBuf,
        /// What the database said.
        source: rusqlite::Error,
    },
    /// Its tables could not be brought up to date.
    #[error("cannot bring the store {} up to date", path.display())]
    Migrate {
        /// File.
        path: PathBuf,
        /// Why.
        source: MigrateError,
    },
    /// It could not be read or written. What was to be written is not there, and nothing else was changed.
    #[error("cannot {doing} the store")]
    Access {
        /// What was attempted.
        doing: &'static str,
        /// What the database said.
        source: rusqlite::Error,
    },
    /// Something that is asked for is not there.
    #[error("the store has no {what} \"{id}\"")]
    Missing {
        /// Kind of thing.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// A record was changed by somebody else in the meantime.
    #[error(
        "the record of {machine} was changed in the meantime: it is at revision {now}, this change began at {begun}"
    )]
    Changed {
        /// Machine.
        machine: String,
        /// Revision the change began from.
        begun: i64,
        /// Revision it has now.
        now: i64,
    },
}

/// Says what was attempted when the database fails.
pub(crate) const fn access(doing: &'static str) -> impl Fn(rusqlite::Error) -> StoreError {
    move |source| StoreError::Access { doing, source }
}

impl Store {
    /// The rows of a query.
    pub(crate) fn list<T>(
        &self,
        doing: &'static str,
        sql: &str,
        params: impl rusqlite::Params,
        row: impl Fn(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, StoreError> {
        let read = || -> rusqlite::Result<Vec<T>> {
            let mut query = self.connection.prepare(sql)?;
            query.query_map(params, row)?.collect()
        };
        read().map_err(access(doing))
    }

    /// Opens the store in a file, made if it is not there, and brings its tables up to date.
    ///
    /// # Errors
    /// The file cannot be opened, is no store, or was written by a newer version.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let failed = |source| StoreError::Open { path: path.to_owned(), source };
        Self::ready(Connection::open(path).map_err(failed)?, path)
    }

    /// A store in memory, that is gone with its last user.
    ///
    /// # Errors
    /// There is no memory for it.
    pub fn in_memory() -> Result<Self, StoreError> {
        let path = Path::new(":memory:");
        let failed = |source| StoreError::Open { path: path.to_owned(), source };
        Self::ready(Connection::open_in_memory().map_err(failed)?, path)
    }

    fn ready(mut connection: Connection, path: &Path) -> Result<Self, StoreError> {
        let failed = |source| StoreError::Open { path: path.to_owned(), source };
        // Another process may be writing: wait for it.
        connection.busy_timeout(Duration::from_secs(10)).map_err(failed)?;
        // What is acknowledged is on the disk: the log is synced at each commit.
        connection
            .execute_batch("pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on;")
            .map_err(failed)?;
        migrate(&mut connection).map_err(|source| StoreError::Migrate { path: path.to_owned(), source })?;
        Ok(Self { connection })
    }
}
