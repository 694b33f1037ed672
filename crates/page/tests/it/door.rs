//! Nobody gets in without the address that this run printed.

use axum::body::Body;
use axum::http::{HeaderValue, Request, StatusCode, header};

use crate::bench::{Bench, HOST, SESSION, START, get, post};

fn plain(path: &str) -> Request<Body> {
    Request::get(path).header(header::HOST, HOST).body(Body::empty()).unwrap()
}

#[test]
fn without_the_cookie_every_page_says_only_how_to_open_it() {
    let bench = Bench::new();
    let job = bench.job();
    let machine = "/machines/radio-harrow-editing-computer";
    for path in ["/", "/jobs", "/parts", machine, &job, &format!("{job}/entries?after=0"), "/nothing/there"] {
        let got = bench.send(plain(path));
        assert_eq!(got.status, StatusCode::FORBIDDEN, "{path}");
        assert!(got.text().contains("reseat printed"), "{path}");
        assert!(!got.text().contains("Radio Harrow"), "{path}");
    }
    for (path, fields) in [("/add/demo", [("name", "demo")]), ("/parts", [("own", "")])] {
        let mut request = post(HOST, path, &fields);
        request.headers_mut().remove(header::COOKIE);
        assert_eq!(bench.send(request).status, StatusCode::FORBIDDEN, "{path}");
    }
}

#[test]
fn the_printed_address_lets_in_once_and_for_all() {
    let bench = Bench::new();
    let got = bench.send(plain(&format!("/open/{START}")));
    assert_eq!(got.goes_to(), "/");
    let cookie = got.headers.get(header::SET_COOKIE).unwrap().to_str().unwrap().to_owned();
    for word in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.split("; ").any(|part| part == word), "{cookie}");
    }
    assert!(!cookie.contains(START), "the cookie is a secret of its own");
    let pair = cookie.split(';').next().unwrap();
    let mut request = plain("/");
    // Among the cookies of other programs on this address.
    let all = HeaderValue::from_str(&format!("theirs=1; {pair}; more=2")).unwrap();
    request.headers_mut().insert(header::COOKIE, all);
    assert_eq!(bench.send(request).status, StatusCode::OK);
}

#[test]
fn a_wrong_secret_lets_nobody_in() {
    let bench = Bench::new();
    for wrong in ["", "start-of-this-ru", "start-of-this-run2", SESSION, "%2e%2e"] {
        let got = bench.send(plain(&format!("/open/{wrong}")));
        assert!(got.status.is_client_error(), "{wrong}");
        assert!(!got.headers.contains_key(header::SET_COOKIE), "{wrong}");
    }
    for cookie in
        ["reseat-7878=", "reseat-7878=wrong", "reseat-7879=session-of-this-run", "session-of-this-run"]
    {
        let mut request = get(HOST, "/");
        request.headers_mut().insert(header::COOKIE, HeaderValue::from_static(cookie));
        assert_eq!(bench.send(request).status, StatusCode::FORBIDDEN, "{cookie}");
    }
}
