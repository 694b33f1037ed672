//! Words for the page and its store.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use super::LibraryArg;

/// Where the store is.
#[derive(Debug, ClapArgs)]
pub(crate) struct StoreArg {
    /// File in which everything is kept, instead of the one in the user's data folder.
    #[arg(long, value_name = "FILE", global = true)]
    pub(crate) store: Option<PathBuf>,
}

/// Serve the page.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat page                     serve it on this computer only, and print its address
  reseat page --phone             let paired phones on this network tick job sheets too
  reseat page --store bench.db    keep everything in this file

It listens on loopback; only with --phone also on your network, and there answers paired phones alone. What a phone
sends is not encrypted on its way: pair on a network you trust. End it with Ctrl-C; everything is kept.")]
pub(crate) struct Page {
    #[command(flatten)]
    pub(crate) store: StoreArg,
    #[command(flatten)]
    pub(crate) library: LibraryArg,
    /// Port; 0 takes any that is free.
    #[arg(long, default_value_t = 7878)]
    pub(crate) port: u16,
    /// Also listen for paired phones on this address of this computer; found by itself where none is given.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1)]
    pub(crate) phone: Option<Option<IpAddr>>,
}

/// Back up or restore.
#[derive(Debug, ClapArgs)]
pub(crate) struct StoreArgs {
    #[command(subcommand)]
    pub(crate) action: StoreAction,
    #[command(flatten)]
    pub(crate) store: StoreArg,
}

#[derive(Debug, Subcommand)]
pub(crate) enum StoreAction {
    /// Write everything into a new folder as plain files: TOML, JSON, JPEG.
    #[command(after_help = "Example:
  reseat store backup bench-2026-11")]
    Backup {
        /// Folder, made anew.
        folder: PathBuf,
    },
    /// Put a back-up into a new, empty store.
    #[command(after_help = "Example:
  reseat store restore bench-2026-11 --store new.db")]
    Restore {
        /// Folder that a back-up made.
        folder: PathBuf,
    },
    /// Say where the store is and what is in it.
    Where,
}
