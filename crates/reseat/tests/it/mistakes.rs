//! What people get wrong, and how it is told.

use crate::run::run;

/// The mistake ends with code 2 and is told with these words, and nothing is printed as an answer.
#[track_caller]
fn told(words: &[&str], parts: &[&str]) {
    let output = run(words);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{words:?}: {errors}");
    assert!(output.stdout.is_empty(), "{words:?} printed an answer");
    for part in parts {
        assert!(errors.contains(part), "{words:?}: {part} is not in: {errors}");
    }
}

fn machine_file(name: &str, bytes: &[u8]) -> String {
    let file = std::env::temp_dir().join(format!("reseat-{}-{name}.toml", std::process::id()));
    std::fs::write(&file, bytes).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn mistakes_on_the_command_line_are_told() {
    told(&["plan", "nosuch"], &["there is no machine \"nosuch\"", "demo, school, family"]);
    told(&["check", "demo", "--with", "tern-2-rish"], &["did you mean \"tern-2-rush\"?"]);
    told(&["check", "demo", "--with", "tern-2-rush", "--with", "tern-2-reed"], &["both a processor"]);
    told(&["check", "demo", "--with", "alder-twig"], &["comes with its board"]);
    told(&["chart", "demo", "--socket", "zzz"], &["no socket \"zzz\"", "heron"]);
    told(&["plan", "demo", "--library", "/no/such/folder"], &["cannot read /no/such/folder"]);
    told(&["plan", "demo", "--libary", "x"], &["--library"]);
    told(&["verify", "Cargo.toml"], &["not a case file", "not a JSON file"]);
}

#[test]
fn mistakes_in_files_are_told_with_their_lines() {
    let good =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../intake/demo/machines/demo.toml"))
            .unwrap();
    let wrong = machine_file("wrong", good.replace("budget = \"320.00 EUR\"", "budget = \"320\"").as_bytes());
    told(&["plan", &wrong], &["no currency", "^^^^^", "[wishes.budget]"]);
    let random = machine_file("random", b"\x00\xff\x13binary");
    told(&["plan", &random], &["no text file"]);
    let empty = machine_file("empty", b"");
    told(&["plan", &empty], &["name is missing", "processor is missing"]);
    let no_tasks = machine_file("tasks", good.split("[[task]]").next().unwrap().as_bytes());
    told(&["plan", &no_tasks], &["has no tasks"]);
    for file in [wrong, random, empty, no_tasks] {
        std::fs::remove_file(file).unwrap();
    }
}

#[test]
fn a_broken_library_is_told_and_the_rest_of_it_is_used() {
    let folder = std::env::temp_dir().join(format!("reseat-library-{}", std::process::id()));
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../intake/demo/library");
    std::fs::create_dir_all(&folder).unwrap();
    for entry in std::fs::read_dir(demo).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, folder.join(path.file_name().unwrap())).unwrap();
    }
    let pastes = folder.join("pastes.csv");
    let text = std::fs::read_to_string(&pastes).unwrap().replace("1.0 ml,3.90 EUR", "1.0 ml,3.90");
    std::fs::write(&pastes, text).unwrap();
    let output = run(&["plan", "demo", "--library", folder.to_str().unwrap()]);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{errors}");
    assert!(errors.contains("has no currency") && errors.contains("pastes.csv:2"), "{errors}");
    assert!(!output.stdout.is_empty());
    std::fs::remove_dir_all(&folder).unwrap();
}
