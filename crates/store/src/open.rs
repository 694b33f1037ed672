//! Opening a store, and the two ways of using it: looking and changing.

use std::path::Path;

use crate::database::{Begin, Database, End, Fault};
use crate::migrate::{MigrateError, known, migrate};
use crate::place::Place;
use crate::server::Server;
use crate::sqlite::Sqlite;
use crate::value::{Row, Value};

/// Milliseconds since 1970 in universal time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct At(pub i64);

/// An open store.
#[derive(Debug)]
pub struct Store {
    database: Box<dyn Database>,
}

/// What can go wrong with a store.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// It could not be opened.
    #[error("cannot open the store {place}")]
    Open {
        /// File or address, without a password.
        place: String,
        /// What the database said.
        source: Fault,
    },
    /// Its tables could not be brought up to date.
    #[error("cannot bring the store {place} up to date")]
    Migrate {
        /// File or address, without a password.
        place: String,
        /// Why.
        source: MigrateError,
    },
    /// Another program has brought it up to a newer date since it was opened.
    #[error("the store cannot be written any more")]
    Outdated(#[source] MigrateError),
    /// It could not be read or written. Unless the fault says otherwise, nothing was changed.
    #[error("cannot {doing} the store")]
    Access {
        /// What was attempted.
        doing: &'static str,
        /// What the database said.
        source: Fault,
    },
    /// Something that is asked for is not there.
    #[error("the store has no {what} \"{id}\"")]
    Missing {
        /// Kind of thing.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// A text was changed by somebody else in the meantime.
    #[error(
        "{what} was changed in the meantime: it is at revision {now}, this change began at {begun}{kept}"
    )]
    Changed {
        /// What it is the text of.
        what: String,
        /// Revision the change began from.
        begun: i64,
        /// Revision it has now.
        now: i64,
        /// Where the text that was not taken is kept.
        kept: Beside,
    },
}

/// Where a text is kept that was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// Under this number among the texts of its record, without holding.
    As(i64),
    /// Nowhere: who sent it still has it.
    Nowhere,
}

impl std::fmt::Display for Beside {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::As(number) => write!(f, "; both are kept, this one as text {number}, which does not hold"),
            Self::Nowhere => Ok(()),
        }
    }
}

/// Says what was attempted when the database fails.
const fn access(doing: &'static str) -> impl Fn(Fault) -> StoreError {
    move |source| StoreError::Access { doing, source }
}

/// What is done to a store at once: all of it is kept, or nothing.
#[derive(Debug)]
pub(crate) struct Tx<'s> {
    database: &'s mut dyn Database,
    doing: &'static str,
}

impl Tx<'_> {
    /// The rows a query gives, each read by `read`.
    pub(crate) fn list<T>(
        &mut self,
        sql: &str,
        given: &[Value],
        read: impl Fn(&Row) -> Result<T, Fault>,
    ) -> Result<Vec<T>, StoreError> {
        let rows = self.database.rows(sql, given).map_err(access(self.doing))?;
        rows.iter().map(read).collect::<Result<_, _>>().map_err(access(self.doing))
    }

    /// The first row a query gives, if it gives one.
    pub(crate) fn first<T>(
        &mut self,
        sql: &str,
        given: &[Value],
        read: impl Fn(&Row) -> Result<T, Fault>,
    ) -> Result<Option<T>, StoreError> {
        Ok(self.list(sql, given, read)?.into_iter().next())
    }

    /// Runs a statement; gives how many rows it changed.
    pub(crate) fn run(&mut self, sql: &str, given: &[Value]) -> Result<u64, StoreError> {
        self.database.run(sql, given).map_err(access(self.doing))
    }
}

impl Store {
    /// The rows of a query, each read by `read`.
    pub(crate) fn list<T>(
        &mut self,
        doing: &'static str,
        sql: &str,
        given: &[Value],
        read: impl Fn(&Row) -> Result<T, Fault>,
    ) -> Result<Vec<T>, StoreError> {
        let rows = self.database.look(sql, given).map_err(access(doing))?;
        rows.iter().map(read).collect::<Result<_, _>>().map_err(access(doing))
    }

    /// The first row of a query, if it gives one.
    pub(crate) fn first<T>(
        &mut self,
        doing: &'static str,
        sql: &str,
        given: &[Value],
        read: impl Fn(&Row) -> Result<T, Fault>,
    ) -> Result<Option<T>, StoreError> {
        Ok(self.list(doing, sql, given, read)?.into_iter().next())
    }

    /// Does something to the store: all of it, or nothing where `work` fails. Nobody else changes it meanwhile.
    pub(crate) fn change<T, E: From<StoreError>>(
        &mut self,
        doing: &'static str,
        work: impl FnOnce(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        self.at_once(doing, Begin::Change, work)
    }

    /// Looks at more than one thing as all of it is at one moment.
    pub(crate) fn look<T, E: From<StoreError>>(
        &mut self,
        doing: &'static str,
        work: impl FnOnce(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        self.at_once(doing, Begin::Look, work)
    }

    fn at_once<T, E: From<StoreError>>(
        &mut self,
        doing: &'static str,
        what: Begin,
        work: impl FnOnce(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let step = self.database.begin(what).map_err(access(doing))?;
        let done = known(step)
            .map_err(|newer| E::from(StoreError::Outdated(newer)))
            .and_then(|_| work(&mut Tx { database: &mut *self.database, doing }));
        match done {
            Ok(done) => {
                self.database.end(End::Keep).map_err(access(doing))?;
                Ok(done)
            }
            Err(error) => {
                // Why it failed is what is told; a transaction that cannot be ended is dropped by the next one.
                let _ = self.database.end(End::Drop);
                Err(error)
            }
        }
    }

    /// Opens the store in a file, made if it is not there, and brings its tables up to date.
    ///
    /// # Errors
    /// The file cannot be opened, is no store, or was written by a newer version.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        Self::open_at(&Place::File(path.to_owned()))
    }

    /// Opens the store at a place, and brings its tables up to date.
    ///
    /// # Errors
    /// The file cannot be opened or the server not reached, it is no store, or was written by a newer version.
    pub fn open_at(place: &Place) -> Result<Self, StoreError> {
        let database: Result<Box<dyn Database>, Fault> = match place {
            Place::File(path) => Sqlite::open(path).map(|file| Box::new(file) as _),
            Place::Server(address) => Server::open(address.clone()).map(|server| Box::new(server) as _),
        };
        Self::ready(database.map_err(|source| StoreError::Open { place: place.to_string(), source })?, place)
    }

    /// A store in memory, that is gone with its last user.
    ///
    /// # Errors
    /// There is no memory for it.
    pub fn in_memory() -> Result<Self, StoreError> {
        let place = Place::File(":memory:".into());
        let database =
            Sqlite::in_memory().map_err(|source| StoreError::Open { place: place.to_string(), source })?;
        Self::ready(Box::new(database), &place)
    }

    fn ready(mut database: Box<dyn Database>, place: &Place) -> Result<Self, StoreError> {
        migrate(&mut *database).map_err(|source| StoreError::Migrate { place: place.to_string(), source })?;
        Ok(Self { database })
    }
}
