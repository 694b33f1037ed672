//! A paired phone reads and ticks one sheet, for a time, and nothing else.

use axum::http::StatusCode;

use crate::bench::{Bench, HOST, PHONES, get, post};

fn paired(bench: &Bench) -> (String, String) {
    let job = bench.job();
    bench.post(&format!("{job}/phone"), &[]).goes_to();
    let text = bench.get(&job).text();
    let token = text.split("/sheet/").nth(1).unwrap().split('<').next().unwrap().to_owned();
    (job, token)
}

#[test]
fn it_reads_and_ticks_what_the_bench_sees() {
    let bench = Bench::new();
    let (job, token) = paired(&bench);
    let sheet = bench.send_by_phone(get(PHONES, &format!("/sheet/{token}")));
    assert_eq!(sheet.status, StatusCode::OK);
    assert!(!sheet.text().contains("name=\"token\""), "the phone does not learn the bench's secret");
    let fields = [("key", "1"), ("step", "paste"), ("kind", "done"), ("device", "bench")];
    let got = bench.send_by_phone(post(PHONES, &format!("/sheet/{token}/entries"), &fields));
    assert_eq!(got.goes_to(), format!("/sheet/{token}#paste"));
    let seen = bench.get(&format!("{job}/entries?after=0")).text();
    assert!(seen.contains("\"device\":\"phone\""), "a phone cannot pass for the bench: {seen}");
}

#[test]
fn it_sees_nothing_else() {
    let bench = Bench::new();
    let (job, token) = paired(&bench);
    for path in
        ["/", "/jobs", "/parts", "/machines/radio-harrow-editing-computer", &job, "/sheet/", "/sheet/wrong"]
    {
        let got = bench.send_by_phone(get(PHONES, path));
        assert!(got.status.is_client_error(), "{path}");
        assert!(!got.text().contains("Radio Harrow"), "{path}");
    }
    // Nor does the bench's address answer for phones, or the phones' for other hosts.
    assert!(bench.get(&format!("/sheet/{token}")).status.is_client_error());
    let got = bench.send_by_phone(get(HOST, &format!("/sheet/{token}")));
    assert_eq!(got.status, StatusCode::FORBIDDEN);
    let mut foreign = post(
        PHONES,
        &format!("/sheet/{token}/entries"),
        &[("key", "1"), ("step", "paste"), ("kind", "done")],
    );
    foreign.headers_mut().insert("origin", axum::http::HeaderValue::from_static("http://attacker.example"));
    assert_eq!(bench.send_by_phone(foreign).status, StatusCode::FORBIDDEN);
}

#[test]
fn a_pairing_ends() {
    let bench = Bench::new();
    let (job, token) = paired(&bench);
    bench.post(&format!("{job}/phone/end"), &[]).goes_to();
    let got = bench.send_by_phone(get(PHONES, &format!("/sheet/{token}")));
    assert_eq!(got.status, StatusCode::FORBIDDEN);
    // By itself after its time.
    let later = store::open::At((bench.app.now)().0 + page::pairing::LIFE_MS);
    bench.app.pairings.pair("j", "secret".into(), (bench.app.now)());
    assert_eq!(bench.app.pairings.job("secret", (bench.app.now)()), Some("j".to_owned()));
    assert_eq!(bench.app.pairings.job("secret", later), None);
}
