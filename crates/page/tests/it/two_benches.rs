//! Two benches with one store: each sees what the other did, and nobody overwrites anybody unseen. And what a page says
//! when its store fails.

use axum::http::StatusCode;
use store::open::Store;

use crate::bench::Bench;

const MACHINE: &str = "/machines/radio-harrow-editing-computer";

/// Two pages, as two programs would be, on one file.
fn two() -> (Bench, Bench, std::path::PathBuf) {
    let file = std::env::temp_dir().join(format!(
        "reseat-two-benches-{}-{:?}.db",
        std::process::id(),
        std::thread::current().id()
    ));
    let _ = std::fs::remove_file(&file);
    let one = Bench::on(Store::open(&file).unwrap());
    let other = Bench::on(Store::open(&file).unwrap());
    (one, other, file)
}

fn set(bench: &Bench, revision: &str, field: &str, value: &str) -> StatusCode {
    let fields = [("revision", revision), ("field", field), ("value", value)];
    bench.post(&format!("{MACHINE}/set"), &fields).status
}

#[test]
fn different_fields_set_at_once_both_hold() {
    let (one, other, file) = two();
    one.demo();
    assert_eq!(set(&one, "1", "setting.room", "19..26 °C"), StatusCode::SEE_OTHER);
    assert_eq!(set(&other, "1", "board.stages.count", "6"), StatusCode::SEE_OTHER);
    let text = one.get(&format!("{MACHINE}/text")).text();
    assert!(text.contains("19..26 °C") && text.contains("count = "), "{text}");
    std::fs::remove_file(file).unwrap();
}

#[test]
fn one_field_set_at_once_is_refused_with_both_kept() {
    let (one, other, file) = two();
    one.demo();
    assert_eq!(set(&one, "1", "setting.room", "19..26 °C"), StatusCode::SEE_OTHER);
    let fields = [("revision", "1"), ("field", "setting.room"), ("value", "10..31 °C")];
    let got = other.post(&format!("{MACHINE}/set"), &fields);
    assert_eq!(got.status, StatusCode::CONFLICT);
    assert!(got.text().contains("setting.room = 10..31 °C"), "what was typed is shown: {}", got.text());
    assert!(one.get(&format!("{MACHINE}/text")).text().contains("19..26 °C"));
    // The other is kept beside, and can be taken from there.
    assert!(one.get(MACHINE).text().contains("not taken"));
    assert!(one.get(&format!("{MACHINE}/old/3")).text().contains("10..31 °C"));
    std::fs::remove_file(file).unwrap();
}

#[test]
fn own_parts_of_one_bench_are_the_others_too() {
    let (one, other, file) = two();
    let own = "[[paste]]\nid = \"bench-paste\"\nname = \"Bench paste\"\nmaker = \"Own\"\nconductivity = \"5 W/(m K)\"\n";
    assert!(!other.get("/parts").text().contains("Bench paste"));
    let got = one.post("/parts", &[("revision", "0"), ("own", own)]);
    assert_eq!(got.status, StatusCode::SEE_OTHER, "{}", got.text());
    assert!(other.get("/parts").text().contains("Bench paste"));
    let late = other.post("/parts", &[("revision", "0"), ("own", "# mine\n")]);
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text().contains("# mine"));
    std::fs::remove_file(file).unwrap();
}

#[test]
fn when_the_store_fails_what_was_typed_is_shown_again() {
    let (one, _other, file) = two();
    one.demo();
    // A newer version of the program has taken the store over meanwhile.
    let raw = rusqlite::Connection::open(&file).unwrap();
    raw.pragma_update(None, "user_version", 999).unwrap();
    let text = one.post("/parts", &[("revision", "0"), ("own", "# a long evening's work")]);
    assert_eq!(text.status, StatusCode::SERVICE_UNAVAILABLE, "{}", text.text());
    assert!(text.text().contains("# a long evening"), "{}", text.text());
    assert!(text.text().contains("newer version"), "{}", text.text());
    drop(raw);
    std::fs::remove_file(file).unwrap();
}
