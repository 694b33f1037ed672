//! The soak from the page: not without care, one at a time, stopped by its button.

use axum::http::StatusCode;

use crate::bench::Bench;

const BEGIN: [(&str, &str); 5] =
    [("load", "integer"), ("layout", "all"), ("minutes", "1"), ("looked", "yes"), ("blind", "yes")];

fn without(name: &str) -> Vec<(&'static str, &'static str)> {
    BEGIN.into_iter().filter(|(field, _)| *field != name).collect()
}

#[test]
fn a_load_begins_only_with_care() {
    let bench = Bench::new();
    let text = bench.get("/soak").text();
    assert!(
        text.contains("CAUTION") && text.contains("Begin the soak") && !text.contains("<noscript>"),
        "{text}"
    );
    let careless = bench.post("/soak/begin", &without("looked"));
    assert_eq!(careless.status, StatusCode::UNPROCESSABLE_ENTITY);
    for (field, wrong) in [("load", "hottest"), ("layout", ""), ("minutes", "100000")] {
        let mut fields = without(field);
        fields.push((field, wrong));
        assert_eq!(bench.post("/soak/begin", &fields).status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
    }
    let forged = bench.post("/soak/begin", &[&BEGIN[..], &[("token", "of another run")]].concat());
    assert_eq!(forged.status, StatusCode::FORBIDDEN);
    assert!(bench.app.soaking.stands().is_none(), "nothing of this began a load");
    assert_eq!(bench.get("/soak/log.csv").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_soak_is_watched_and_stopped() {
    let bench = Bench::new();
    assert_eq!(bench.post("/soak/begin", &BEGIN).goes_to(), "/soak");
    let text = bench.get("/soak").text();
    assert!(text.contains("under load") && text.contains("Stop the load"), "{text}");
    assert!(
        text.contains("<noscript><meta http-equiv=\"refresh\""),
        "without scripts it looks again by itself"
    );
    assert_eq!(bench.post("/soak/begin", &BEGIN).status, StatusCode::UNPROCESSABLE_ENTITY, "one at a time");
    // It is at work: a row was seen.
    while bench.app.soaking.seen().now.is_empty() {
        std::thread::yield_now();
    }
    assert_eq!(bench.post("/soak/stop", &[]).goes_to(), "/soak");
    let text = loop {
        let text = bench.get("/soak").text();
        if !text.contains("Stop the load") {
            break text;
        }
        std::thread::yield_now();
    };
    assert!(text.contains("Stopped because it was asked for"), "{text}");
    let log = bench.get("/soak/log.csv");
    assert!(log.text().starts_with("# load: integer") && log.text().contains("time s,"));
    let _ = std::fs::remove_file(bench.app.soaking.seen().log.unwrap());
}
