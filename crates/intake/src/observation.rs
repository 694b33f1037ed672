//! What was counted while a machine was watched, as a CSV file that grows by a row every few seconds.

use std::fmt::Write as _;

use upgrade::gain::observed::span::Span;

use crate::problem::{Problem, Problems, Severity, SourceFile};

/// The heading.
pub const HEADING: &str = "length s,looks at rest,one wants,many want,elsewhere,wanting,threads busy,\
waits for processor,waits for memory,waits for disk,disk works,graphics work,clock MHz,memory B/s,\
instructions a cycle,stalled cycles,memory bound,misses 1/s";

/// How every heading begins; files from before a column was known have fewer of them.
const BEGINS: &str = "length s,looks at rest,one wants,many want,elsewhere,wanting,";

/// A span as a row, with its line end.
pub fn row(span: &Span) -> String {
    let mut out = format!(
        "{:.3},{},{},{},{},{}",
        span.length_s, span.rest, span.one, span.many, span.elsewhere, span.wanting
    );
    let [processor, memory, disk] = span.stalled;
    for cell in [
        span.busy,
        processor,
        memory,
        disk,
        span.disk,
        span.graphics,
        span.clock_mhz,
        span.memory_bytes_s,
        span.instructions_per_cycle,
        span.stalled_cycles,
        span.memory_bound,
        span.misses_s,
    ] {
        match cell {
            // Writing into text that is ours cannot fail.
            Some(value) => drop(write!(out, ",{}", (value * 1e6).round() / 1e6)),
            None => out.push(','),
        }
    }
    out.push('\n');
    out
}

/// Whether a row may follow what a file holds, or the heading must stand again first.
pub fn is_headed(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.lines().rfind(|line| line.starts_with(BEGINS)).is_some_and(|line| line.trim_end() == HEADING)
}

/// The spans of a file, and its number of threads. A last row that was cut off by a crash is left out with a warning, as is
/// every row that cannot be read.
pub fn read(file: &SourceFile) -> (Vec<Span>, Option<u32>, Vec<Problem>) {
    let text = String::from_utf8_lossy(&file.bytes);
    let mut problems = Problems::new(&file.name, &text);
    let mut spans = Vec::new();
    let mut threads = None;
    let mut heading: Option<Vec<&str>> = None;
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let span = at..at + line.trim_end().len();
        at += line.len();
        let plain = line.trim();
        if let Some(note) = plain.strip_prefix('#') {
            if let Some(count) = note.trim().strip_prefix("threads:") {
                threads = count.trim().parse().ok().filter(|count| (1..=4096).contains(count));
            }
            continue;
        }
        if plain.is_empty() {
            continue;
        }
        if plain.starts_with(BEGINS) {
            // Where watching went on with more columns than before, the heading stands again.
            heading = Some(plain.split(',').collect());
            continue;
        }
        let Some(heading) = &heading else {
            let help = "observe writes such a file itself: reseat observe --keep FILE".to_owned();
            problems.error(
                span,
                "",
                "this is no file of counted looks: its heading is another".to_owned(),
                Some(help),
            );
            return (spans, threads, problems.found);
        };
        let is_whole = line.ends_with('\n');
        match parsed(plain, heading).filter(|_| is_whole) {
            Some(one) => spans.push(one),
            None => {
                let message = if is_whole { "this row cannot be read" } else { "this row was cut off" };
                problems.add(span, "", Severity::Warning, format!("{message}; it is left out"), None);
            }
        }
    }
    (spans, threads, problems.found)
}

