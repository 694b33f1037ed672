//! What both kinds of database do for the store. Statements are written once, in what both understand:
//! cells are `?1`, `?2` and so on.

use std::fmt::Debug;

use crate::value::{Row, Value};

/// What a database said when it failed.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// No room.
    #[error("there is no room left on the disk that holds it: make room and try again; nothing was changed")]
    Full,
    /// The disk did not do what it was told, for another reason than being full, or a limit stands before its end.
    #[error("the disk did not take it ({0}): it may fail, be full or over a quota; nothing was changed")]
    Disk(String),
    /// Somebody else is writing, for too long.
    #[error("another program has been writing to it for too long: try again")]
    Busy,
    /// The file's database said something else.
    #[error("{0}")]
    File(String),
    /// The server cannot be reached, or was lost before anything was kept.
    #[error("the server cannot be reached ({0}): nothing was changed; try again when it is back")]
    Lost(String),
    /// The connection was lost while a change was being confirmed.
    #[error(
        "the connection was lost while the server was confirming the change, and it cannot be asked whether it kept it ({0}): look whether it is there before you enter it again"
    )]
    Unsure(String),
    /// The server lets nobody in under this name.
    #[error("the server refuses this user or password ({0})")]
    Refused(String),
    /// The server wants what this program cannot do.
    #[error(
        "the address asks for encryption, which this program does not do by itself: use a tunnel on both ends, or a server on this computer"
    )]
    Encryption,
    /// The server said something else.
    #[error("the server said: {message} ({code})")]
    Server {
        /// Its words.
        message: String,
        /// Code of the SQL standard.
        code: String,
    },
    /// A row does not look as it should.
    #[error("column {column} of a row holds something else than {expected}")]
    Shape {
        /// Column, from zero.
        column: usize,
        /// What should be there.
        expected: &'static str,
    },
}

/// What a transaction is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Begin {
    /// Changing something: the only one of its kind at a time, so that rows are numbered in the order in which
    /// they become visible.
    Change,
    /// Looking at everything as it is at one moment.
    Look,
    /// Bringing the tables up to date; there may be none yet.
    Tables,
}

/// How a transaction ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    /// Everything in it is kept, on the disk.
    Keep,
    /// Nothing of it is.
    Drop,
}

/// A database.
pub(crate) trait Database: Debug + Send {
    /// Which of the two it is.
    fn kind(&self) -> Kind;
    /// Begins a transaction; gives the step its tables are at, zero where there are none.
    fn begin(&mut self, what: Begin) -> Result<i64, Fault>;
    /// Ends the transaction.
    fn end(&mut self, how: End) -> Result<(), Fault>;
    /// The rows a query gives, outside of a transaction.
    fn look(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault>;
    /// The rows a query gives, inside of a transaction.
    fn rows(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault>;
    /// Runs a statement inside of a transaction; gives how many rows it changed.
    fn run(&mut self, sql: &str, given: &[Value]) -> Result<u64, Fault>;
    /// Runs the statements of a migration and notes that the tables are at this step then.
    fn migrate(&mut self, sql: &str, step: i64) -> Result<(), Fault>;
}

/// Kinds of database.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// One file.
    Sqlite,
    /// A server.
    PostgreSql,
}
