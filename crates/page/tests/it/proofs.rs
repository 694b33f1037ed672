//! Soak logs of a job: taken in, kept, proven, handed over.

use axum::body::Body;
use axum::http::{Request, StatusCode};

use crate::bench::{Bench, Got, TOKEN, form_with_file};

/// A form with a file, as browsers send it (RFC 7578).
fn with_log(job: &str, side: &str, text: &str, token: &str) -> Request<Body> {
    with_file(job, &[("token", token), ("side", side)], "soak.csv", text.as_bytes())
}

fn with_file(job: &str, fields: &[(&str, &str)], name: &str, bytes: &[u8]) -> Request<Body> {
    form_with_file(&format!("{job}/logs"), fields, ("log", name, bytes))
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
fn a_thermometers_word_is_read_with_the_newest_log() {
    let bench = Bench::new();
    let job = bench.job();
    let said = |value: &str| bench.post(&format!("{job}/case-air"), &[("value", value)]);
    assert_eq!(said("38 °C").status, StatusCode::UNPROCESSABLE_ENTITY, "there is no log yet");
    assert!(!bench.get(&format!("{job}/proof")).text().contains("A thermometer in the case"));
    let token = token_of(&bench.get(&job).text());
    bench.send(with_log(&job, "after", &demo_log("demo-after"), &token)).goes_to();
    for (value, words) in [("warm", "air in the case"), ("380 °C", "no temperature in which")] {
        let got = said(value);
        assert!(
            got.status == StatusCode::UNPROCESSABLE_ENTITY && got.text().contains(words),
            "{}",
            got.text()
        );
    }
    assert_eq!(said("31 °C").goes_to(), format!("{job}/proof"));
    assert_eq!(said("32 °C").goes_to(), format!("{job}/proof"));
    let kept = bench.get(&format!("{job}/logs/3")).text();
    assert!(kept.starts_with("# case air: 32 °C\n") && !kept.contains("31 °C\n"), "{}", &kept[..200]);
    assert!(bench.get(&format!("{job}/proof")).text().contains("junction to"));
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

/// Sends a log as one of after the work, to be kept.
fn send(bench: &Bench, job: &str, name: &str, bytes: &[u8]) -> Got {
    bench.send(with_file(job, &[("token", TOKEN), ("side", "after"), ("do", "keep")], name, bytes))
}

/// The demo's log with the headings of another program, decimals behind commas.
fn foreign() -> String {
    let text = demo_log("demo-after");
    let table: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
    let (headings, rows) = table.split_first().unwrap();
    let headings = headings.replace("time s", "Zeit").replace("package °C", "<b>CPU</b> = \"hot\"");
    let headings: Vec<String> =
        headings.split(',').map(|one| format!("\"{}\"", one.replace('"', "\"\""))).collect();
    let rows: Vec<String> = rows.iter().map(|row| row.replace(',', ";").replace('.', ",")).collect();
    format!("{}\n{}\n", headings.join(";"), rows.join("\n"))
}

#[test]
fn a_packed_log_proves_the_same() {
    let bench = Bench::new();
    let job = bench.job();
    let packed = intake::soak_log::packed::pack(demo_log("demo-after").as_bytes(), Vec::new()).unwrap();
    assert_eq!(send(&bench, &job, "after.parquet", &packed).goes_to(), format!("{job}/proof"));
    assert!(
        bench
            .get(&format!("{job}/proof"))
            .text()
            .contains("passes. The machine does what the plan said of it.")
    );
    assert!(bench.get(&job).text().contains(">pass</a>"), "the job's page says how the proof went");
    let broken = send(&bench, &job, "after.parquet", &packed[..packed.len() / 2]);
    assert_eq!(broken.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(broken.text().contains("no Parquet file"), "{}", broken.text());
}

#[test]
fn what_is_too_large_packed_or_not_is_refused() {
    let bench = Bench::new();
    let job = bench.job();
    let most = page::keeping::LARGEST_LOG_BYTES;
    let large = send(&bench, &job, "large.csv", &vec![b'1'; most + 1]);
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE, "{}", large.text());
    // A few kilobytes that would become many megabytes.
    let rows = format!("{},vector\n", "1".repeat(40)).repeat(most / 40);
    let packed =
        intake::soak_log::packed::pack(format!("time s,load\n{rows}").as_bytes(), Vec::new()).unwrap();
    assert!(packed.len() < most / 20);
    let got = send(&bench, &job, "bomb.parquet", &packed);
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.text().contains("24 MiB") || got.text().contains("no Parquet file"), "{}", got.text());
    assert!(bench.get(&format!("{job}/proof")).text().contains("None yet."));
}

#[test]
fn another_programs_columns_are_named_and_what_was_entered_stays() {
    let bench = Bench::new();
    let job = bench.job();
    let at = send(&bench, &job, "../<i>.csv", foreign().as_bytes()).goes_to();
    let page = bench.get(&at).text();
    assert!(
        page.contains("no column holds a time") && page.contains("in the table of its columns"),
        "{page}"
    );
    assert!(
        page.contains("&lt;b&gt;CPU&lt;/b&gt;") && !page.contains("<b>CPU") && !page.contains("<i>"),
        "{page}"
    );
    assert!(!page.contains("Keep the log"), "{page}");
    let headings: Vec<String> =
        intake::soak_log::look::look(&foreign(), &[]).into_iter().map(|one| one.heading).collect();
    let enter = |ours: &[(&str, &str)], done: &str| {
        let mut fields = vec![("do", done)];
        for heading in &headings {
            fields.push(("theirs", heading));
            let found = ours.iter().find(|(theirs, _)| theirs == heading);
            fields.push(("ours", found.map_or("", |(_, ours)| *ours)));
        }
        bench.post(&at, &fields).goes_to()
    };
    let hot = "<b>CPU</b> = \"hot\"";
    // A slip stays where it was made, and says what it is.
    assert_eq!(enter(&[("Zeit", "tiem s"), (hot, "package °C")], "keep"), at);
    let page = bench.get(&at).text();
    assert!(page.contains("value=\"tiem s\"") && page.contains("value=\"package °C\""), "{page}");
    assert!(page.contains("is no column of a soak log"), "{page}");
    assert_eq!(enter(&[("Zeit", "time s"), (hot, "package °C")], "look"), at);
    assert!(bench.get(&at).text().contains("Keep the log"));
    assert!(bench.get(&format!("{job}/proof")).text().contains("None yet."), "looking keeps nothing");
    assert_eq!(enter(&[("Zeit", "time s"), (hot, "package °C")], "keep"), format!("{job}/proof"));
    assert!(bench.get(&format!("{job}/proof")).text().contains("Structure function of"));
    let kept = bench.get(&format!("{job}/logs/1")).text();
    assert!(kept.starts_with("# column: time s=Zeit\n# column: package °C=<b>CPU"), "{kept}");
    assert_eq!(bench.get(&at).status, StatusCode::NOT_FOUND, "it is no longer held");
    assert_eq!(bench.post(&at, &[]).status, StatusCode::NOT_FOUND);
}

#[test]
fn a_log_without_a_load_is_shown_and_not_kept() {
    let bench = Bench::new();
    let job = bench.job();
    let at = send(&bench, &job, "rest.csv", b"time s,package \xc2\xb0C\n0,41\n1,41\n2,41\n").goes_to();
    let page = bench.get(&at).text();
    assert!(page.contains("it proves nothing") && !page.contains("Keep the log"), "{page}");
    let other = bench.post(&format!("{}/jobs", bench.demo()), &[("parts", "skerry-fine")]).goes_to();
    let stolen = at.replace(&job, &other);
    assert_eq!(bench.get(&stolen).status, StatusCode::NOT_FOUND, "a log belongs to its job");
    assert_eq!(bench.post(&format!("{at}?"), &[("do", "keep")]).goes_to(), at);
    assert!(bench.get(&format!("{job}/proof")).text().contains("None yet."));
}

#[test]
fn a_log_with_a_slip_is_shown_and_kept_without_it() {
    let bench = Bench::new();
    let job = bench.job();
    let text = format!("{}1,2\n", demo_log("demo-after"));
    let at = send(&bench, &job, "slip.csv", text.as_bytes()).goes_to();
    let page = bench.get(&at).text();
    assert!(page.contains("this row has 2 cells") && page.contains("without what cannot be read"), "{page}");
    assert_eq!(bench.post(&at, &[("do", "keep")]).goes_to(), format!("{job}/proof"));
    assert!(bench.get(&format!("{job}/proof")).text().contains("Structure function of"));
}
