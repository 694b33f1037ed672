//! Ticks, notes, and what the record says after a job.

use crate::bench::Bench;

#[test]
fn a_form_that_is_sent_twice_counts_once() {
    let bench = Bench::new();
    let job = bench.job();
    let note = [("key", "k1"), ("step", "paste"), ("kind", "note"), ("text", "a bead of five")];
    for _ in 0..2 {
        assert_eq!(bench.post(&format!("{job}/entries"), &note).goes_to(), format!("{job}#paste"));
    }
    let text = bench.get(&job).text();
    assert_eq!(text.matches("a bead of five").count(), 1);
    assert!(bench.get(&format!("{job}/handover")).text().contains("a bead of five"));
}

#[test]
fn a_closed_job_writes_its_parts_into_the_record() {
    let bench = Bench::new();
    let job = bench.job();
    bench.post(&format!("{job}/close"), &[("record", "yes")]).goes_to();
    let machine = bench.app.machine("radio-harrow-editing-computer").unwrap();
    assert_eq!(machine.machine.processor.part.id.text(), "tern-2-rush");
    assert_eq!(machine.machine.cooler.part.id.text(), "holloway-120");
    let joint = &machine.machine.joint;
    assert_eq!(joint.paste.as_ref().unwrap().id.text(), "skerry-fine");
    assert_eq!(joint.state.known().unwrap().word(), "fresh");
    // The job still shows the machine as it was found.
    let handover = bench.get(&format!("{job}/handover")).text();
    assert!(handover.contains("dried") || handover.contains("pumped out"), "what was found stays");
}

#[test]
fn a_record_changed_by_two_keeps_both() {
    let bench = Bench::new();
    let machine = bench.demo();
    let first = [("revision", "1"), ("field", "story"), ("value", "first")];
    bench.post(&format!("{machine}/set"), &first).goes_to();
    let second = [("revision", "1"), ("field", "story"), ("value", "second")];
    let got = bench.post(&format!("{machine}/set"), &second);
    assert_eq!(got.status, axum::http::StatusCode::CONFLICT);
    assert!(got.text().contains("second"), "what was typed is not lost");
    assert!(bench.get(&machine).text().contains("first"));
}

/// A machine may be called anything: no name stands in the way of an address.
#[test]
fn a_machine_called_like_an_address_is_found() {
    let bench = Bench::new();
    let demo = String::from_utf8(intake::demo::machine_file("demo").unwrap().bytes).unwrap();
    let name = demo.lines().find(|line| line.starts_with("name = ")).unwrap();
    for called in ["demo", "typed", "survey", "jobs", "assets"] {
        let record = demo.replacen(name, &format!("name = \"{called}\""), 1);
        let machine = bench.post("/add/typed", &[("record", &record)]).goes_to();
        assert_eq!(bench.get(&machine).status, axum::http::StatusCode::OK, "{machine}");
    }
}
