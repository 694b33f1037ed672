//! Back-up and restore as plain files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use store::backup::{BackupError, Written};
use store::entry::{EntryKind, NewEntry};
use store::open::{At, Store};
use store::restore::RestoreError;
use store::soak_log::Side;

use crate::fresh::tempdir;
use crate::fresh::{Fresh, On, on_both};

fn filled() -> Store {
    fill(Store::in_memory().unwrap())
}

fn fill(mut store: Store) -> Store {
    let id = store.add_machine("Studio \u{202e}\u{1f642}", "name = \"a\"\n", "typed", At(1)).unwrap();
    store.change_machine(&id, 1, ("Studio", "name = \"b\"\n"), "set", At(2)).unwrap();
    let job = store.begin_job(&id, &["x".into()], "X", At(3)).unwrap();
    let note = NewEntry {
        key: "k".into(),
        step: "paste".into(),
        kind: EntryKind::Note,
        text: "<b>\"quoted\"\nand more".into(),
        device: "bench".into(),
    };
    store.add_entries(&job, &[note], At(4)).unwrap();
    store.add_photo(&job, "paste", &[0xff, 0xd8, 0, 1], (3, 2), At(5)).unwrap();
    store.add_soak_log(&job, Side::Before, ("soak.csv", "time s,package °C\n0,30\n"), At(5)).unwrap();
    store.set_own_parts("own.toml", 0, "# mine\n", At(6)).unwrap();
    store
}

/// Every file of a back-up with its bytes.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for one in std::fs::read_dir(folder).unwrap() {
        let path = one.unwrap().path();
        if path.is_dir() {
            let inner =
                files(&path).into_iter().map(|(name, bytes)| (path.file_name().unwrap().into(), name, bytes));
            found.extend(
                inner.map(|(folder, name, bytes): (PathBuf, PathBuf, Vec<u8>)| (folder.join(name), bytes)),
            );
        } else {
            found.insert(path.file_name().unwrap().into(), std::fs::read(&path).unwrap());
        }
    }
    found
}

on_both! {
fn what_is_restored_is_what_was_backed_up(fresh: &Fresh) {
    // From this kind of store to the other and back again, byte for byte the same.
    let mut store = fill(fresh.store());
    let folder = &fresh.folder;
    let written = store.back_up(&folder.join("first")).unwrap();
    assert_eq!(written, Written { machines: 1, jobs: 1, photos: 1 });
    let other = if fresh.on == On::File { On::Server } else { On::File };
    let other = Fresh::new(other, concat!(module_path!(), "_o"));
    let mut between = other.as_ref().map_or_else(|| Store::in_memory().unwrap(), Fresh::store);
    assert_eq!(between.restore(&folder.join("first")).unwrap(), written);
    let job = between.jobs(None).unwrap().remove(0);
    assert_eq!(between.entries(&job.id, 0).unwrap(), store.entries(&job.id, 0).unwrap());
    assert_eq!(between.jpeg(&job.id, 1).unwrap(), [0xff, 0xd8, 0, 1]);
    between.back_up(&folder.join("second")).unwrap();
    assert_eq!(files(&folder.join("first")), files(&folder.join("second")));
    assert_eq!(files(&folder.join("first")).len(), 6);
    // What is added afterwards is numbered after what was restored.
    assert_eq!(between.add_photo(&job.id, "paste", &[1], (1, 1), At(7)).unwrap(), 2);
}
}

on_both! {
fn a_back_up_from_before_there_were_soak_logs_is_restored(fresh: &Fresh) {
    let folder = &fresh.folder;
    filled().back_up(&folder.join("there")).unwrap();
    let file = folder.join("there/store.json");
    let mut index: serde_json::Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    index.as_object_mut().unwrap().remove("soak_log").unwrap();
    std::fs::write(&file, index.to_string()).unwrap();
    let mut store = fresh.store();
    assert_eq!(store.restore(&folder.join("there")).unwrap().jobs, 1);
    let job = store.jobs(None).unwrap().remove(0);
    assert!(store.soak_logs(&job.id).unwrap().is_empty());
}
}

#[test]
fn a_back_up_overwrites_nothing_and_a_restore_neither() {
    let folder = tempdir("over");
    let mut store = filled();
    store.back_up(&folder.join("there")).unwrap();
    assert!(matches!(store.back_up(&folder.join("there")), Err(BackupError::Exists(_))));
    assert!(matches!(store.restore(&folder.join("there")), Err(RestoreError::NotEmpty)));
    std::fs::remove_dir_all(folder).unwrap();
}

on_both! {
fn a_damaged_back_up_is_told_and_changes_nothing(fresh: &Fresh) {
    let folder = &fresh.folder;
    filled().back_up(&folder.join("good")).unwrap();
    let index = std::fs::read_to_string(folder.join("good/store.json")).unwrap();
    for (what, damaged) in [
        ("a path that leaves the folder", index.replace("photos/1.jpg", "../../photos/1.jpg")),
        ("a file that is not there", index.replace("parts/1.toml", "parts/7.toml")),
        ("another form", index.replace("\"form\": 1", "\"form\": 2")),
        ("half of it", index[..index.len() / 2].to_owned()),
        ("no table", index.replace("\"entry\"", "\"entries\"")),
    ] {
        assert_ne!(damaged, index, "{what} changes the index");
        std::fs::write(folder.join("good/store.json"), damaged).unwrap();
        let mut store = fresh.store();
        assert!(store.restore(&folder.join("good")).is_err(), "{what}");
        assert!(store.machines().unwrap().is_empty(), "{what}");
    }
}
}
