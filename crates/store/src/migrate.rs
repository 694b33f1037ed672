//! Bringing a store's tables up to date, one numbered step after another.

use crate::database::{Begin, Database, End, Fault, Kind};

/// The steps in their order, for both kinds of database; a step that was once published is never changed.
const STEPS: [Step; 2] = [
    Step {
        sqlite: include_str!("../migrations/sqlite/1.sql"),
        postgresql: include_str!("../migrations/postgresql/1.sql"),
    },
    Step {
        sqlite: include_str!("../migrations/sqlite/2.sql"),
        postgresql: include_str!("../migrations/postgresql/2.sql"),
    },
];

/// Number of the newest step.
pub const NEWEST: i64 = STEPS.len() as i64;

/// One step.
#[derive(Debug)]
struct Step {
    sqlite: &'static str,
    postgresql: &'static str,
}

/// Why a store cannot be brought up to date.
#[derive(Debug, thiserror::Error)]
pub enum MigrateError {
    /// A newer version of the program wrote it.
    #[error(
        "it was written by a newer version of reseat (tables of step {found}, this version knows {NEWEST}): use that version"
    )]
    Newer {
        /// Step of the tables that were found.
        found: i64,
    },
    /// A step failed; the store is as it was before.
    #[error("step {step} failed; nothing was changed")]
    Step {
        /// Number of the step.
        step: i64,
        /// What the database said.
        source: Fault,
    },
}

/// Whether tables of this step can be used.
///
/// # Errors
/// A newer version of the program wrote them.
pub(crate) fn known(found: i64) -> Result<i64, MigrateError> {
    if found > NEWEST { Err(MigrateError::Newer { found }) } else { Ok(found) }
}

/// Brings the tables up to date; all steps or none.
///
/// # Errors
/// The store is newer than this program, or a step fails.
pub(crate) fn migrate(database: &mut dyn Database) -> Result<(), MigrateError> {
    // Taken for writing at once, so that two programs that start together do not both migrate.
    let found = database.begin(Begin::Tables).map_err(|source| MigrateError::Step { step: 0, source })?;
    let done = steps_from(database, found);
    let how = match &done {
        Ok(step) if *step > found => End::Keep,
        _ => End::Drop,
    };
    let ended = database.end(how).map_err(|source| MigrateError::Step { step: NEWEST, source });
    done.and(ended)
}

fn steps_from(database: &mut dyn Database, found: i64) -> Result<i64, MigrateError> {
    let mut step = known(found)?;
    for next in STEPS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        step += 1;
        let sql = match database.kind() {
            Kind::Sqlite => next.sqlite,
            Kind::PostgreSql => next.postgresql,
        };
        database.migrate(sql, step).map_err(|source| MigrateError::Step { step, source })?;
    }
    Ok(step)
}
