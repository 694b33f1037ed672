//! Bytes to values: parts files, machine files, surveys, logs and the embedded demo.
//!
//! Reading never stops at the first problem: it gives every value it could read and every problem
//! it found, each with its place ([`problem::Problem`]). The same functions that read a kind of
//! file also describe it, so that the JSON Schema cannot differ from what is accepted
//! ([`fields::Fields`]).

pub mod csv_tree;
pub mod demo;
pub mod encoding;
pub mod fields;
pub mod folder;
pub mod imported;
pub mod leaf;
pub mod library;
pub mod lint;
pub mod machine;
pub mod node;
pub mod observation;
pub mod part;
pub mod problem;
pub mod range;
pub mod report;
pub mod schema;
pub mod soak_log;
pub mod toml_tree;
