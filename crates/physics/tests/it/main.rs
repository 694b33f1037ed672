//! What holds for every model: any number is answered or refused, never with nonsense or a panic.
mod buck;
mod circuit;
mod conduction;
mod identification;
mod invariants;
mod layered_kind;
mod layered_truth;
mod paste;
mod power;
mod refusals;
mod regression;
mod warming;
