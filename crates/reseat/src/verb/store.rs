//! `store`: back-up and restore as plain files, and where the store is.

use std::path::{Path, PathBuf};

use serde_json::json;
use store::backup::Written;
use store::open::Store;
use store::place::{NoAddress, Place};

use crate::args::bench::{StoreAction, StoreArg, StoreArgs};
use crate::exit::{Exit, Failure};
use crate::verb::file::{print, print_json};

/// Where PostgreSQL's own programs take a password from that is not in the address.
const PASSWORD: &str = "PGPASSWORD";

/// Why there is no store.
#[derive(Debug, thiserror::Error)]
enum NoStore {
    #[error(
        "there is no place for the store: neither XDG_DATA_HOME nor HOME is set; name a file with --store"
    )]
    NoPlace,
    #[error(transparent)]
    Address(#[from] NoAddress),
    #[error("cannot make the folder {}", path.display())]
    Folder { path: PathBuf, source: std::io::Error },
    #[error("there is no store at {}: the page makes it when it is first started", .0.display())]
    NotThere(PathBuf),
}

/// Where the store is: the named place, or a file in the user's data folder (XDG Base Directory Specification 0.8).
fn place(wanted: &StoreArg) -> Result<Place, NoStore> {
    if let Some(named) = &wanted.store {
        return Ok(match named.parse()? {
            Place::Server(address) => {
                Place::Server(address.with_password(std::env::var(PASSWORD).ok().as_deref()))
            }
            file @ Place::File(_) => file,
        });
    }
    let set = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let data = set("XDG_DATA_HOME").or_else(|| set("HOME").map(|home| home.join(".local/share")));
    data.map(|data| Place::File(data.join("reseat/bench.db"))).ok_or(NoStore::NoPlace)
}

fn make_folder(file: &Path) -> Result<(), NoStore> {
    match file.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        Some(parent) => std::fs::create_dir_all(parent)
            .map_err(|source| NoStore::Folder { path: parent.to_owned(), source }),
        None => Ok(()),
    }
}

/// Tells that what goes to a server on another computer can be read on its way.
fn warn(place: &Place) {
    if let Place::Server(address) = place
        && address.leaves_this_computer()
    {
        eprintln!(
            "note: what goes between this bench and {address} is not encrypted on its way (a password is not sent as \
it is): use a network you trust, or a tunnel"
        );
    }
}

/// The store, made where it is not there yet.
pub(crate) fn open(wanted: &StoreArg) -> Result<Store, Failure> {
    let place = place(wanted)?;
    if let Place::File(file) = &place {
        make_folder(file)?;
    }
    warn(&place);
    Ok(Store::open_at(&place)?)
}

fn there(wanted: &StoreArg) -> Result<(Place, Store), Failure> {
    let place = place(wanted)?;
    if let Place::File(file) = &place
        && !file.exists()
    {
        return Err(NoStore::NotThere(file.clone()).into());
    }
    warn(&place);
    let store = Store::open_at(&place)?;
    Ok((place, store))
}

fn tell(wanted: &StoreArgs, written: Written, words: &str, to: &str) {
    let Written { machines, jobs, photos } = written;
    if wanted.json {
        print_json(&json!({ "machines": machines, "jobs": jobs, "photos": photos, "to": to }));
    } else {
        print(&format!("{machines} machines, {jobs} jobs and {photos} photos are {words} {to}.\n"));
    }
}

pub(crate) fn run(wanted: &StoreArgs) -> Result<Exit, Failure> {
    match &wanted.action {
        StoreAction::Backup { folder } => {
            let (_, mut store) = there(&wanted.store)?;
            tell(wanted, store.back_up(folder)?, "in", &folder.display().to_string());
        }
        StoreAction::Restore { folder } => {
            let written = open(&wanted.store)?.restore(folder)?;
            tell(wanted, written, "restored into", &place(&wanted.store)?.to_string());
        }
        StoreAction::Where => {
            let (place, mut store) = there(&wanted.store)?;
            let (machines, jobs) = (store.machines()?.len(), store.jobs(None)?.len());
            if wanted.json {
                let kind = match place {
                    Place::File(_) => "file",
                    Place::Server(_) => "server",
                };
                print_json(
                    &json!({ "place": place.to_string(), "kind": kind, "machines": machines, "jobs": jobs }),
                );
            } else {
                print(&format!("{place}: {machines} machines on the bench, {jobs} jobs\n"));
            }
        }
    }
    Ok(Exit::Done)
}
