//! Bringing a store's tables up to date, one numbered step after another.

use rusqlite::{Connection, TransactionBehavior};

/// The steps, in their order; a step that was once published is never changed.
const STEPS: [&str; 2] = [include_str!("../migrations/1.sql"), include_str!("../migrations/2.sql")];

/// Number of the newest step.
pub const NEWEST: i64 = STEPS.len() as i64;

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
        source: rusqlite::Error,
    },
}

/// Step that the tables are at; none yet is zero.
fn step_of(connection: &Connection) -> Result<i64, rusqlite::Error> {
    connection.query_row("pragma user_version", [], |row| row.get(0))
}

/// Brings the tables up to date; all steps or none.
///
/// # Errors
/// The store is newer than this program, or a step fails.
pub fn migrate(connection: &mut Connection) -> Result<(), MigrateError> {
    let at = |step| move |source| MigrateError::Step { step, source };
    // Taken for writing at once, so that two programs that start together do not both migrate.
    let found = step_of(connection).map_err(at(0))?;
    if found > NEWEST {
        return Err(MigrateError::Newer { found });
    }
    if found == NEWEST {
        return Ok(());
    }
    let transaction =
        connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(at(found))?;
    let mut step = step_of(&transaction).map_err(at(found))?;
    for sql in STEPS.iter().skip(usize::try_from(step).unwrap_or(0)) {
        transaction.execute_batch(sql).map_err(at(step + 1))?;
        step += 1;
    }
    transaction.pragma_update(None, "user_version", step).map_err(at(step))?;
    transaction.commit().map_err(at(step))
}
