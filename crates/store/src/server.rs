//! The store on a PostgreSQL server (13 or newer), shared by several benches.
//!
//! A connection that was lost is made anew by the next call. A call that only reads is then made once more. A change
//! is not: it is told, unless the connection was lost while the server was confirming it; then the server is asked
//! what became of it.

use std::collections::HashMap;
use std::error::Error as _;
use std::fmt;
use std::thread::sleep;
use std::time::Duration;

use postgres::error::SqlState;
use postgres::types::{ToSql, Type};
use postgres::{Client, NoTls, Statement};

use crate::database::{Begin, Database, End, Fault, Kind};
use crate::place::Address;
use crate::value::{Row, Value};

/// How long a server is called before it counts as not there.
const CALL: Duration = Duration::from_secs(10);
/// After how long a silent connection is tested, and how long the network may take to confirm something.
const SILENCE: Duration = Duration::from_secs(30);
/// What every connection begins with. A bench that vanished in the midst of a change does not hold up the others for long.
const BEGIN: &str = "set synchronous_commit = on; set lock_timeout = '10s'; set statement_timeout = '60s'; \
    set idle_in_transaction_session_timeout = '30s'; set client_min_messages = warning";
/// Bringing tables up to date is done by one program at a time: a number of our own for that.
const TABLES_LOCK: i64 = 0x7265_7365_6174;
/// How often a server is asked again about a change that it is still at, and the pause between.
const ASKED: u32 = 50;
const PAUSE: Duration = Duration::from_millis(100);

/// A server.
pub(crate) struct Server {
    address: Address,
    client: Option<Client>,
    /// Statements the server knows already, by their text.
    known: HashMap<String, Statement>,
    /// The number of the change that is going on.
    change: Option<String>,
    /// Whether something in the transaction failed.
    has_failed: bool,
}

impl fmt::Debug for Server {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Server({})", self.address)
    }
}

/// What the client's error says, without any piece of an address.
fn words(error: &postgres::Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(inner) = cause {
        text = format!("{text}: {inner}");
        cause = inner.source();
    }
    text
}

/// A fault that the server has no words for: it is not there, or the two do not understand each other.
fn without_words(error: &postgres::Error) -> Fault {
    let is_lost = error.is_closed() || has_io_cause(error);
    if is_lost { Fault::Lost(words(error)) } else { Fault::Refused(words(error)) }
}

fn has_io_cause(error: &postgres::Error) -> bool {
    let mut cause = error.source();
    while let Some(inner) = cause {
        if inner.is::<std::io::Error>() {
            return true;
        }
        cause = inner.source();
    }
    false
}

fn fault(error: &postgres::Error) -> Fault {
    let Some(said) = error.as_db_error() else { return without_words(error) };
    let message = said.message().to_owned();
    match said.code() {
        &SqlState::DISK_FULL => Fault::Full,
        &SqlState::LOCK_NOT_AVAILABLE | &SqlState::QUERY_CANCELED | &SqlState::T_R_DEADLOCK_DETECTED => {
            Fault::Busy
        }
        &SqlState::INVALID_PASSWORD | &SqlState::INVALID_AUTHORIZATION_SPECIFICATION => {
            Fault::Refused(message)
        }
        &SqlState::ADMIN_SHUTDOWN
        | &SqlState::CRASH_SHUTDOWN
        | &SqlState::CANNOT_CONNECT_NOW
        | &SqlState::TOO_MANY_CONNECTIONS
        | &SqlState::IDLE_IN_TRANSACTION_SESSION_TIMEOUT => Fault::Lost(message),
        code => Fault::Server { message, code: code.code().to_owned() },
    }
}

/// A statement with the server's marks for cells.
fn marked(sql: &str) -> String {
    sql.replace('?', "$")
}

/// A value as a column of this type takes it.
fn cell<'v>(value: &'v Value, kind: &Type) -> Box<dyn ToSql + Sync + 'v> {
    match value {
        Value::Null if *kind == Type::INT8 => Box::new(None::<i64>),
        Value::Null if *kind == Type::BYTEA => Box::new(None::<&[u8]>),
        Value::Null => Box::new(None::<&str>),
        Value::Number(number) => Box::new(*number),
        Value::Text(text) => Box::new(text.as_str()),
        Value::Bytes(bytes) => Box::new(bytes.as_slice()),
    }
}

