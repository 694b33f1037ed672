//! Soak logs of a job: taken in, kept, proven, handed over.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};

use crate::bench::{Bench, HOST, cookie};

/// A form with a file, as browsers send it (RFC 7578).
fn with_log(job: &str, side: &str, text: &str, token: &str) -> Request<Body> {
    let part = |name: &str, value: &str| {
        format!("--line\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
    };
    let file = format!(
        "--line\r\nContent-Disposition: form-data; name=\"log\"; filename=\"soak.csv\"\r\nContent-Type: text/csv\r\n\r\n{text}\r\n--line--\r\n"
    );
    Request::post(format!("{job}/logs"))
        .header(header::HOST, HOST)
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header(header::COOKIE, cookie())
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=line")
        .body(Body::from(part("token", token) + &part("side", side) + &file))
        .unwrap()
}

fn token_of(page: &str) -> String {
    let from = page.split("name=\"token\" value=\"").nth(1).unwrap();
    from.split('"').next().unwrap().to_owned()
}

fn demo_log(name: &str) -> String {
    String::from_utf8(intake::demo::log_file(name).unwrap().bytes).unwrap()
}

#[test]
fn logs_are_kept_proven_and_handed_over() {
    let bench = Bench::new();
    let job = bench.job();
    let empty = bench.get(&format!("{job}/proof")).text();
    assert!(empty.contains("No soak after the work is kept yet"));
    let token = token_of(&empty);
    for (side, name) in [("before", "demo-before"), ("after", "demo-after")] {
        let got = bench.send(with_log(&job, side, &demo_log(name), &token));
        assert_eq!(got.goes_to(), format!("{job}/proof"));
    }
    let page = bench.get(&format!("{job}/proof")).text();
    assert!(page.contains("passes. The machine does what the plan said of it."), "{page}");
    assert!(page.contains("Structure function of") && page.contains("After against before"));
    let handed = bench.get(&format!("{job}/handover")).text();
    assert!(handed.contains("Proof by a soak") && handed.contains("<svg"));
    assert!(bench.get("/jobs").text().contains("soaked after the work"));
    assert!(bench.get(&format!("{job}/logs/1")).text().starts_with("# machine"));
}

#[test]
fn what_is_no_log_is_refused_and_not_kept() {
    let bench = Bench::new();
    let job = bench.job();
    let token = token_of(&bench.get(&format!("{job}/proof")).text());
    let refused = bench.send(with_log(&job, "after", "<script>alert(1)</script>", &token));
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!refused.text().contains("<script>alert"));
    let unsigned = bench.send(with_log(&job, "after", &demo_log("demo-after"), "nothing"));
    assert_ne!(unsigned.status, StatusCode::SEE_OTHER);
    assert!(bench.get(&format!("{job}/proof")).text().contains("None yet."));
}
