//! Watching this machine for a moment, and reading what was counted elsewhere.

use serde_json::Value;

use crate::run::prints;

const SEEN: &str = "crates/reseat/tests/data/seen-editing.csv";

#[test]
fn what_was_seen_goes_into_a_record_that_a_plan_takes() {
    let into = std::env::temp_dir().join(format!("reseat-seen-{}.toml", std::process::id()));
    let into = into.to_str().unwrap();
    let text = prints(&["observe", "--from", SEEN, "--machine", "demo", "--into", into], 0);
    assert!(
        text.contains("work on many cores") && text.contains("looks at which something was wanted"),
        "{text}"
    );
    let plan: Value = serde_json::from_str(&prints(&["plan", into, "--json"], 0)).unwrap();
    assert!(!plan["picks"].as_array().unwrap().is_empty());
}

#[test]
fn this_machine_is_watched_for_a_second_and_the_file_goes_on() {
    let keep = std::env::temp_dir().join(format!("reseat-watch-{}.csv", std::process::id()));
    let keep = keep.to_str().unwrap();
    for times in 1..=2 {
        // A second is too short to say anything, and it says so.
        let text = prints(&["observe", "--time", "1 s", "--keep", keep, "--json"], 3);
        let seen: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(seen["verdict"], "too short");
        let watched = seen["watched_s"].as_f64().unwrap();
        assert!(watched >= 0.9 * f64::from(times), "{watched}");
    }
    let text = std::fs::read_to_string(keep).unwrap();
    assert_eq!(text.matches("# threads:").count(), 1);
    assert_eq!(text.lines().count(), 4);
}