fn row(row: &postgres::Row) -> Result<Row, Fault> {
    let mut cells = Vec::with_capacity(row.len());
    for (place, column) in row.columns().iter().enumerate() {
        let failed = |_| Fault::Shape { column: place, expected: "what the store keeps" };
        let cell = match *column.type_() {
            Type::INT8 => Value::from(row.try_get::<_, Option<i64>>(place).map_err(failed)?),
            Type::INT4 => Value::from(row.try_get::<_, Option<i32>>(place).map_err(failed)?.map(i64::from)),
            Type::BYTEA => {
                row.try_get::<_, Option<Vec<u8>>>(place).map_err(failed)?.map_or(Value::Null, Value::Bytes)
            }
            _ => row.try_get::<_, Option<String>>(place).map_err(failed)?.map_or(Value::Null, Value::Text),
        };
        cells.push(cell);
    }
    Ok(Row(cells))
}

impl Server {
    /// The store at this address; the server is called at once.
    pub(crate) fn open(address: Address) -> Result<Self, Fault> {
        if address.demands_encryption() {
            return Err(Fault::Encryption);
        }
        let mut server =
            Self { address, client: None, known: HashMap::new(), change: None, has_failed: false };
        server.client()?;
        Ok(server)
    }

    /// The connection, made where there is none.
    fn client(&mut self) -> Result<&mut Client, Fault> {
        let lives = self.client.take().filter(|client| !client.is_closed());
        let client = match lives {
            Some(client) => client,
            None => {
                self.known.clear();
                let mut config = (*self.address.config).clone();
                config.application_name("reseat").keepalives_idle(SILENCE).tcp_user_timeout(SILENCE);
                if config.get_connect_timeout().is_none() {
                    config.connect_timeout(CALL);
                }
                let mut client = config.connect(NoTls).map_err(|error| fault(&error))?;
                client.batch_execute(BEGIN).map_err(|error| fault(&error))?;
                client
            }
        };
        Ok(self.client.insert(client))
    }

    /// Runs this on the connection; one that turns out to be lost is let go.
    fn try_once<T>(
        &mut self,
        work: impl FnOnce(&mut Client, &mut HashMap<String, Statement>) -> Result<T, postgres::Error>,
    ) -> Result<T, Fault> {
        self.client()?;
        let (Some(client), known) = (self.client.as_mut(), &mut self.known) else {
            return Err(Fault::Lost("no connection".to_owned()));
        };
        let done = work(client, known);
        let is_closed = client.is_closed();
        done.map_err(|error| {
            self.has_failed = true;
            let found = fault(&error);
            if is_closed || matches!(found, Fault::Lost(_)) {
                self.client = None;
            }
            found
        })
    }

    /// The same once more on a new connection, where the first was lost: for what changes nothing.
    fn try_twice<T>(
        &mut self,
        work: impl Fn(&mut Client, &mut HashMap<String, Statement>) -> Result<T, postgres::Error>,
    ) -> Result<T, Fault> {
        match self.try_once(&work) {
            Err(Fault::Lost(_)) => self.try_once(&work),
            done => done,
        }
    }

    /// Whether the connection of the transaction that is going on is still there. A new one knows nothing of it.
    fn still_there(&mut self) -> Result<(), Fault> {
        match &self.client {
            Some(client) if !client.is_closed() => Ok(()),
            _ => {
                self.client = None;
                self.has_failed = true;
                Err(Fault::Lost("the connection was lost".to_owned()))
            }
        }
    }

    /// What became of a change whose confirmation was lost.
    fn ask_about(&mut self, change: &str, why: String) -> Result<(), Fault> {
        for _ in 0..ASKED {
            let asked = self
                .try_twice(|client, _| client.query_one("select pg_xact_status($1::text::xid8)", &[&change]));
            match asked.as_ref().map(|row| row.try_get::<_, Option<String>>(0)) {
                Ok(Ok(Some(became))) if became == "committed" => return Ok(()),
                Ok(Ok(Some(became))) if became == "aborted" => return Err(Fault::Lost(why)),
                // The server has not noticed yet that the connection is lost.
                Ok(Ok(Some(_))) => sleep(PAUSE),
                _ => break,
            }
        }
        Err(Fault::Unsure(why))
    }
}

impl Database for Server {
    fn kind(&self) -> Kind {
        Kind::PostgreSql
    }

