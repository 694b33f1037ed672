//! Photos of a job.

use crate::database::Fault;
use crate::open::{At, Store, StoreError};
use crate::value::{Row, given};

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

fn kept(row: &Row) -> Result<Photo, Fault> {
    let pixels = |column| {
        let found = row.number(column)?;
        u32::try_from(found).map_err(|_| Fault::Shape { column, expected: "a number of pixels" })
    };
    Ok(Photo {
        id: row.number(0)?,
        step: row.text(1)?,
        width: pixels(2)?,
        height: pixels(3)?,
        at: At(row.number(4)?),
    })
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
        self.change("keep a photo in", |tx| {
            tx.first("select 1 from job where id = ?1", given![job], |_| Ok(()))?
                .ok_or_else(|| StoreError::Missing { what: "job", id: job.to_owned() })?;
            let id = tx.first("select coalesce(max(id), 0) + 1 from photo", &[], |row| row.number(0))?.unwrap_or(1);
            tx.run(
                "insert into photo (id, job, step, jpeg, width, height, at) values (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                given![id, job, step, jpeg, i64::from(width), i64::from(height), at.0],
            )?;
            Ok(id)
        })
    }

    /// Photos of a job, in the order in which they came.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn photos(&mut self, job: &str) -> Result<Vec<Photo>, StoreError> {
        self.list(
            "list the photos in",
            "select id, step, width, height, at from photo where job = ?1 order by id",
            given![job],
            kept,
        )
    }

    /// The picture of a photo of this job.
    ///
    /// # Errors
    /// It is not there, or the store cannot be read.
    pub fn jpeg(&mut self, job: &str, id: i64) -> Result<Vec<u8>, StoreError> {
        self.first(
            "read a photo from",
            "select jpeg from photo where id = ?1 and job = ?2",
            given![id, job],
            |row| row.bytes(0),
        )?
        .ok_or_else(|| StoreError::Missing { what: "photo", id: id.to_string() })
    }
}
