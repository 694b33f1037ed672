//! What comes from elsewhere stays outside: another host, another origin, no token, too much, a path to the disk.

use axum::body::Body;
use axum::http::{HeaderValue, Request, StatusCode, header};

use crate::bench::{Bench, HOST, TOKEN, get, post};

#[test]
fn another_host_is_refused() {
    let bench = Bench::new();
    // A rebinding attack: the name of another site resolves to this computer.
    for host in [
        "attacker.example",
        "attacker.example:7878",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost:7878.example",
        "",
    ] {
        assert_eq!(bench.send(get(host, "/")).status, StatusCode::FORBIDDEN, "{host}");
    }
    let nameless = Request::get("/").body(Body::empty()).unwrap();
    assert_eq!(bench.send(nameless).status, StatusCode::FORBIDDEN);
    assert_eq!(bench.get("/").status, StatusCode::OK);
}

#[test]
fn a_form_of_another_site_is_refused() {
    let bench = Bench::new();
    let fields = [("token", TOKEN), ("name", "demo")];
    for origin in ["http://attacker.example", "https://127.0.0.1:7878", "null", "http://127.0.0.1:7879"] {
        let mut request = post(HOST, "/add/demo", &fields);
        request.headers_mut().insert(header::ORIGIN, HeaderValue::from_static(origin));
        assert_eq!(bench.send(request).status, StatusCode::FORBIDDEN, "{origin}");
    }
    let mut request = post(HOST, "/add/demo", &fields);
    request.headers_mut().remove(header::ORIGIN);
    request.headers_mut().insert("sec-fetch-site", HeaderValue::from_static("cross-site"));
    assert_eq!(bench.send(request).status, StatusCode::FORBIDDEN);
    assert!(bench.app.store().machines().unwrap().is_empty());
}

#[test]
fn a_form_without_this_runs_token_is_refused() {
    let bench = Bench::new();
    for token in ["", "wrong", "0123456789abcdeg", "0123456789abcde"] {
        let request = post(HOST, "/add/demo", &[("token", token), ("name", "demo")]);
        assert_eq!(bench.send(request).status, StatusCode::FORBIDDEN, "{token}");
    }
    assert!(bench.app.store().machines().unwrap().is_empty());
}

#[test]
fn every_answer_forbids_what_is_not_ours() {
    let bench = Bench::new();
    for path in ["/", "/jobs", "/parts", "/nothing/there", "/assets/page.css"] {
        let got = bench.get(path);
        let policy = got.headers.get(header::CONTENT_SECURITY_POLICY).unwrap().to_str().unwrap();
        assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"), "{path}");
        assert!(!policy.contains("unsafe"), "{path}");
        assert_eq!(got.headers.get(header::X_CONTENT_TYPE_OPTIONS).unwrap(), "nosniff", "{path}");
    }
}

#[test]
fn no_page_asks_outside_or_carries_its_own_script() {
    let bench = Bench::new();
    let job = bench.job();
    let machine = "/machines/radio-harrow-editing-computer";
    for path in [
        "/".to_owned(),
        "/jobs".into(),
        "/parts".into(),
        job.clone(),
        format!("{job}/handover"),
        machine.into(),
        format!("{machine}/routes"),
        format!("{machine}/fits"),
        format!("{machine}/power"),
        format!("{machine}/heat"),
        format!("{machine}/unknown"),
        format!("{machine}/check?with=tern-2-rush"),
    ] {
        let got = bench.get(&path);
        assert_eq!(got.status, StatusCode::OK, "{path}");
        let text = got.text();
        for (at, _) in text.match_indices("http") {
            let rest = &text[at..text.len().min(at + 40)];
            // The name of a format, not an address that is asked.
            assert!(
                rest.starts_with("http-equiv") || rest.starts_with("http://www.w3.org/2000/svg"),
                "{path}: {rest}"
            );
        }
        assert!(
            !text.contains("<style") && !text.contains(" style=") && !text.contains(" onclick="),
            "{path}"
        );
    }
}

#[test]
fn no_path_reaches_the_disk() {
    let bench = Bench::new();
    for path in [
        "/assets/..%2f..%2fCargo.toml",
        "/assets/%2fetc%2fpasswd",
        "/machines/..%2f..%2fetc",
        "/jobs/..%2f..%2fx/sheet.html",
        "/assets/page.css%00",
        "/machines/%2e%2e/old/1",
    ] {
        let got = bench.get(path);
        assert_eq!(got.status, StatusCode::NOT_FOUND, "{path}: {}", got.text());
    }
}

#[test]
fn too_large_a_form_is_refused() {
    let bench = Bench::new();
    let large = "x".repeat(2 * 1024 * 1024);
    let got = bench.post("/add/typed", &[("record", &large)]);
    assert_eq!(got.status, StatusCode::PAYLOAD_TOO_LARGE);
}
