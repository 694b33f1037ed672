//! Back-up and restore as plain files.

use store::backup::{BackupError, Written};
use store::entry::{EntryKind, NewEntry};
use store::open::{At, Store};
use store::restore::RestoreError;
use store::soak_log::Side;

use super::keeping::tempdir;

fn filled() -> Store {
    let mut store = Store::in_memory().unwrap();
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
    store.set_own_parts("own.toml", "# mine\n", At(6)).unwrap();
    store
}

#[test]
fn what_is_restored_is_what_was_backed_up() {
    let folder = tempdir("plain");
    let mut store = filled();
    let written = store.back_up(&folder.join("first")).unwrap();
    assert_eq!(written, Written { machines: 1, jobs: 1, photos: 1 });
    let mut again = Store::in_memory().unwrap();
    assert_eq!(again.restore(&folder.join("first")).unwrap(), written);
    let job = again.jobs(None).unwrap().remove(0);
    assert_eq!(again.entries(&job.id, 0).unwrap(), store.entries(&job.id, 0).unwrap());
    assert_eq!(again.jpeg(&job.id, 1).unwrap(), [0xff, 0xd8, 0, 1]);
    // Backed up once more it is the same, byte for byte.
    again.back_up(&folder.join("second")).unwrap();
    for file in [
        "store.json",
        "machines/studio/1.toml",
        "machines/studio/2.toml",
        "photos/1.jpg",
        "logs/1.csv",
        "parts/1.toml",
    ] {
        let read = |name: &str| std::fs::read(folder.join(name).join(file)).unwrap();
        assert_eq!(read("first"), read("second"), "{file}");
    }
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_back_up_from_before_there_were_soak_logs_is_restored() {
    let folder = tempdir("older");
    filled().back_up(&folder.join("there")).unwrap();
    let file = folder.join("there/store.json");
    let mut index: serde_json::Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    index.as_object_mut().unwrap().remove("soak_log").unwrap();
    std::fs::write(&file, index.to_string()).unwrap();
    let mut store = Store::in_memory().unwrap();
    assert_eq!(store.restore(&folder.join("there")).unwrap().jobs, 1);
    let job = store.jobs(None).unwrap().remove(0);
    assert!(store.soak_logs(&job.id).unwrap().is_empty());
    std::fs::remove_dir_all(folder).unwrap();
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

#[test]
fn a_damaged_back_up_is_told_and_changes_nothing() {
    let folder = tempdir("damaged");
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
        let mut store = Store::in_memory().unwrap();
        assert!(store.restore(&folder.join("good")).is_err(), "{what}");
        assert!(store.machines().unwrap().is_empty(), "{what}");
    }
    std::fs::remove_dir_all(folder).unwrap();
}
