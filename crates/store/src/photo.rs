//! Photos of a job.

use rusqlite::{OptionalExtension as _, params};

use crate::open::{At, Store, StoreError, access};

/// A photo without its picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Number.
    pub id: i64,
    /// Step it belongs to.
    pub step: String,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// When it was taken in.
    pub at: At,
}

impl Store {
    /// Keeps a photo of a job; gives its number.
    ///
    /// # Errors
    /// The job is not there, or the store cannot be written.
    pub fn add_photo(
        &mut self,
        job: &str,
        step: &str,
        jpeg: &[u8],
        (width, height): (u32, u32),
        at: At,
    ) -> Result<i64, StoreError> {
        self.job(job)?;
        self.connection
            .execute(
                "insert into photo (job, step, jpeg, width, height, at) values (?1, ?2, ?3, ?4, ?5, ?6)",
                params![job, step, jpeg, width, height, at.0],
            )
            .map_err(access("keep a photo in"))?;
        Ok(self.connection.last_insert_rowid())
    }

    /// Photos of a job, in the order in which they came.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn photos(&self, job: &str) -> Result<Vec<Photo>, StoreError> {
        self.list(
            "list the photos in",
            "select id, step, width, height, at from photo where job = ?1 order by id",
            [job],
            |row| {
                Ok(Photo {
                    id: row.get(0)?,
                    step: row.get(1)?,
                    width: row.get(2)?,
                    height: row.get(3)?,
                    at: At(row.get(4)?),
                })
            },
        )
    }

    /// The picture of a photo of this job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn jpeg(&self, job: &str, id: i64) -> Result<Vec<u8>, StoreError> {
        self.connection
            .query_row("select jpeg from photo where id = ?1 and job = ?2", params![id, job], |row| {
                row.get(0)
            })
            .optional()
            .map_err(access("read a photo from"))?
            .ok_or_else(|| StoreError::Missing { what: "photo", id: id.to_string() })
    }
}