    fn begin(&mut self, what: Begin) -> Result<i64, Fault> {
        self.change = None;
        let begin = match what {
            Begin::Change => "begin".to_owned(),
            Begin::Look => "begin isolation level repeatable read read only".to_owned(),
            Begin::Tables => format!("begin; select pg_advisory_xact_lock({TABLES_LOCK})"),
        };
        let step = match what {
            // The one row of this table is the lock that lets one change in at a time.
            Begin::Change => "select step, pg_current_xact_id()::text from reseat_store for update",
            Begin::Look => "select step, '' from reseat_store",
            Begin::Tables => "select (to_regclass('reseat_store') is not null)::int::bigint, ''",
        };
        let row = self.try_twice(|client, _| {
            // What was left open is dropped; where nothing was, this does nothing.
            client.batch_execute(&format!("rollback; {begin}"))?;
            client.query_one(step, &[])
        });
        self.has_failed = row.is_err();
        let row = row?;
        let found: i64 = row.try_get(0).map_err(|error| fault(&error))?;
        if what == Begin::Change {
            self.change = Some(row.try_get(1).map_err(|error| fault(&error))?);
        }
        if what == Begin::Tables && found == 1 {
            let steps = self.rows("select step from reseat_store", &[])?;
            return steps.first().map_or(Ok(0), |row| row.number(0));
        }
        Ok(found)
    }

    fn end(&mut self, how: End) -> Result<(), Fault> {
        let change = self.change.take();
        if how == End::Drop {
            if self.still_there().is_ok() {
                // Should it fail the connection is lost, and the server drops the transaction by itself.
                let _ = self.try_once(|client, _| client.batch_execute("rollback"));
            }
            return Ok(());
        }
        self.still_there()?;
        if self.has_failed {
            // The server would answer a commit with a rollback, without a word.
            return Err(Fault::Lost("a statement before had failed".to_owned()));
        }
        match (self.try_once(|client, _| client.batch_execute("commit")), change) {
            (Err(Fault::Lost(why)), Some(change)) => self.ask_about(&change, why),
            (ended, _) => ended,
        }
    }

    fn look(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault> {
        self.try_twice(|client, known| query(client, known, sql, given))?.iter().map(row).collect()
    }

    fn rows(&mut self, sql: &str, given: &[Value]) -> Result<Vec<Row>, Fault> {
        self.still_there()?;
        self.try_once(|client, known| query(client, known, sql, given))?.iter().map(row).collect()
    }

    fn run(&mut self, sql: &str, given: &[Value]) -> Result<u64, Fault> {
        self.still_there()?;
        self.try_once(|client, known| {
            let statement = prepared(client, known, sql)?;
            let cells = cells(&statement, given);
            let cells: Vec<&(dyn ToSql + Sync)> = cells.iter().map(AsRef::as_ref).collect();
            client.execute(&statement, &cells)
        })
    }

    fn migrate(&mut self, sql: &str, step: i64) -> Result<(), Fault> {
        self.still_there()?;
        self.try_once(|client, _| {
            client.batch_execute("create table if not exists reseat_store (step bigint not null)")?;
            client.batch_execute(sql)?;
            client.execute("delete from reseat_store", &[])?;
            client.execute("insert into reseat_store (step) values ($1)", &[&step]).map(|_| ())
        })
    }
}

fn prepared(
    client: &mut Client,
    known: &mut HashMap<String, Statement>,
    sql: &str,
) -> Result<Statement, postgres::Error> {
    if let Some(statement) = known.get(sql) {
        return Ok(statement.clone());
    }
    let statement = client.prepare(&marked(sql))?;
    known.insert(sql.to_owned(), statement.clone());
    Ok(statement)
}

fn query(
    client: &mut Client,
    known: &mut HashMap<String, Statement>,
    sql: &str,
    given: &[Value],
) -> Result<Vec<postgres::Row>, postgres::Error> {
    let statement = prepared(client, known, sql)?;
    let cells = cells(&statement, given);
    let cells: Vec<&(dyn ToSql + Sync)> = cells.iter().map(AsRef::as_ref).collect();
    client.query(&statement, &cells)
}

fn cells<'v>(statement: &Statement, given: &'v [Value]) -> Vec<Box<dyn ToSql + Sync + 'v>> {
    given.iter().zip(statement.params()).map(|(value, kind)| cell(value, kind)).collect()
}
