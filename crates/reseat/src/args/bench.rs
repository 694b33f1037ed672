//! Words for the page and its store.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use super::LibraryArg;

/// Where the store is.
#[derive(Debug, ClapArgs)]
pub(crate) struct StoreArg {
    /// File in which everything is kept, instead of the one in the user's data folder; or the address of a PostgreSQL
    /// server that several benches share, as in postgres://anna@bench-1/reseat.
    #[arg(long, value_name = "PLACE", global = true)]
    // Read by the verb: the parser of the command line would repeat a bad address, with its password.
    pub(crate) store: Option<String>,
}

/// Serve the page.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat page                     serve it on this computer only, and print its address
  reseat page --phone             let paired phones on this network tick job sheets too
  reseat page --store bench.db    keep everything in this file
  reseat page --store postgres://anna@bench-1/reseat    share a store with other benches

The address it prints ends in a secret of this run; only who has it gets in. It listens on loopback; only with --phone
also on your network, and there answers paired phones alone. What a phone sends, and what goes to a server on another
computer, is not encrypted on its way: use a network you trust. A server's password is best left out of the address
and given as PGPASSWORD. End it with Ctrl-C; everything is kept.")]
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
    /// Read the sensors of a soak below this folder instead of this machine's.
    #[arg(long, value_name = "DIR")]
    pub(crate) sensors: Option<PathBuf>,
    /// Print the address as JSON, on one line.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Back up or restore.
#[derive(Debug, ClapArgs)]
pub(crate) struct StoreArgs {
    #[command(subcommand)]
    pub(crate) action: StoreAction,
    #[command(flatten)]
    pub(crate) store: StoreArg,
    /// Print what was done, or what is there, as JSON.
    #[arg(long, global = true)]
    pub(crate) json: bool,
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
  reseat store restore bench-2026-11 --store new.db
  reseat store restore bench-2026-11 --store postgres://anna@bench-1/reseat")]
    Restore {
        /// Folder that a back-up made.
        folder: PathBuf,
    },
    /// Say where the store is and what is in it.
    Where,
}
