//! A soak's text before and after its run.

use draw::paint::Role;
use draw::table::{Side, Table};
use quantity::text::significant;
use soak::guard::{Ended, Watched};
use soak::run::conductor::Report;
use soak::run::plan::Plan;
use soak::run::words::{ended, named};
use soak::sensors::limit::Limit;
use soak::sensors::sampler::Sampler;

use crate::args::soak::Soak;
use crate::terminal::Screen;
use crate::verb::soak::live::{clock, rate};

fn limits_table(limits: &[(Watched, Limit)]) -> Table {
    let mut table =
        Table::new(&[("sensor", Side::Left), ("stops at", Side::Right), ("which is", Side::Left)]);
    for (one, limit) in limits {
        table.row([
            named(&one.heading).to_owned(),
            format!("{:.1} °C", limit.celsius),
            limit.basis.words().to_owned(),
        ]);
    }
    table
}

fn wrapped(text: &str, screen: &Screen) -> String {
    draw::wrap::wrap(text, screen.width, 2).join("\n") + "\n"
}

/// What will run under whose watch.
pub(crate) fn before(
    plan: &Plan,
    wanted: &Soak,
    limits: &[(Watched, Limit)],
    notes: &[String],
    screen: &Screen,
) -> String {
    let cores: Vec<String> = plan.cores.iter().map(ToString::to_string).collect();
    let mut out = wrapped(
        &format!(
            "{} ({}), layout {}, for {} in all; {}.",
            wanted.load.load().word(),
            plan.width.words(),
            wanted.layout.layout().word(),
            clock(plan.schedule.length_s()),
            cores.join(", ")
        ),
        screen,
    );
    if !limits.is_empty() {
        out.push_str(&limits_table(limits).render(screen.width));
    }
    for note in notes {
        out.push_str(&wrapped(&format!("not read: {note}"), screen));
    }
    out
}

/// How it went.
pub(crate) fn after(report: &Report, log: Option<&str>, screen: &Screen) -> String {
    let (why, help) = ended(report);
    let role = match report.ended {
        Ended::Done => Role::Good,
        Ended::Asked => Role::Quiet,
        _ => Role::Stop,
    };
    let mut out = String::new();
    for line in draw::wrap::wrap(&why, screen.width, 2) {
        out.push_str(&screen.paint.text(role, &line));
        out.push('\n');
    }
    for failure in &report.failures {
        let text = format!("{} under {}: {}.", failure.core, failure.load.word(), failure.what);
        out.push_str(&wrapped(&text, screen));
    }
    if let Some(help) = help {
        out.push_str(&wrapped(&format!("do: {help}"), screen));
    }
    for (core, why) in &report.astray {
        out.push_str(&wrapped(
            &format!("{core} could not be kept to itself ({why}): its load may have run elsewhere."),
            screen,
        ));
    }
    for (heading, highest) in report.highest.iter().filter(|(_, highest)| highest.is_finite()) {
        out.push_str(&format!("highest {}: {highest:.1} °C\n", named(heading)));
    }
    for (load, units, core_seconds) in report.work.iter().filter(|(.., seconds)| *seconds > 0.0) {
        out.push_str(&format!(
            "{}: {} for each second of a core\n",
            load.word(),
            rate(*load, units / core_seconds)
        ));
    }
    out.push_str(&wrapped(
        &format!(
            "{} rows in {}; watching took {} % of one core; the load was over {} ms after the decision to end it.",
            report.rows,
            clock(report.length_s),
            significant(100.0 * report.watching, 2),
            significant(1e3 * report.stopped_in_s, 2)
        ),
        screen,
    ));
    if report.dips > 0 {
        let times = if report.dips == 1 { "once".to_owned() } else { format!("{} times", report.dips) };
        out.push_str(&wrapped(
            &format!(
                "The load rested for seconds {times}, to see whether a sensor that stood still lives; the log calls these rows \"dip\", and reseat proof knows them."
            ),
            screen,
        ));
    }
    if let Some(log) = log {
        out.push_str(&wrapped(&format!("The log is in {log}. Look at it with  reseat log {log}"), screen));
    }
    out
}

/// `supply/power1 (203 W)`
fn meter(one: &soak::sensors::find::PowerMeter) -> String {
    let now = one.watts.map_or_else(|| "unknown".to_owned(), |watts| format!("{} W", significant(watts, 4)));
    format!("{}/{} ({now})", one.chip, one.stem)
}

/// What can be read, and the limits.
pub(crate) fn list(
    sampler: &Sampler,
    row: &[Option<f64>],
    limits: &[(Watched, Limit)],
    notes: &[String],
    screen: &Screen,
) -> String {
    let mut table = Table::new(&[("reading", Side::Left), ("now", Side::Right)]);
    for (heading, value) in sampler.headings().iter().zip(row) {
        let (name, unit) = heading.rsplit_once(' ').unwrap_or((heading, ""));
        // A count has no unit: its last word is part of its name.
        let (name, unit) = if unit == "times" { (heading.as_str(), "") } else { (name, unit) };
        let value = value.map_or("unknown".to_owned(), |value| format!("{} {unit}", significant(value, 5)));
        table.row([name.to_owned(), value.trim().to_owned()]);
    }
    let mut out =
        if table.is_empty() { "Nothing can be read here.\n".to_owned() } else { table.render(screen.width) };
    if let Some(from) = sampler.power_from() {
        out.push_str(&wrapped(&format!("The processor's power comes from {from}."), screen));
    }
    let unnamed: Vec<String> = sampler.meters().iter().filter(|one| one.place.is_none()).map(meter).collect();
    if !unnamed.is_empty() {
        let words = format!(
            "Sensors of power that are not read: {}. Say what one is by --sensor power=CHIP/SENSOR, or wall=CHIP/SENSOR.",
            unnamed.join(", ")
        );
        out.push_str(&wrapped(&words, screen));
    }
    out.push('\n');
    if limits.is_empty() {
        out.push_str(&wrapped(
            "No temperature of the processor is among them: a soak is refused unless you name one by --sensor, or say --blind.",
            screen,
        ));
    } else {
        out.push_str(&limits_table(limits).render(screen.width));
    }
    for note in notes {
        out.push_str(&wrapped(&format!("not read: {note}"), screen));
    }
    out
}
