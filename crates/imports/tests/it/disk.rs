//! What stops an import leaves the library as it was: leftovers, a folder that cannot be written.

use std::fs;

use imports::{shelf, tables};

use crate::world::{World, processors, today};

const LIST: &[u8] = b"Name,TDP\nHeath 1,65\n";

#[test]
fn what_an_interrupted_import_left_is_not_read_and_is_cleared_by_the_next() {
    let world = World::new();
    let before = world.content();
    let left = world.dir.join("imports/.taking");
    fs::create_dir_all(&left).unwrap();
    fs::write(left.join("processors.csv"), "id,row,name\nhalf-a-").unwrap();
    assert_eq!(world.content(), before);
    assert_eq!(world.take(LIST, &processors()), 1);
    assert!(!left.exists());
}

#[test]
fn a_file_that_cannot_be_written_leaves_nothing_behind() {
    let world = World::new();
    let mark = shelf::mark(&world.dir).unwrap();
    let found = world.preview(LIST, &processors());
    let mut files = tables::files(&found, today());
    // A name that no folder can hold stands for a disk that refuses.
    files[1].name = "x".repeat(300);
    let before = world.content();
    assert!(matches!(shelf::take(&world.dir, &files, &mark), Err(shelf::ShelfError::Write { .. })));
    assert_eq!(world.content(), before);
    assert!(!world.dir.join("imports/.taking").exists());
    assert_eq!(world.take(LIST, &processors()), 1);
}

#[test]
fn what_is_no_library_is_told() {
    let world = World::new();
    let nowhere = world.dir.join("nowhere");
    assert!(matches!(shelf::mark(&nowhere), Err(shelf::ShelfError::NoFolder(_))));
    assert!(matches!(shelf::undo(&nowhere, None), Err(shelf::ShelfError::NothingToUndo)));
}
