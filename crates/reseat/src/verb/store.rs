//! `store`: back-up and restore as plain files.

use std::path::{Path, PathBuf};

use store::open::Store;

use crate::args::bench::{StoreAction, StoreArg, StoreArgs};
use crate::exit::{Exit, Failure};
use crate::verb::file::print;

/// Why there is no store.
#[derive(Debug, thiserror::Error)]
enum NoStore {
    #[error(
        "there is no place for the store: neither XDG_DATA_HOME nor HOME is set; name a file with --store"
    )]
    NoPlace,
    #[error("cannot make the folder {}", path.display())]
    Folder { path: PathBuf, source: std::io::Error },
    #[error("there is no store at {}: the page makes it when it is first started", .0.display())]
    NotThere(PathBuf),
}

/// The file of the store: the named one, or the one in the user's data folder (XDG Base Directory Specification 0.8).
fn place(wanted: &StoreArg) -> Result<PathBuf, NoStore> {
    if let Some(file) = &wanted.store {
        return Ok(file.clone());
    }
    let set = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let data = set("XDG_DATA_HOME").or_else(|| set("HOME").map(|home| home.join(".local/share")));
    data.map(|data| data.join("reseat/bench.db")).ok_or(NoStore::NoPlace)
}

fn make_folder(file: &Path) -> Result<(), NoStore> {
    match file.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        Some(parent) => std::fs::create_dir_all(parent)
            .map_err(|source| NoStore::Folder { path: parent.to_owned(), source }),
        None => Ok(()),
    }
}

/// The store, made where it is not there yet.
pub(crate) fn open(wanted: &StoreArg) -> Result<Store, Failure> {
    let file = place(wanted)?;
    make_folder(&file)?;
    Ok(Store::open(&file)?)
}

fn there(wanted: &StoreArg) -> Result<(PathBuf, Store), Failure> {
    let file = place(wanted)?;
    if !file.exists() {
        return Err(NoStore::NotThere(file).into());
    }
    let store = Store::open(&file)?;
    Ok((file, store))
}

pub(crate) fn run(wanted: &StoreArgs) -> Result<Exit, Failure> {
    match &wanted.action {
        StoreAction::Backup { folder } => {
            let (_, mut store) = there(&wanted.store)?;
            let written = store.back_up(folder)?;
            print(&format!(
                "{} machines, {} jobs and {} photos are in {}.\n",
                written.machines,
                written.jobs,
                written.photos,
                folder.display()
            ));
        }
        StoreAction::Restore { folder } => {
            let written = open(&wanted.store)?.restore(folder)?;
            print(&format!(
                "{} machines, {} jobs and {} photos are restored into {}.\n",
                written.machines,
                written.jobs,
                written.photos,
                place(&wanted.store)?.display()
            ));
        }
        StoreAction::Where => {
            let (file, store) = there(&wanted.store)?;
            let (machines, jobs) = (store.machines()?.len(), store.jobs(None)?.len());
            print(&format!("{}: {machines} machines on the bench, {jobs} jobs\n", file.display()));
        }
    }
    Ok(Exit::Done)
}
