//! The soak from the page: not without care, one at a time, stopped by its button, its log kept with its job.

use std::fs;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use axum::http::StatusCode;
use page::library::Base;
use store::open::Store;

use crate::bench::{Bench, Got};

/// No sensor is read, as on a machine that has none.
const BEGIN: [(&str, &str); 6] = [
    ("load", "integer"),
    ("layout", "all"),
    ("time", "1 min"),
    ("rest", "0 s"),
    ("looked", "yes"),
    ("blind", "yes"),
];

/// A short one that rests on a sensor, of a machine's job.
const SHORT: [(&str, &str); 6] = [
    ("load", "integer"),
    ("layout", "all"),
    ("time", "1.2 s"),
    ("rest", "0.3 s"),
    ("rate", "20 Hz"),
    ("looked", "yes"),
];

fn without<'a>(all: &[(&'a str, &'a str)], name: &str) -> Vec<(&'a str, &'a str)> {
    all.iter().copied().filter(|(field, _)| *field != name).collect()
}

static COUNT: AtomicU32 = AtomicU32::new(0);

/// A folder that stands for a machine's root; it goes with the test.
struct Tree(PathBuf);

impl Tree {
    /// Two sensors on chips that the program does not know.
    fn new() -> Self {
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let tree =
            Self(std::env::temp_dir().join(format!("reseat-page-tree-{}-{count}", std::process::id())));
        for (path, text) in [
            ("sys/class/hwmon/hwmon0/name", "lm75"),
            ("sys/class/hwmon/hwmon0/temp1_input", "41000"),
            ("sys/class/hwmon/hwmon1/name", "board"),
            ("sys/class/hwmon/hwmon1/temp1_label", "<b>SYS</b>"),
            ("sys/class/hwmon/hwmon1/temp1_input", "31500"),
            ("sys/class/hwmon/hwmon1/power1_input", "62500000"),
        ] {
            let path = tree.0.join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        tree
    }

    fn bench(&self) -> Bench {
        Bench::reading(Store::in_memory().unwrap(), Base::Demo(intake::demo::files()), self.0.clone())
    }
}

impl Drop for Tree {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn refused(got: &Got, words: &str) {
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", got.text());
    assert!(got.text().contains(words), "\"{words}\" is not in {}", got.text());
}

/// The page when the load is over.
fn ended(bench: &Bench) -> String {
    loop {
        let text = bench.get("/soak").text();
        if !text.contains("Stop the load") {
            return text;
        }
        std::thread::yield_now();
    }
}

fn begun(bench: &Bench) {
    while bench.app.soaking.seen().now.is_empty() {
        std::thread::yield_now();
    }
}

#[test]
fn a_sensor_of_power_is_named_in_the_form() {
    let tree = Tree::new();
    let bench = tree.bench();
    let text = bench.get("/soak").text();
    assert!(text.contains("62.5 W") && text.contains("value=\"power=board/power1\""), "{text}");
    let named = [("sensor", "power=board/power1"), ("sensor", "package=lm75/temp1")];
    let begin: Vec<_> = without(&without(&BEGIN, "blind"), "rest")
        .into_iter()
        .chain(named)
        .chain([("rest", "0 s")])
        .collect();
    assert_eq!(bench.post("/soak/begin", &begin).goes_to(), "/soak");
    begun(&bench);
    bench.post("/soak/stop", &[]);
    ended(&bench);
    let log = bench.get("/soak/log.csv").text();
    assert!(log.contains("power W") && log.contains("62.5") && log.contains("# power from: "), "{log}");
}

#[test]
fn a_load_begins_only_with_care() {
    let bench = Bench::new();
    let text = bench.get("/soak").text();
    assert!(
        text.contains("CAUTION") && text.contains("Begin the soak") && !text.contains("<noscript>"),
        "{text}"
    );
    refused(&bench.post("/soak/begin", &without(&BEGIN, "looked")), "looked at the cooler");
    for (field, wrong, words) in [
        ("load", "hottest", "is no load"),
        ("layout", "", "is no layout"),
        ("time", "100000 min", "too long"),
        ("time", "soon", "Load lasts: "),
        ("rest", "-", "Rest before and after it: "),
        ("rate", "1000 Hz", "1000 rows a second cannot be had"),
        ("limit", "hot", "Stop at this temperature"),
        ("room", "12 W", "Temperature of the room"),
        ("cores", "0, 999", "no thread \"999\""),
        ("trial", "999", "no number of a core"),
        ("sensor", "nonsense", "names no sensor"),
    ] {
        let mut fields = without(&BEGIN, field);
        fields.push((field, wrong));
        let got = bench.post("/soak/begin", &fields);
        refused(&got, &words.replace('"', "&quot;"));
        // What was entered stands in the form again.
        let again = field == "load" || field == "layout" || field == "sensor";
        assert!(again || got.text().contains(&format!("value=\"{wrong}\"")), "{field}: {}", got.text());
    }
    let forged = bench.post("/soak/begin", &[&BEGIN[..], &[("token", "of another run")]].concat());
    assert_eq!(forged.status, StatusCode::FORBIDDEN);
    assert!(bench.app.soaking.stands().is_none(), "nothing of this began a load");
    assert_eq!(bench.get("/soak/log.csv").status, StatusCode::NOT_FOUND);
    assert_eq!(
        bench.post("/soak/begin", &[("job", "none-such"), ("side", "after")]).status,
        StatusCode::NOT_FOUND
    );
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
    refused(&bench.post("/soak/begin", &BEGIN), "at work already");
    begun(&bench);
    assert_eq!(bench.post("/soak/stop", &[]).goes_to(), "/soak");
    let text = ended(&bench);
    assert!(text.contains("Stopped because it was asked for"), "{text}");
    let log = bench.get("/soak/log.csv");
    assert!(log.text().starts_with("# load: integer") && log.text().contains("time s,"));
    let _ = fs::remove_file(bench.app.soaking.seen().log.unwrap());
}

#[test]
fn a_sensor_is_named_by_hand_and_the_log_goes_to_its_job() {
    let tree = Tree::new();
    let bench = tree.bench();
    let job = bench.job();
    let id = job.trim_start_matches("/jobs/").to_owned();
    let form = bench.get(&format!("/soak?job={id}&side=after")).text();
    assert!(form.contains("and no other") && form.contains("package=lm75/temp1"), "{form}");
    assert!(form.contains("No temperature of the processor is known"), "{form}");

    let all = [&SHORT[..], &[("job", &*id), ("side", "after")]].concat();
    refused(
        &bench.post("/soak/begin", &all),
        "this computer is the job&#39;s machine".replace("&#39;", "'").as_str(),
    );
    let mut all = [&all[..], &[("here", "yes")]].concat();
    refused(&bench.post("/soak/begin", &all), "Say among the sensors which one is the processor's");
    let wrong = [&all[..], &[("sensor", "package=lm75/temp9")]].concat();
    refused(&bench.post("/soak/begin", &wrong), "there is no sensor temp9 of a chip lm75 here");
    all.extend([("sensor", "package=lm75/temp1"), ("sensor", "case air=board/temp1"), ("room", "21 °C")]);
    let hot = [&all[..], &[("limit", "400 °C")]].concat();
    let got = bench.post("/soak/begin", &hot);
    refused(&got, "400");
    assert!(got.text().contains("<option value=\"package=lm75/temp1\" selected>"), "{}", got.text());

    assert_eq!(bench.post("/soak/begin", &all).goes_to(), "/soak");
    let text = ended(&bench);
    assert!(text.contains("Done: the whole schedule ran") && text.contains("Its log is kept with"), "{text}");
    let log = bench.get(&format!("{job}/logs/1")).text();
    assert!(
        log.contains("# room: 21 °C") && log.contains("package °C") && log.contains("case air °C"),
        "{log}"
    );
    assert!(!bench.app.soaking.seen().log.unwrap().exists(), "the store has it now");
    assert_eq!(bench.get("/soak/log.csv").goes_to(), format!("{job}/logs/1"));
    let proof = bench.get(&format!("{job}/proof")).text();
    assert!(proof.contains("Criteria") || proof.contains("cannot tell"), "{proof}");
    assert!(bench.get(&format!("{job}/handover")).text().contains("Proof by a soak"));
    assert_eq!(&bench.get(&format!("{job}/handover.pdf")).bytes[..5], b"%PDF-");
    assert!(bench.get(&job).text().contains("run one on this computer"), "the soak before is not there");
    refused(&bench.post("/soak/keep", &[("job", &id), ("side", "before")]), "kept already");
}

#[test]
fn a_soak_that_was_broken_off_is_kept_only_if_asked_and_with_a_load() {
    let tree = Tree::new();
    let bench = tree.bench();
    let job = bench.job();
    let id = job.trim_start_matches("/jobs/").to_owned();
    let mut all = [&SHORT[..], &[("job", &*id), ("side", "before"), ("here", "yes")]].concat();
    all.push(("sensor", "package=lm75/temp1"));
    let keep = [("job", &*id), ("side", "before")];
    refused(&bench.post("/soak/keep", &keep), "no log of a soak");

    // Nothing but rest: a log that proves nothing.
    let resting = [&without(&all, "rest")[..], &[("rest", "10 min")]].concat();
    assert_eq!(bench.post("/soak/begin", &resting).goes_to(), "/soak");
    while bench.app.soaking.seen().log().times.len() < 3 {
        std::thread::yield_now();
    }
    refused(&bench.post("/soak/keep", &keep), "still at work");
    bench.post("/soak/stop", &[]);
    let text = ended(&bench);
    assert!(text.contains("broken off") && text.contains("Keep it all the same"), "{text}");
    refused(&bench.post("/soak/keep", &keep), "proves nothing");
    assert!(bench.get(&format!("{job}/proof")).text().contains("None yet."));
    let _ = fs::remove_file(bench.app.soaking.seen().log.unwrap());

    // A soak of no job is kept with one afterwards.
    let free = without(&without(&without(&all, "job"), "side"), "here");
    assert_eq!(bench.post("/soak/begin", &free).goes_to(), "/soak");
    assert!(ended(&bench).contains("Keep the log with the job of this computer"));
    assert_eq!(bench.post("/soak/keep", &keep).goes_to(), format!("{job}/proof"));
    assert!(bench.get(&format!("{job}/proof")).text().contains("before the work: <a"));
}

#[test]
fn a_log_that_no_job_could_keep_is_refused_before_it_begins() {
    let tree = Tree::new();
    let bench = tree.bench();
    let id = bench.job().trim_start_matches("/jobs/").to_owned();
    let mut all =
        [&without(&without(&SHORT, "time"), "rate")[..], &[("job", &*id), ("side", "after")]].concat();
    all.extend([("here", "yes"), ("sensor", "package=lm75/temp1"), ("time", "20 h"), ("rate", "100 Hz")]);
    refused(&bench.post("/soak/begin", &all), "take fewer rows, or a shorter time");
}
