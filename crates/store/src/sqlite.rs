//! The store in one file, or in memory.

use std::path::Path;
use std::time::Duration;

use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, ErrorCode, ToSql, params_from_iter};

use crate::database::{Begin, Database, End, Fault, Kind};
use crate::value::{Row, Value};

/// How long another program's writing is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// A file.
#[derive(Debug)]
pub(crate) struct Sqlite {
    connection: Connection,
}

impl ToSql for Value {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Self::Null => ValueRef::Null,
            Self::Number(number) => ValueRef::Integer(*number),
            Self::Text(text) => ValueRef::Text(text.as_bytes()),
            Self::Bytes(bytes) => ValueRef::Blob(bytes),
        }))
    }
}

fn fault(error: rusqlite::Error) -> Fault {
    match error.sqlite_error_code() {
        Some(ErrorCode::DiskFull) => Fault::Full,
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Fault::Busy,
        Some(ErrorCode::SystemIoFailure) => Fault::Disk(error.to_string()),
        _ => Fault::File(error.to_string()),
    }
}

fn cell(value: ValueRef<'_>, column: usize) -> Result<Value, Fault> {
    Ok(match value {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(number) => Value::Number(number),
        ValueRef::Text(text) => Value::Text(String::from_utf8_lossy(text).into_owned()),
        ValueRef::Blob(bytes) => Value::Bytes(bytes.to_vec()),
        // No table of ours has such a column.
        ValueRef::Real(_) => return Err(Fault::Shape { column, expected: "a whole number" }),
    })
}

impl Sqlite {
    /// The store in this file, made if it is not there.
    pub(crate) fn open(path: &Path) -> Result<Self, Fault> {
        Self::ready(Connection::open(path).map_err(fault)?)
    }

    /// A store that is gone with its last user.
    pub(crate) fn in_memory() -> Result<Self, Fault> {
        Self::ready(Connection::open_in_memory().map_err(fault)?)
    }

    fn ready(connection: Connection) -> Result<Self, Fault> {
        connection.busy_timeout(PATIENCE).map_err(fault)?;
        // What is acknowledged is on the disk: the log is synced at each commit.
        connection
            .execute_batch("pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on;")
            .map_err(fault)?;
        Ok(Self { connection })
    }
}

impl Database for Sqlite {
    fn kind(&self) -> Kind {
        Kind::Sqlite
    }

    fn begin(&mut self, what: Begin) -> Result<i64, Fault> {
        if !self.connection.is_autocommit() {
            // Left open by something that did not come to its end.
            self.end(End::Drop)?;
        }
        let begin = match what {
            Begin::Change | Begin::Tables => "begin immediate",
            Begin::Look => "begin",
        };
        self.connection.execute_batch(begin).map_err(fault)?;
        self.connection.query_row("pragma user_version", [], |row| row.get(0)).map_err(fault)
    }

    fn end(&mut self, how: End) -> Result<(), Fault> {
        let end = match how {
            End::Keep => "commit",
            End::Drop => "rollback",
        };
        // A full disk may have ended it already.
        if how == End::Drop && self.connection.is_autocommit() {
            return Ok(());
        }
        let ended = self.connection.execute_batch(end).map_err(fault);
        if ended.is_err() && !self.connection.is_autocommit() {
            // What could not be kept whole is dropped whole; the first failure is the one that is told.
            let _ = self.connection.execute_batch("rollback");
        }
        ended
    }

    fn look(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault> {
        self.rows(sql, given)
    }

    fn rows(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault> {
        let mut query = self.connection.prepare(sql).map_err(fault)?;
        let columns = query.column_count();
        let mut answer = query.query(params_from_iter(given)).map_err(fault)?;
        let mut rows = Vec::new();
        while let Some(row) = answer.next().map_err(fault)? {
            let mut cells = Vec::with_capacity(columns);
            for column in 0..columns {
                cells.push(cell(row.get_ref(column).map_err(fault)?, column)?);
            }
            rows.push(Row(cells));
        }
        Ok(rows)
    }

    fn run(&mut self, sql: &str, given: &[Value]) -> Result<u64, Fault> {
        let mut statement = self.connection.prepare(sql).map_err(fault)?;
        statement.execute(params_from_iter(given)).map(|count| count as u64).map_err(fault)
    }

    fn migrate(&mut self, sql: &str, step: i64) -> Result<(), Fault> {
        self.connection.execute_batch(sql).map_err(fault)?;
        self.connection.pragma_update(None, "user_version", step).map_err(fault)
    }
}
