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
    // Stopping goes back to a page of ours, whatever the form says.
    let away = bench.post("/works/stop", &[("about", "x"), ("back", "//attacker.example/")]).goes_to();
    assert_eq!(away, "/");
}
