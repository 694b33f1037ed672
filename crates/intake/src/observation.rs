//! What was counted while a machine was watched, as a CSV file that grows by a row every few seconds.

use std::fmt::Write as _;

use upgrade::gain::observed::span::Span;

use crate::problem::{Problem, Problems, Severity, SourceFile};

/// The heading.
pub const HEADING: &str = "length s,looks at rest,one wants,many want,elsewhere,wanting,threads busy,\
waits for processor,waits for memory,waits for disk,disk works,graphics work,clock MHz,memory B/s";

/// A span as a row, with its line end.
pub fn row(span: &Span) -> String {
    let mut out = format!(
        "{:.3},{},{},{},{},{}",
        span.length_s, span.rest, span.one, span.many, span.elsewhere, span.wanting
    );
    let [processor, memory, disk] = span.stalled;
    for cell in
        [span.busy, processor, memory, disk, span.disk, span.graphics, span.clock_mhz, span.memory_bytes_s]
    {
        match cell {
            // Writing into text that is ours cannot fail.
            Some(value) => drop(write!(out, ",{}", (value * 1e6).round() / 1e6)),
            None => out.push(','),
        }
    }
    out.push('\n');
    out
}

/// The spans of a file, and its number of threads. A last row that was cut off by a crash is left out with a warning, as is
/// every row that cannot be read.
pub fn read(file: &SourceFile) -> (Vec<Span>, Option<u32>, Vec<Problem>) {
    let text = String::from_utf8_lossy(&file.bytes);
    let mut problems = Problems::new(&file.name, &text);
    let mut spans = Vec::new();
    let mut threads = None;
    let mut headed = false;
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
        if plain.is_empty() || plain == HEADING {
            headed |= plain == HEADING;
            continue;
        }
        if !headed {
            let help = "observe writes such a file itself: reseat observe --keep FILE".to_owned();
            problems.error(
                span,
                "",
                "this is no file of counted looks: its heading is another".to_owned(),
                Some(help),
            );
            return (spans, threads, problems.found);
        }
        let is_whole = line.ends_with('\n');
        match parsed(plain).filter(|_| is_whole) {
            Some(one) => spans.push(one),
            None => {
                let message = if is_whole { "this row cannot be read" } else { "this row was cut off" };
                problems.add(span, "", Severity::Warning, format!("{message}; it is left out"), None);
            }
        }
    }
    (spans, threads, problems.found)
}

fn parsed(line: &str) -> Option<Span> {
    let cells: Vec<&str> = line.split(',').collect();
    if cells.len() != HEADING.split(',').count() {
        return None;
    }
    let count = |place: usize| cells.get(place)?.parse::<u32>().ok();
    let value = |place: usize, most: f64| -> Option<Option<f64>> {
        match cells.get(place)?.trim() {
            "" => Some(None),
            text => text.parse().ok().filter(|value| (0.0..=most).contains(value)).map(Some),
        }
    };
    Some(Span {
        length_s: value(0, 1e7)??,
        rest: count(1)?,
        one: count(2)?,
        many: count(3)?,
        elsewhere: count(4)?,
        wanting: count(5)?,
        busy: value(6, 1e5)?,
        stalled: [value(7, 1.0)?, value(8, 1.0)?, value(9, 1.0)?],
        disk: value(10, 1.0)?,
        graphics: value(11, 1.0)?,
        clock_mhz: value(12, 1e5)?,
        memory_bytes_s: value(13, 1e15)?,
    })
}

#[cfg(test)]
mod tests {
    use super::{HEADING, read, row};
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
    fn a_row_that_a_crash_cut_off_is_left_out() {
        let one = row(&Span { length_s: 10.0, one: 100, ..Span::default() });
        let text = format!("{HEADING}\n{one}{}", &one[..one.len() - 4]);
        let (spans, _, problems) = read(&file(&text));
        assert_eq!(spans.len(), 1);
        assert!(problems[0].message.contains("cut off") && problems[0].line == 3);
        assert!(read(&file("a,b\n1,2\n")).2[0].message.contains("no file of counted looks"));
    }
}
