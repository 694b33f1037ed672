//! A process that is killed while it writes loses nothing that it had acknowledged.
//!
//! The test runs itself as a child that writes and says after each call what it wrote; the parent kills it
//! at a moment that differs from round to round, opens the store and looks for everything that was said.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use store::entry::{EntryKind, NewEntry};
use store::open::{At, Store};

/// Where the child finds its store.
pub(crate) const STORE: &str = "RESEAT_TEST_STORE";
const ROUNDS: usize = 12;

pub(crate) fn write_for_ever(file: &Path) {
    let mut store = Store::open(file).unwrap();
    let machine = store.add_machine("m", "text 0", "typed", At(0)).unwrap();
    let job = store.begin_job(&machine, &[], "t", At(0)).unwrap();
    println!("said job {machine} {job}");
    let mut revision = 1;
    for number in 0.. {
        let text = format!("text {number} {}", "x".repeat(number % 5000));
        revision = store.change_machine(&machine, revision, ("m", &text), "typed", At(0)).unwrap();
        println!("said text {number} {revision}");
        let note = NewEntry {
            key: number.to_string(),
            step: "s".into(),
            kind: EntryKind::Note,
            text,
            device: "child".into(),
        };
        store.add_entries(&job, &[note], At(0)).unwrap();
        println!("said note {number}");
        store.add_photo(&job, "s", &vec![7; 20_000], (1, 1), At(0)).unwrap();
        println!("said photo {number}");
    }
}

#[test]
fn nothing_acknowledged_is_lost() {
    if let Some(file) = std::env::var_os(STORE) {
        write_for_ever(Path::new(&file));
        return;
    }
    let folder = crate::fresh::tempdir("crash");
    for round in 0..ROUNDS {
        let file = folder.join(format!("{round}.sqlite"));
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["crash::nothing_acknowledged_is_lost", "--exact", "--nocapture"])
            .env(STORE, &file)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut said = Vec::new();
        // Killed after so many answers, in the midst of the next write.
        while said.len() < 4 + 17 * round {
            match lines.next() {
                // The test's own runner talks on the same line.
                Some(Ok(line)) => said.extend(line.split("said ").nth(1).map(str::to_owned)),
                other => panic!("the child ended by itself after {said:?}: {other:?}"),
            }
        }
        child.kill().unwrap();
        // What it had said before it died counts too.
        said.extend(
            lines.map_while(Result::ok).filter_map(|line| line.split("said ").nth(1).map(str::to_owned)),
        );
        child.wait().unwrap();
        look(&file, &said).unwrap_or_else(|lost| panic!("round {round}: {lost}"));
        assert!(said.iter().any(|line| line.starts_with("note")), "the round came to writing");
    }
    std::fs::remove_dir_all(folder).unwrap();
}

/// Whether this file opens as a store and holds everything that was said.
pub(crate) fn look(file: &Path, said: &[String]) -> Result<(), String> {
    let mut store = Store::open(file).map_err(|error| format!("{error}: {error:?}"))?;
    let Some(first) = said.iter().find_map(|line| line.strip_prefix("job ")) else { return Ok(()) };
    let (machine, job) = first.split_once(' ').unwrap();
    let entries = store.entries(job, 0).map_err(|error| error.to_string())?;
    let photos = store.photos(job).map_err(|error| error.to_string())?;
    let revisions = store.revisions(machine).map_err(|error| error.to_string())?;
    for line in said {
        let words: Vec<&str> = line.split(' ').collect();
        let is_there = match words.as_slice() {
            ["text", number, revision] => revisions.iter().any(|one| {
                one.number.to_string() == *revision && one.text.starts_with(&format!("text {number} "))
            }),
            ["note", number] => entries.iter().any(|one| one.made.key == *number),
            ["photo", number] => photos.len() > number.parse().unwrap(),
            _ => true,
        };
        if !is_there {
            return Err(format!("{line} is lost"));
        }
    }
    Ok(())
}
