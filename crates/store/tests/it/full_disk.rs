//! A full disk: told in plain words, nothing half-applied, and what was acknowledged is there.
//!
//! Always tested: a limit on the size of files, set by the shell for a process of its own. Tested where `.ci/checks/full-disk`
//! could make a small disk: that disk, for the file and for the server.

use std::io::Write as _;
use std::path::Path;
use std::process::Command;

use store::entry::{EntryKind, NewEntry};
use store::open::{At, Store, StoreError};
use store::place::Place;

use crate::fresh::tempdir;

const FILE: &str = "RESEAT_TEST_LIMITED";
/// A folder on a small disk.
const SMALL_DISK: &str = "RESEAT_TEST_SMALL_DISK";
/// A server whose tables are on a small disk.
const SMALL_SERVER: &str = "RESEAT_TEST_SMALL_SERVER";
/// Photos of one kilobyte and more, until it is full.
const MOST: usize = 5000;

fn note(number: usize, which: usize) -> NewEntry {
    NewEntry {
        key: format!("{number}-{which}"),
        step: "s".into(),
        kind: EntryKind::Note,
        text: "x".repeat(3000),
        device: "d".into(),
    }
}

/// Bytes that no database makes smaller (a linear congruence; its multiplier from memory).
fn noise(seed: usize) -> Vec<u8> {
    let mut state = seed as u64;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (state >> 56) as u8
    };
    (0..20_000).map(|_| next()).collect()
}

/// Writes three notes at once and a photo, again and again, until it is full; gives how many rounds of each were
/// acknowledged, and what was said then.
fn fill(store: &mut Store, job: &str) -> (usize, usize, StoreError) {
    let (mut notes, mut photos) = (0, 0);
    loop {
        let three: Vec<NewEntry> = (0..3).map(|which| note(notes, which)).collect();
        if let Err(error) = store.add_entries(job, &three, At(1)) {
            return (notes, photos, error);
        }
        notes += 1;
        if let Err(error) = store.add_photo(job, "s", &noise(photos), (1, 1), At(1)) {
            return (notes, photos, error);
        }
        photos += 1;
        assert!(photos < MOST, "it never was full");
    }
}

fn begun(store: &mut Store) -> String {
    let machine = store.add_machine("m", "text", "typed", At(0)).unwrap();
    store.begin_job(&machine, &[], "t", At(0)).unwrap()
}

fn words(error: &StoreError) -> String {
    let source = std::error::Error::source(error).map(ToString::to_string).unwrap_or_default();
    format!("{error} because {source}")
}

fn whole(store: &mut Store, job: &str, notes: usize, photos: usize) {
    assert_eq!(store.entries(job, 0).unwrap().len(), 3 * notes, "three at once or none");
    assert_eq!(store.photos(job).unwrap().len(), photos);
}

#[test]
fn a_limit_on_files() {
    if let Some(file) = std::env::var_os(FILE) {
        let mut store = Store::open(Path::new(&file)).unwrap();
        let job = begun(&mut store);
        let (notes, photos, error) = fill(&mut store, &job);
        // Looking still works.
        whole(&mut store, &job, notes, photos);
        println!("outcome {job} {notes} {photos} {}", words(&error));
        std::io::stdout().flush().unwrap();
        return;
    }
    let folder = tempdir("limit");
    let file = folder.join("bench.sqlite");
    let output = Command::new("sh")
        // A write beyond the limit is refused then, rather than the process killed.
        .args(["-c", "trap '' XFSZ; ulimit -f 6000; exec \"$0\" \"$@\""])
        .arg(std::env::current_exe().unwrap())
        .args(["full_disk::a_limit_on_files", "--exact", "--nocapture"])
        .env(FILE, &file)
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&output.stdout);
    let said = text.split("outcome ").nth(1).unwrap_or_else(|| panic!("{output:?}"));
    let words: Vec<&str> = said.lines().next().unwrap().splitn(4, ' ').collect();
    assert!(
        words[3].contains("the disk did not take it") && words[3].contains("nothing was changed"),
        "{said}"
    );
    // Without the limit everything that was acknowledged is there, and it goes on.
    let mut store = Store::open(&file).unwrap();
    whole(&mut store, words[0], words[1].parse().unwrap(), words[2].parse().unwrap());
    store.add_photo(words[0], "s", &[1; 50_000], (1, 1), At(2)).unwrap();
    std::fs::remove_dir_all(folder).unwrap();
}

/// Fills the place, and looks again through a connection of its own.
fn full(place: &Place) {
    let mut store = Store::open_at(place).unwrap();
    let job = begun(&mut store);
    let (notes, photos, error) = fill(&mut store, &job);
    let told = words(&error);
    assert!(told.contains("no room left") && told.contains("nothing was changed"), "{told}");
    whole(&mut store, &job, notes, photos);
    drop(store);
    whole(&mut Store::open_at(place).unwrap(), &job, notes, photos);
}

#[test]
fn a_small_disk() {
    match std::env::var(SMALL_DISK) {
        Ok(folder) => full(&Place::File(Path::new(&folder).join("bench.sqlite"))),
        Err(_) => eprintln!("passed over: {SMALL_DISK} names no small disk"),
    }
}

#[test]
fn a_server_on_a_small_disk() {
    match std::env::var(SMALL_SERVER) {
        Ok(address) => full(&address.parse().unwrap()),
        Err(_) => eprintln!("passed over: {SMALL_SERVER} names no server on a small disk"),
    }
}
