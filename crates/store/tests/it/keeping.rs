//! What is kept stays, and nobody overwrites anybody.

use store::open::{At, Store, StoreError};
use store::soak_log::Side;

fn store() -> Store {
    Store::in_memory().unwrap()
}

#[test]
fn a_record_keeps_every_text_it_had() {
    let mut store = store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    assert_eq!(store.change_machine(&id, 1, ("Studio 2", "b"), "room set", At(2)).unwrap(), 2);
    let kept = store.machine(&id).unwrap();
    assert_eq!((kept.name.as_str(), kept.text.as_str(), kept.revision), ("Studio 2", "b", 2));
    let texts: Vec<String> = store.revisions(&id).unwrap().into_iter().map(|old| old.text).collect();
    assert_eq!(texts, ["b", "a"]);
}

#[test]
fn two_that_change_one_record_do_not_overwrite_each_other() {
    let mut store = store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    store.change_machine(&id, 1, ("Studio", "first"), "x", At(2)).unwrap();
    let second = store.change_machine(&id, 1, ("Studio", "second"), "y", At(3));
    assert!(matches!(second, Err(StoreError::Changed { begun: 1, now: 2, .. })), "{second:?}");
    assert_eq!(store.machine(&id).unwrap().text, "first");
}

#[test]
fn machines_of_one_name_get_their_own_ids() {
    let mut store = store();
    let ids: Vec<String> = (0..3).map(|_| store.add_machine("A B", "", "typed", At(0)).unwrap()).collect();
    assert_eq!(ids, ["a-b", "a-b-2", "a-b-3"]);
}

#[test]
fn a_machine_taken_off_can_be_put_back() {
    let mut store = store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    store.take_off(&id, At(2)).unwrap();
    assert!(store.machines().unwrap().is_empty());
    assert!(matches!(store.machine(&id), Err(StoreError::Missing { .. })));
    store.put_back(&id, At(3)).unwrap();
    assert_eq!(store.machine(&id).unwrap().text, "a");
}

#[test]
fn a_job_remembers_the_record_as_it_was_found() {
    let mut store = store();
    let id = store.add_machine("Studio", "found", "typed", At(1)).unwrap();
    let job = store.begin_job(&id, &["p".into(), "q".into()], "P + Q", At(2)).unwrap();
    store.change_machine(&id, 1, ("Studio", "after"), "x", At(3)).unwrap();
    let job = store.job(&job).unwrap();
    assert_eq!(job.parts, ["p", "q"]);
    assert_eq!(store.revision(&id, job.revision).unwrap(), "found");
}

#[test]
fn soak_logs_are_only_added() {
    let mut store = store();
    let id = store.add_machine("Studio", "found", "typed", At(1)).unwrap();
    let job = store.begin_job(&id, &["p".into()], "P", At(2)).unwrap();
    for (side, text) in [(Side::Before, "one"), (Side::After, "two"), (Side::After, "three")] {
        store.add_soak_log(&job, side, ("soak.csv", text), At(3)).unwrap();
    }
    let logs = store.soak_logs(&job).unwrap();
    let sides: Vec<Side> = logs.iter().map(|log| log.side).collect();
    assert_eq!(sides, [Side::Before, Side::After, Side::After]);
    assert_eq!(store.soak_log_text(&job, logs[2].number).unwrap(), "three");
    assert!(matches!(store.soak_log_text("other", logs[2].number), Err(StoreError::Missing { .. })));
    assert!(matches!(
        store.add_soak_log("other", Side::After, ("x", ""), At(4)),
        Err(StoreError::Missing { .. })
    ));
}

#[test]
fn a_store_of_a_newer_version_is_refused_and_left_alone() {
    let folder = tempdir("newer");
    let file = folder.join("bench.sqlite");
    drop(Store::open(&file).unwrap());
    let raw = rusqlite::Connection::open(&file).unwrap();
    raw.pragma_update(None, "user_version", 999).unwrap();
    drop(raw);
    let error = Store::open(&file).unwrap_err();
    let text = format!("{error}: {}", std::error::Error::source(&error).unwrap());
    assert!(text.contains("newer version"), "{text}");
    std::fs::remove_dir_all(folder).unwrap();
}

/// A fresh folder for one test.
pub(crate) fn tempdir(name: &str) -> std::path::PathBuf {
    let folder = std::env::temp_dir().join(format!("reseat-store-{name}-{}", std::process::id()));
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    folder
}
