//! Bytes to values: parts files, machine files, surveys, logs and the embedded demo.
