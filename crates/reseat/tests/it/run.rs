//! Running the program.

use std::process::{Command, Output};

/// The program with these words, its output not a terminal.
pub(crate) fn run(words: &[&str]) -> Output {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    Command::new(env!("CARGO_BIN_EXE_reseat")).args(words).current_dir(root).output().unwrap()
}

/// What it printed, if it ended with this code.
#[track_caller]
pub(crate) fn prints(words: &[&str], code: i32) -> String {
    let output = run(words);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{words:?}: {errors}");
    String::from_utf8(output.stdout).unwrap()
}

/// What it printed of an error, if it ended with this code.
#[track_caller]
pub(crate) fn complains(words: &[&str], code: i32) -> String {
    let output = run(words);
    assert_eq!(output.status.code(), Some(code), "{words:?}");
    String::from_utf8(output.stderr).unwrap()
}
