//! Calls into the library that must come back whatever the bytes are.

use std::panic::{AssertUnwindSafe, catch_unwind};

use parquet::errors::ParquetError;

/// Runs a call of the library; where it panics, the bytes were broken in a way that it does not check, and that is an error.
///
/// # Model
/// Lengths and places that are impossible are refused before the library sees them. What remains are pages whose parts
/// contradict each other; there the library asserts (as of version 60.1: a page packed by a dictionary that the column
/// does not have). What the call changed is thrown away with the reader, so that nothing half-changed is seen afterwards.
pub(crate) fn contained<T>(call: impl FnOnce() -> Result<T, ParquetError>) -> Result<T, ParquetError> {
    catch_unwind(AssertUnwindSafe(call))
        .unwrap_or_else(|_| Err(ParquetError::General("its parts contradict each other".to_owned())))
}
