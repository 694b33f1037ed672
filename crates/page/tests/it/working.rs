//! Long computations: looked at until they are done, and stopped.

use std::sync::mpsc::channel;

use page::work::{Stands, Works};

use crate::bench::Bench;

#[test]
fn a_computation_is_begun_once_and_its_answer_is_kept() {
    let works: Works<u32> = Works::default();
    let (done, waits) = channel();
    assert!(matches!(
        works.look("sum", move |_| {
            let sum = waits.recv().unwrap();
            Ok(sum)
        }),
        Stands::At(0)
    ));
    // Asked again while it is at work: the second way to compute is not taken.
    assert!(matches!(works.look("sum", |_| Ok(0)), Stands::At(_)));
    done.send(7).unwrap();
    loop {
        match works.look("sum", |_| Ok(0)) {
            Stands::At(_) => std::thread::yield_now(),
            Stands::Done(sum) => break assert_eq!(*sum, 7),
            other => unreachable!("{other:?}"),
        }
    }
}

#[test]
fn a_stopped_computation_ends_and_may_be_begun_again() {
    let works: Works<u32> = Works::default();
    let turn = |work: &page::work::Work| {
        while work.go_on(0.5) {
            std::thread::yield_now();
        }
        Err("stopped".to_owned())
    };
    assert!(matches!(works.look("a", turn), Stands::At(_)));
    assert!(matches!(works.look("b", turn), Stands::At(_)));
    assert!(matches!(works.look("c", |_| Ok(1)), Stands::Busy), "two at once are enough");
    works.stop("a");
    loop {
        match works.look("a", turn) {
            Stands::At(_) => std::thread::yield_now(),
            Stands::Not(why) => break assert_eq!(why, "stopped"),
            other => unreachable!("{other:?}"),
        }
    }
    works.stop("b");
}

#[test]
fn pressing_shows_how_far_it_is_and_then_every_pattern() {
    let bench = Bench::new();
    let machine = bench.demo();
    let path = format!("{machine}/paste?with=skerry-fine");
    let first = bench.get(&path).text();
    assert!(first.contains("<progress") && first.contains("Stop"), "{first}");
    assert!(
        first.contains("<noscript><meta http-equiv=\"refresh\""),
        "without scripts it looks again by itself"
    );
    let text = loop {
        let text = bench.get(&path).text();
        if !text.contains("<progress") {
            break text;
        }
        std::thread::yield_now();
    };
    for pattern in ["dot", "line", "cross", "five dots", "spread layer"] {
        assert!(text.contains(pattern), "{pattern}");
    }
    let film = bench.get(&format!("{machine}/film.svg?with=skerry-fine&pattern=five+dots")).text();
    assert!(film.starts_with("<svg") && film.contains("prefers-reduced-motion") && !film.contains("<script"));
    // Stopping goes back to a page of ours, whatever the form says.
    let away = bench.post("/works/stop", &[("about", "x"), ("back", "//attacker.example/")]).goes_to();
    assert_eq!(away, "/");
}

#[test]
fn a_lid_is_previewed_at_once_and_then_solved_with_its_joint() {
    let bench = Bench::new();
    let machine = bench.demo();
    let path = format!("{machine}/lid");
    let first = bench.get(&path).text();
    assert!(first.contains("Preview") && first.contains("<progress") && first.contains("Lid as a heat map"));
    let text = loop {
        let text = bench.get(&path).text();
        if !text.contains("<progress") {
            break text;
        }
        std::thread::yield_now();
    };
    for part in
        ["than a fresh joint as it should be", "common practice, no source", "the joint above the lid"]
    {
        assert!(text.contains(part), "{part}");
    }
    assert!(!text.contains("Preview"));
}
