//! Jobs: one route on one machine.

use crate::database::Fault;
use crate::open::{At, Store, StoreError};
use crate::value::{Row, given};

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

fn kept(row: &Row) -> Result<KeptJob, Fault> {
    Ok(KeptJob {
        id: row.text(0)?,
        machine: row.text(1)?,
        revision: row.number(2)?,
        parts: row.text(3)?.split_whitespace().map(str::to_owned).collect(),
        title: row.text(4)?,
        begun_at: At(row.number(5)?),
        closed_at: row.maybe_number(6)?.map(At),
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
        self.change("begin a job in", |tx| {
            let revision = tx
                .first("select revision from machine where id = ?1 and removed = 0", given![machine], |row| {
                    row.number(0)
                })?
                .ok_or_else(|| StoreError::Missing { what: "machine", id: machine.to_owned() })?;
            let number = tx.first("select count(*) + 1 from job where machine = ?1", given![machine], |row| {
                row.number(0)
            })?;
            // A machine's name may end like another's job.
            let id = format!("{machine}-job-{}", number.unwrap_or(1));
            tx.run(
                "insert into job (id, machine, revision, parts, title, begun_at) values (?1, ?2, ?3, ?4, ?5, ?6)",
                given![&id, machine, revision, &parts.join(" "), title, at.0],
            )?;
            Ok(id)
        })
    }

    /// One job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn job(&mut self, id: &str) -> Result<KeptJob, StoreError> {
        self.first("read a job from", &format!("{COLUMNS} where id = ?1"), given![id], kept)?
            .ok_or_else(|| StoreError::Missing { what: "job", id: id.to_owned() })
    }

    /// All jobs, last begun first; of one machine where it is named.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn jobs(&mut self, machine: Option<&str>) -> Result<Vec<KeptJob>, StoreError> {
        self.list(
            "list the jobs in",
            &format!(
                "{COLUMNS} where cast(?1 as text) is null or machine = ?1 order by begun_at desc, id desc"
            ),
            given![machine],
            kept,
        )
    }

    /// Closes a job, or opens it again.
    ///
    /// # Errors
    /// It is not there, or the store cannot be written.
    pub fn close_job(&mut self, id: &str, closed_at: Option<At>) -> Result<(), StoreError> {
        let changed = self.change("close a job in", |tx| {
            tx.run("update job set closed_at = ?2 where id = ?1", given![id, closed_at.map(|at| at.0)])
        })?;
        if changed == 0 {
            return Err(StoreError::Missing { what: "job", id: id.to_owned() });
        }
        Ok(())
    }
}
