//! What the desk answers, against sources outside the project.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod demo;
mod heat;
mod joint;
mod power;
mod proof;
mod reference_cases;
mod routes;
mod rules;
mod sheets;
mod soak_bench;
