//! The watch over what this computer does: begun, ended, taken from elsewhere, put into a record.

use axum::http::StatusCode;

use crate::bench::{Bench, post_file};

const EDITING: &[u8] = include_bytes!("../../../reseat/tests/data/seen-editing.csv");

#[test]
fn a_watch_is_begun_and_ended_once() {
    let bench = Bench::new();
    assert!(bench.get("/observe").text().contains("Begin to watch"));
    assert_eq!(bench.get("/observe/seen.csv").status, StatusCode::NOT_FOUND);
    assert_eq!(
        bench.post("/observe/begin", &[("minutes", "9999")]).status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "not offered"
    );
    assert_eq!(bench.post("/observe/begin", &[("minutes", "10")]).goes_to(), "/observe");
    let text = bench.get("/observe").text();
    assert!(text.contains("Watching since") && text.contains("End the watch"), "{text}");
    assert!(
        text.contains("<noscript><meta http-equiv=\"refresh\""),
        "without scripts it looks again by itself"
    );
    let second = bench.post("/observe/begin", &[("minutes", "10")]);
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY, "one at a time");
    let meanwhile = bench.send(post_file("/observe/seen", ("seen", "seen.csv", EDITING)));
    assert_eq!(meanwhile.status, StatusCode::UNPROCESSABLE_ENTITY, "what goes on is not thrown away");
    assert_eq!(bench.post("/observe/stop", &[]).goes_to(), "/observe");
    let text = loop {
        let text = bench.get("/observe").text();
        if !text.contains("End the watch") {
            break text;
        }
        std::thread::yield_now();
    };
    assert!(text.contains("Begin to watch"), "{text}");
    // A moment is no workload, so there is nothing to put into a record.
    let at = bench.demo();
    let machine = at.strip_prefix("/machines/").unwrap();
    let none = bench.post("/observe/into", &[("machine", machine), ("hours", "8 h")]);
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(none.text().contains("no record was changed"), "{}", none.text());
}

#[test]
fn what_was_counted_elsewhere_becomes_tasks_of_a_record() {
    let bench = Bench::new();
    let at = bench.demo();
    let machine = at.strip_prefix("/machines/").unwrap();
    assert_eq!(bench.send(post_file("/observe/seen", ("seen", "seen.csv", EDITING))).goes_to(), "/observe");
    let text = bench.get("/observe").text();
    assert!(text.contains("Watched for 30 min") && text.contains("Put the tasks into the record"), "{text}");
    let back = bench.get("/observe/seen.csv").text();
    assert_eq!(
        back.lines().count(),
        String::from_utf8_lossy(EDITING).lines().count(),
        "every span comes back"
    );
    let wrong = bench.post("/observe/into", &[("machine", machine), ("hours", "25 h")]);
    assert!(wrong.text().contains("give up to 24 h"), "{}", wrong.text());
    let wrong = bench.post("/observe/into", &[("machine", machine), ("hours", "eight")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let done = bench.post("/observe/into", &[("machine", machine), ("hours", "6 h")]);
    assert_eq!(done.goes_to(), at);
    let record = bench.get(&format!("{at}/text")).text();
    assert!(record.contains("work on many cores") && !record.contains("rendering the weekly"), "{record}");
    assert!(bench.get(&at).text().contains(&format!("{at}/old/1")), "the earlier text is kept");
    assert!(bench.get(&format!("{at}/routes")).status.is_success());
}

#[test]
fn what_is_no_such_file_is_refused() {
    let bench = Bench::new();
    for bytes in [&b"time s,package C\n0,30\n"[..], b"", &[0xff, 0, 7]] {
        let got = bench.send(post_file("/observe/seen", ("seen", "<b>.csv", bytes)));
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{bytes:?}");
        assert!(!got.text().contains("<b>.csv"), "escaped");
    }
}
