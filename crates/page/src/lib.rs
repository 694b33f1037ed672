//! The local page: server-rendered, listening on loopback, asking for nothing from outside.
//!
//! Every page works without scripts. A handler is a plain function from what was asked to an answer
//! ([`ask::Ask`], [`answer::Answer`]); [`router`] lists them. [`guard`] refuses what does not come from the page
//! itself, [`phone`] is the small part of it that a paired phone may see.

pub mod answer;
pub mod app;
pub mod ask;
pub mod clock;
pub mod door;
pub mod frame;
pub mod guard;
pub mod keeping;
pub mod kept;
pub mod library;
pub mod observing;
pub mod pages;
pub mod pairing;
pub mod phone;
pub mod photo;
pub mod router;
pub mod serve;
pub mod soaking;
pub mod work;
