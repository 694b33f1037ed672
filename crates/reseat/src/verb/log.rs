//! `log`: what is in a soak log, what looks wrong, and the same in the other form.

use std::path::Path;

use draw::table::{Side, Table};
use draw::wrap::wrap;
use intake::problem::SourceFile;
use intake::soak_log::packed::{is_packed, pack, unpack};
use intake::soak_log::read as read_log;
use intake::{problem::Severity, report};
use quantity::dimension::Dimension;
use quantity::measure::Quantity;
use quantity::text::significant;
use serde_json::json;
use upgrade::proof::log::{Cores, Meter, Place, Share, SoakLog, Track, Turning};

use crate::args::soak::Log;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read, write};
use crate::verb::picture::write_pictures;

/// A column's name, unknown cells, lowest, mean and highest.
struct Line {
    name: String,
    missing: usize,
    range: Option<[String; 3]>,
}

fn line<K, D: Dimension>(track: &Track<K, D>, name: String) -> Line {
    let known = track.values.iter().flatten().map(|value| value.si());
    Line {
        name,
        missing: track.values.iter().filter(|value| value.is_none()).count(),
        range: range(known, |si| Quantity::<D>::from_si(si).rounded(4)),
    }
}

fn range(known: impl Iterator<Item = f64> + Clone, text: impl Fn(f64) -> String) -> Option<[String; 3]> {
    let count = known.clone().count();
    let low = known.clone().fold(f64::INFINITY, f64::min);
    let high = known.clone().fold(f64::NEG_INFINITY, f64::max);
    (count > 0).then(|| [text(low), text(known.sum::<f64>() / count as f64), text(high)])
}

fn place(place: &Place) -> String {
    match place {
        Place::Package => "package".to_owned(),
        Place::Core(core) => format!("core {core}"),
        Place::Stages => "stages".to_owned(),
        Place::Board => "board".to_owned(),
        Place::Cooler => "cooler".to_owned(),
        Place::CaseAir => "case air".to_owned(),
        Place::Room => "room".to_owned(),
        Place::Other(name) => name.clone(),
    }
}

fn lines(log: &SoakLog) -> Vec<Line> {
    let mut out: Vec<Line> = log.temperatures.iter().map(|track| line(track, place(&track.what))).collect();
    out.extend(log.powers.iter().map(|track| {
        line(track, if track.what == Meter::Package { "power" } else { "power from the wall" }.to_owned())
    }));
    out.extend(log.clocks.iter().map(|track| {
        line(
            track,
            match track.what {
                Cores::All => "clock".to_owned(),
                Cores::One(core) => format!("clock of core {core}"),
            },
        )
    }));
    out.extend(log.turning.iter().map(|track| {
        line(
            track,
            match track.what {
                Turning::Fan(fan) => format!("fan {fan}"),
                Turning::Pump(pump) => format!("pump {pump}"),
            },
        )
    }));
    out.extend(log.shares.iter().map(|track| {
        line(
            track,
            match track.what {
                Share::Busy => "busy",
                Share::HeldByJunction => "held by junction",
                Share::HeldByPower => "held by power",
                Share::HeldByCurrent => "held by current",
                Share::HeldByStages => "held by stages",
                Share::WaitsForProcessor => "waits for processor",
                Share::WaitsForMemory => "waits for memory",
                Share::WaitsForDisk => "waits for disk",
            }
            .to_owned(),
        )
    }));
    let plain = |values: &[Option<f64>], name: &str| Line {
        name: name.to_owned(),
        missing: values.iter().filter(|value| value.is_none()).count(),
        range: range(values.iter().flatten().copied(), |value| significant(value, 4)),
    };
    if !log.work_per_s.is_empty() {
        out.push(plain(&log.work_per_s, "work in a second"));
    }
    if !log.errors.is_empty() {
        out.push(plain(&log.errors, "wrong results so far"));
    }
    out
}

fn convert(wanted: &Log, text: &[u8]) -> Result<(), Failure> {
    if let Some(file) = &wanted.csv {
        write(file, text)?;
    }
    if let Some(file) = &wanted.parquet {
        let packed = pack(text, Vec::new())?;
        write(file, &packed)?;
    }
    Ok(())
}

fn source(path: &Path) -> Result<SourceFile, Failure> {
    let bytes = read(path)?;
    let bytes = if is_packed(&bytes) { unpack(bytes)? } else { bytes };
    Ok(SourceFile { name: path.display().to_string(), bytes })
}

pub(crate) fn run(wanted: &Log, screen: &Screen) -> Result<Exit, Failure> {
    let source = source(&wanted.file)?;
    convert(wanted, &source.bytes)?;
    let (log, problems) = read_log(&source, &wanted.column);
    let Some(log) = log else {
        return Err(Failure::Report(report::text(&problems, &[source])));
    };
    write_pictures(&wanted.picture, || draw::soak_picture::soak(&log, None, "Temperatures of a soak"))?;
    let errors = problems.iter().any(|problem| problem.severity == Severity::Error);
    let lines = lines(&log);
    if wanted.json {
        let columns: Vec<_> = lines
            .iter()
            .map(|line| json!({ "name": line.name, "unknown": line.missing, "low_mean_high": line.range }))
            .collect();
        let problems: Vec<_> = problems
            .iter()
            .map(|one| json!({ "line": one.line, "field": one.field, "severity": one.severity.word(), "message": one.message, "do": one.help }))
            .collect();
        print_json(&json!({
            "rows": log.times.len(),
            "length_s": log.length().si(),
            "loads": log.load_names,
            "columns": columns,
            "not_read": log.unread,
            "problems": problems,
        }));
    } else {
        let mut out = format!(
            "{} rows over {} s{}\n",
            log.times.len(),
            significant(log.length().si(), 4),
            if log.load_names.is_empty() {
                String::new()
            } else {
                format!("; loads: {}", log.load_names.join(", "))
            }
        );
        let mut table = Table::new(&[
            ("column", Side::Left),
            ("lowest", Side::Right),
            ("mean", Side::Right),
            ("highest", Side::Right),
            ("unknown", Side::Right),
        ]);
        for line in &lines {
            let [low, mean, high] =
                line.range.clone().unwrap_or(["unknown".to_owned(), String::new(), String::new()]);
            table.row([line.name.clone(), low, mean, high, line.missing.to_string()]);
        }
        out.push_str(&table.render(screen.width));
        if !log.unread.is_empty() {
            let words = format!(
                "Not read: {}. Say what a column is by --column OURS=THEIRS.",
                log.unread.iter().map(|written| format!("\"{written}\"")).collect::<Vec<_>>().join(", ")
            );
            for line in wrap(&words, screen.width, 2) {
                out.push_str(&line);
                out.push('\n');
            }
        }
        print(&out);
        if !problems.is_empty() {
            eprint!("{}", report::text(&problems, &[source]));
        }
    }
    Ok(if errors { Exit::No } else { Exit::Done })
}
