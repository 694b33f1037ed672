//! The records of the bench in a database, with migrations and plain-file backup.
