//! Jobs: one route on one machine.

use rusqlite::{OptionalExtension as _, TransactionBehavior, params};

use crate::open::{At, Store, StoreError, access};

/// A job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptJob {
    /// Id.
    pub id: String,
    /// Machine.
    pub machine: String,
    /// Revision of the machine's record when the job was begun: the machine as it was found.
    pub revision: i64,
    /// Ids of the parts that are changed.
    pub parts: Vec<String>,
    /// What it is called.
    pub title: String,
    /// When it was begun.
    pub begun_at: At,
    /// When it was closed.
    pub closed_at: Option<At>,
}

const COLUMNS: &str = "select id, machine, revision, parts, title, begun_at, closed_at from job";

fn kept(row: &rusqlite::Row<'_>) -> rusqlite::Result<KeptJob> {
    let parts: String = row.get(3)?;
    Ok(KeptJob {
        id: row.get(0)?,
        machine: row.get(1)?,
        revision: row.get(2)?,
        parts: parts.split_whitespace().map(str::to_owned).collect(),
        title: row.get(4)?,
        begun_at: At(row.get(5)?),
        closed_at: row.get::<_, Option<i64>>(6)?.map(At),
    })
}

impl Store {
    /// Begins a job on a machine as its record stands; gives the job's id.
    ///
    /// # Errors
    /// The machine is not there, or the store cannot be written.
    pub fn begin_job(
        &mut self,
        machine: &str,
        parts: &[String],
        title: &str,
        at: At,
    ) -> Result<String, StoreError> {
        let failed = access("begin a job in");
        let tx =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(&failed)?;
        let revision: i64 = tx
            .query_row("select revision from machine where id = ?1 and removed = 0", [machine], |row| {
                row.get(0)
            })
            .optional()
            .map_err(&failed)?
            .ok_or_else(|| StoreError::Missing { what: "machine", id: machine.to_owned() })?;
        let number: i64 = tx
            .query_row("select count(*) + 1 from job where machine = ?1", [machine], |row| row.get(0))
            .map_err(&failed)?;
        // A machine's name may end like another's job.
        let id = format!("{machine}-job-{number}");
        tx.execute(
            "insert into job (id, machine, revision, parts, title, begun_at) values (?1, ?2, ?3, ?4, ?5, ?6)",
            params![id, machine, revision, parts.join(" "), title, at.0],
        )
        .map_err(&failed)?;
        tx.commit().map_err(&failed)?;
        Ok(id)
    }

    /// One job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn job(&self, id: &str) -> Result<KeptJob, StoreError> {
        self.connection
            .query_row(&format!("{COLUMNS} where id = ?1"), [id], kept)
            .optional()
            .map_err(access("read a job from"))?
            .ok_or_else(|| StoreError::Missing { what: "job", id: id.to_owned() })
    }

    /// All jobs, last begun first; of one machine where it is named.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn jobs(&self, machine: Option<&str>) -> Result<Vec<KeptJob>, StoreError> {
        self.list(
            "list the jobs in",
            &format!("{COLUMNS} where ?1 is null or machine = ?1 order by begun_at desc, id desc"),
            [machine],
            kept,
        )
    }

    /// Closes a job, or opens it again.
    ///
    /// # Errors
    /// It is not there, or the store cannot be written.
    pub fn close_job(&mut self, id: &str, closed_at: Option<At>) -> Result<(), StoreError> {
        let changed = self
            .connection
            .execute("update job set closed_at = ?2 where id = ?1", params![id, closed_at.map(|at| at.0)])
            .map_err(access("close a job in"))?;
        if changed == 0 {
            return Err(StoreError::Missing { what: "job", id: id.to_owned() });
        }
        Ok(())
    }
}
