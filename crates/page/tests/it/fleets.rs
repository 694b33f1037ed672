//! Many machines at once: planned for, given out as tables and job sheets; and what makes no sense refused.

use axum::http::StatusCode;

use crate::bench::{Bench, TOKEN, form_with_file};

const TABLE: &str = "\
id,name,processor.id,board.id,firmware,memory.id,cooler.id,supply.id,case.id,setting.days_a_year
one,Room <b>4</b>,tern-1-sedge,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
two,Room 5,tern-1-sedge,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
three,Room 6,nothing-such,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
";
const COMMON: &str = "setting = { room = \"20..26 °C\", hours_on = \"8 h\", energy_price = \"0.30 EUR\" }\n\
task = [{ name = \"rendering\", time_a_day = \"2 h\", serial = \"10 %\", parallel = \"85 %\", elsewhere = \"5 %\" }]\n\
wishes = { hour_value = \"10 EUR\", second_hand = \"welcome\" }\n";

fn fields<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let usual = [
        ("token", TOKEN),
        ("which", "file"),
        ("common", COMMON),
        ("years", "3"),
        ("goal", "worth"),
        ("reuse", "yes"),
    ];
    usual
        .into_iter()
        .filter(|(name, _)| more.iter().all(|(other, _)| other != name))
        .chain(more.iter().copied())
        .collect()
}

fn begin(bench: &Bench, more: &[(&str, &str)], table: &str) -> crate::bench::Got {
    bench.send(form_with_file("/fleet", &fields(more), ("machines", "machines.csv", table.as_bytes())))
}

fn done(bench: &Bench, at: &str) -> String {
    loop {
        let got = bench.get(at);
        let text = got.text();
        if !text.contains("data-waits") {
            return text;
        }
        std::thread::yield_now();
    }
}

#[test]
fn a_table_of_machines_is_planned_and_given_out() {
    let bench = Bench::new();
    assert!(bench.get("/fleet").text().contains("Plan for them"));
    let at = begin(&bench, &[("budget", "2000 EUR"), ("hours", "20")], TABLE).goes_to();
    let text = done(&bench, &at);
    assert!(text.contains("2 machines in 1 groups") && text.contains("What to do"), "{text}");
    assert!(text.contains("1 more could not be read") && text.contains("nothing-such"), "{text}");
    assert!(text.contains("<svg"), "the picture");
    let table = bench.get(&format!("{at}/table.csv")).text();
    assert!(table.contains("Room 5"), "{table}");
    assert!(bench.get(&format!("{at}/problems.csv")).text().contains("nothing-such"));
    let list = bench.get(&format!("{at}/sheets")).text();
    assert!(list.contains("Room &lt;b&gt;4") && !list.contains("<b>4"), "escaped: {list}");
    let first = list.split(&format!("{at}/sheets/")).nth(1).unwrap().split('"').next().unwrap();
    let sheet = bench.get(&format!("{at}/sheets/{first}"));
    assert!(sheet.status == StatusCode::OK && sheet.text().contains("<!DOCTYPE html>"));
    assert_eq!(bench.get(&format!("{at}/sheets/0009-none.html")).status, StatusCode::NOT_FOUND);
}

#[test]
fn the_machines_of_the_bench_are_a_fleet_too() {
    let bench = Bench::new();
    bench.demo();
    let text = done(&bench, &begin(&bench, &[("which", "bench"), ("common", "")], "").goes_to());
    assert!(text.contains("1 machines in 1 groups") && text.contains("Radio Harrow"), "{text}");
}

#[test]
fn what_makes_no_sense_is_told_and_begins_nothing() {
    let bench = Bench::new();
    for (more, table, words) in [
        (vec![("hours", "many")], TABLE, "is no number"),
        (vec![("seconds", "0")], TABLE, "to search"),
        (vec![("goal", "fame")], TABLE, "none of the goals"),
        (vec![("which", "all")], TABLE, "none of the machines"),
        (vec![], "", "choose the file"),
        (vec![("common", "cooler = 7 mm")], TABLE, "cooler = 7 mm"),
    ] {
        let got = begin(&bench, &more, table);
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{more:?}");
        assert!(got.text().contains(words), "{more:?}: {}", got.text());
    }
    // What only the machines or the library can tell is told when they were read.
    for (more, words) in
        [(vec![("budget", "much")], "budget much"), (vec![("stock", "tern=1")], "no such part")]
    {
        let text = done(&bench, &begin(&bench, &more, TABLE).goes_to());
        assert!(text.contains("It was not computed") && text.contains(words), "{more:?}: {text}");
    }
    assert_eq!(bench.get("/fleet/0123").status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/fleet/0123/table.csv").status, StatusCode::NOT_FOUND);
}
