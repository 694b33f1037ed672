//! Hostile strings in every field stay harmless text.

use axum::http::StatusCode;

use crate::bench::Bench;

const HOSTILE: [&str; 5] = [
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "\u{202e}gnp.\u{1f642}\u{0}\u{7}",
    "' or 1=1; drop table machine; --",
    "{{7*7}}${7*7}%0d%0aSet-Cookie: a=b",
];

fn harmless(text: &str, what: &str) {
    for bad in ["<script>alert", "<img src=x", "onerror=alert(1)>"] {
        assert!(!text.contains(bad), "{what} carries {bad}");
    }
}

#[test]
fn in_names_of_machines_and_tasks() {
    let bench = Bench::new();
    let demo = intake::demo::machine_file("demo").unwrap();
    let demo = String::from_utf8(demo.bytes).unwrap();
    let long = "long ".repeat(400);
    for hostile in HOSTILE.into_iter().chain([long.as_str()]) {
        let quoted = hostile.replace('\\', "\\\\").replace('"', "\\\"").replace(['\0', '\u{7}'], "");
        let name = demo.lines().find(|line| line.starts_with("name = ")).unwrap();
        let record = demo.replacen(name, &format!("name = \"{quoted}\""), 1);
        let got = bench.post("/add/typed", &[("record", &record)]);
        let machine = got.goes_to();
        for page in
            ["", "/text", "/routes", "/fits", "/power", "/heat", "/unknown", "/check?with=tern-2-rush"]
        {
            let got = bench.get(&format!("{machine}{page}"));
            assert_eq!(got.status, StatusCode::OK, "{page}");
            harmless(&got.text(), page);
        }
        let job = bench.post(&format!("{machine}/jobs"), &[("parts", "tern-2-rush skerry-fine")]).goes_to();
        for page in ["", "/handover", "/handover.html", "/sheet.html"] {
            let got = bench.get(&format!("{job}{page}"));
            assert_eq!(got.status, StatusCode::OK, "{page}");
            harmless(&got.text(), page);
        }
    }
    harmless(&bench.get("/").text(), "the bench");
    assert!(!bench.app.store().machines().unwrap().is_empty(), "no table was dropped");
}

#[test]
fn in_every_field_of_every_form() {
    let bench = Bench::new();
    let job = bench.job();
    let machine = "/machines/radio-harrow-editing-computer";
    for hostile in HOSTILE {
        for (path, fields) in [
            (format!("{machine}/set"), vec![("revision", "1"), ("field", hostile), ("value", "1")]),
            (format!("{machine}/set"), vec![("revision", "1"), ("field", "story"), ("value", hostile)]),
            (format!("{machine}/text"), vec![("revision", "1"), ("record", hostile)]),
            (format!("{machine}/jobs"), vec![("parts", hostile)]),
            ("/add/demo".into(), vec![("name", hostile)]),
            ("/parts".into(), vec![("own", hostile)]),
            ("/works/stop".into(), vec![("about", hostile), ("back", hostile)]),
            (
                format!("{job}/entries"),
                vec![("key", hostile), ("step", "paste"), ("kind", "note"), ("text", hostile)],
            ),
            (format!("{job}/entries"), vec![("key", "k"), ("step", hostile), ("kind", hostile)]),
        ] {
            let got = bench.post(&path, &fields);
            assert!(!got.status.is_server_error(), "{path}: {}", got.text());
            assert!(!got.headers.contains_key("set-cookie"));
            harmless(&got.text(), &path);
        }
    }
    for page in [job.clone(), format!("{job}/handover"), machine.into(), "/parts".into()] {
        let got = bench.get(&page);
        assert_eq!(got.status, StatusCode::OK, "{page}: {}", got.text());
        harmless(&got.text(), &page);
    }
    for query in ["with", "words", "verdict", "order", "edit", "route", "pattern"] {
        for hostile in HOSTILE {
            let coded: String = form_urlencoded::byte_serialize(hostile.as_bytes()).collect();
            for page in ["", "/fits", "/check", "/compare", "/paste"] {
                let got = bench.get(&format!("{machine}{page}?{query}={coded}"));
                assert!(!got.status.is_server_error());
                harmless(&got.text(), page);
            }
        }
    }
}