fn parsed(line: &str, heading: &[&str]) -> Option<Span> {
    let cells: Vec<&str> = line.split(',').collect();
    if cells.len() != heading.len() {
        return None;
    }
    let cell = |name: &str| Some(cells.get(heading.iter().position(|one| *one == name)?)?.trim());
    let count = |name: &str| cell(name)?.parse::<u32>().ok();
    // A column that is not there is not known; a cell that is no such value spoils its row.
    let value = |name: &str, most: f64| -> Option<Option<f64>> {
        match cell(name) {
            None | Some("") => Some(None),
            Some(text) => text.parse().ok().filter(|value| (0.0..=most).contains(value)).map(Some),
        }
    };
    Some(Span {
        length_s: value("length s", 1e7)??,
        rest: count("looks at rest")?,
        one: count("one wants")?,
        many: count("many want")?,
        elsewhere: count("elsewhere")?,
        wanting: count("wanting")?,
        busy: value("threads busy", 1e5)?,
        stalled: [
            value("waits for processor", 1.0)?,
            value("waits for memory", 1.0)?,
            value("waits for disk", 1.0)?,
        ],
        disk: value("disk works", 1.0)?,
        graphics: value("graphics work", 1.0)?,
        clock_mhz: value("clock MHz", 1e5)?,
        memory_bytes_s: value("memory B/s", 1e15)?,
        instructions_per_cycle: value("instructions a cycle", 100.0)?,
        stalled_cycles: value("stalled cycles", 1.0)?,
        memory_bound: value("memory bound", 1.0)?,
        misses_s: value("misses 1/s", 1e15)?,
    })
}

#[cfg(test)]
mod tests {
    use super::{HEADING, is_headed, read, row};
    use crate::problem::SourceFile;
    use proptest::prelude::*;
    use upgrade::gain::observed::span::Span;

    fn file(text: &str) -> SourceFile {
        SourceFile { name: "seen.csv".to_owned(), bytes: text.as_bytes().to_vec() }
    }

    fn span() -> impl Strategy<Value = Span> {
        let share = || prop::option::of((0..=1_000_000_u32).prop_map(|share| f64::from(share) / 1e6));
        let counts = [0..1000_u32, 0..1000, 0..1000, 0..1000, 0..9000];
        (counts, 0..1_000_000_u32, [share(), share(), share(), share(), share()], share()).prop_map(
            |([rest, one, many, elsewhere, wanting], length, [a, b, c, disk, graphics], busy)| Span {
                length_s: f64::from(length) / 1e3,
                rest,
                one,
                many,
                elsewhere,
                wanting,
                busy,
                stalled: [a, b, c],
                disk,
                graphics,
                clock_mhz: None,
                memory_bytes_s: busy.map(|busy| (busy * 1e10).round()),
                instructions_per_cycle: a,
                stalled_cycles: b,
                memory_bound: disk,
                misses_s: busy.map(|busy| (busy * 1e9).round()),
            },
        )
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(spans in prop::collection::vec(span(), 0..20)) {
            let rows: String = spans.iter().map(row).collect();
            let (found, threads, problems) = read(&file(&format!("# threads: 8\n{HEADING}\n{rows}")));
            prop_assert_eq!((found, threads, problems), (spans, Some(8), vec![]));
        }

        #[test]
        fn any_bytes_are_read_or_told(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&SourceFile { name: "x".to_owned(), bytes: [HEADING.as_bytes(), b"\n", &bytes].concat() });
        }
    }

    #[test]
    fn a_file_of_before_goes_on_with_more_columns() {
        let old = HEADING.rsplit_once(",instructions a cycle").unwrap().0;
        let new = row(&Span { length_s: 10.0, one: 100, stalled_cycles: Some(0.25), ..Span::default() });
        let text = format!("# threads: 4\n{old}\n10.0,0,100,0,0,0,1,,,,,,,5\n{HEADING}\n{new}");
        let (spans, threads, problems) = read(&file(&text));
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!((spans.len(), threads), (2, Some(4)));
        assert_eq!((spans[0].memory_bytes_s, spans[0].stalled_cycles), (Some(5.0), None));
        assert_eq!(spans[1].stalled_cycles, Some(0.25));
        assert!(is_headed(text.as_bytes()) && !is_headed(format!("{old}\n").as_bytes()) && !is_headed(b""));
    }

    #[test]
    fn a_row_that_a_crash_cut_off_is_left_out() {
        let one = row(&Span { length_s: 10.0, one: 100, ..Span::default() });
        let text = format!("{HEADING}\n{one}{}", &one[..one.len() - 4]);
        let (spans, _, problems) = read(&file(&text));
        assert_eq!(spans.len(), 1);
        assert!(problems[0].message.contains("cut off") && problems[0].line == 3);
        assert!(read(&file("a,b\n1,2\n")).2[0].message.contains("no file of counted looks"));
    }
}
