//! What is kept stays, and nobody overwrites anybody.

use rusqlite::Connection;
use store::open::{At, Beside, Store, StoreError};
use store::soak_log::Side;

use crate::fresh::{On, on_both};

on_both! {
fn a_record_keeps_every_text_it_had(fresh: &Fresh) {
    let mut store = fresh.store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    assert_eq!(store.change_machine(&id, 1, ("Studio 2", "b"), "room set", At(2)).unwrap(), 2);
    let kept = store.machine(&id).unwrap();
    assert_eq!((kept.name.as_str(), kept.text.as_str(), kept.revision), ("Studio 2", "b", 2));
    let texts: Vec<String> = store.revisions(&id).unwrap().into_iter().map(|old| old.text).collect();
    assert_eq!(texts, ["b", "a"]);
}
}

on_both! {
fn two_that_change_one_record_do_not_overwrite_each_other(fresh: &Fresh) {
    let mut store = fresh.store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    store.change_machine(&id, 1, ("Studio", "first"), "x", At(2)).unwrap();
    let second = store.change_machine(&id, 1, ("Studio", "second"), "y", At(3));
    assert!(matches!(second, Err(StoreError::Changed { begun: 1, now: 2, kept: Beside::As(3), .. })), "{second:?}");
    assert_eq!(store.machine(&id).unwrap().text, "first");
    // Both are kept; sent once more the second is still kept once.
    assert_eq!(store.revision(&id, 3).unwrap(), "second");
    store.change_machine(&id, 1, ("Studio", "second"), "y", At(4)).unwrap_err();
    assert_eq!(store.revisions(&id).unwrap().len(), 3);
    // What comes next is numbered after it, and two that want the same have no quarrel.
    assert_eq!(store.change_machine(&id, 2, ("Studio", "third"), "z", At(5)).unwrap(), 4);
    assert_eq!(store.change_machine(&id, 2, ("Studio", "third"), "z", At(6)).unwrap(), 4);
}
}

on_both! {
fn machines_of_one_name_get_their_own_ids(fresh: &Fresh) {
    let mut store = fresh.store();
    let ids: Vec<String> = (0..3).map(|_| store.add_machine("A B", "", "typed", At(0)).unwrap()).collect();
    assert_eq!(ids, ["a-b", "a-b-2", "a-b-3"]);
}
}

on_both! {
fn a_machine_taken_off_can_be_put_back(fresh: &Fresh) {
    let mut store = fresh.store();
    let id = store.add_machine("Studio", "a", "typed", At(1)).unwrap();
    store.take_off(&id, At(2)).unwrap();
    assert!(store.machines().unwrap().is_empty());
    assert!(matches!(store.machine(&id), Err(StoreError::Missing { .. })));
    store.put_back(&id, At(3)).unwrap();
    assert_eq!(store.machine(&id).unwrap().text, "a");
}
}

on_both! {
fn a_job_remembers_the_record_as_it_was_found(fresh: &Fresh) {
    let mut store = fresh.store();
    let id = store.add_machine("Studio", "found", "typed", At(1)).unwrap();
    let job = store.begin_job(&id, &["p".into(), "q".into()], "P + Q", At(2)).unwrap();
    store.change_machine(&id, 1, ("Studio", "after"), "x", At(3)).unwrap();
    let job = store.job(&job).unwrap();
    assert_eq!(job.parts, ["p", "q"]);
    assert_eq!(store.revision(&id, job.revision).unwrap(), "found");
}
}

on_both! {
fn soak_logs_are_only_added(fresh: &Fresh) {
    let mut store = fresh.store();
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
}

on_both! {
fn a_store_of_a_newer_version_is_refused_and_left_alone(fresh: &Fresh) {
    let mut open = fresh.store();
    if fresh.on == On::File {
        let raw = Connection::open(fresh.address()).unwrap();
        raw.pragma_update(None, "user_version", 999).unwrap();
    } else {
        fresh.client().batch_execute("update reseat_store set step = 999").unwrap();
    }
    let error = Store::open_at(&fresh.address().parse().unwrap()).unwrap_err();
    let text = format!("{error}: {}", std::error::Error::source(&error).unwrap());
    assert!(text.contains("newer version"), "{text}");
    // A program that had it open already writes nothing into tables it does not know.
    let late = open.add_machine("m", "", "typed", At(1));
    assert!(matches!(late, Err(StoreError::Outdated(_))), "{late:?}");
}
}

on_both! {
fn texts_of_any_letters_come_back(fresh: &Fresh) {
    let mut store = fresh.store();
    for text in ["", "\u{202e}\u{1f642} \u{301}", "' ; drop table machine; -- $1 ?1 \\", &"long ".repeat(50_000)] {
        let id = store.add_machine(text, text, text, At(1)).unwrap();
        let kept = store.machine(&id).unwrap();
        assert_eq!((kept.name.as_str(), kept.text.as_str()), (text, text));
    }
    // A zero character is kept as its picture: one of the two kinds has no place for it.
    let id = store.add_machine("zero", "a\0b", "typed", At(1)).unwrap();
    assert_eq!(store.machine(&id).unwrap().text, "a\u{2400}b");
}
}

on_both! {
fn own_parts_keep_their_newest_text(fresh: &Fresh) {
    let mut store = fresh.store();
    store.set_own_parts("b.toml", 0, "one", At(1)).unwrap();
    store.set_own_parts("b.toml", 1, "two", At(2)).unwrap();
    store.set_own_parts("a.toml", 0, "first", At(3)).unwrap();
    store.set_own_parts("gone.toml", 0, "text", At(4)).unwrap();
    store.set_own_parts("gone.toml", 1, "", At(5)).unwrap();
    let found = store.own_parts().unwrap();
    assert_eq!(found, [("a.toml".into(), "first".into()), ("b.toml".into(), "two".into())]);
    // Another bench sees that something was changed.
    let mut other = fresh.store();
    let before = other.own_parts_changes().unwrap();
    store.set_own_parts("a.toml", 1, "second", At(6)).unwrap();
    assert_ne!(other.own_parts_changes().unwrap(), before);
    // Whoever began before that is refused, unless both want the same.
    let late = other.set_own_parts("a.toml", 1, "third", At(7));
    assert!(matches!(late, Err(StoreError::Changed { begun: 1, now: 2, .. })), "{late:?}");
    assert_eq!(other.set_own_parts("a.toml", 1, "second", At(8)).unwrap(), 2);
    assert_eq!(other.own_parts_file("a.toml").unwrap(), (2, "second".to_owned()));
}
}

on_both! {
fn lists_sort_the_same_whatever_the_servers_language(fresh: &Fresh) {
    let mut store = fresh.store();
    for name in ["b", "a", "B", "a-b", "ab", "a b"] {
        store.set_own_parts(name, 0, "x", At(1)).unwrap();
    }
    let names: Vec<String> = store.own_parts().unwrap().into_iter().map(|one| one.0).collect();
    assert_eq!(names, ["B", "a", "a b", "a-b", "ab", "b"], "by their bytes");
}
}
