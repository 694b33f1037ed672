//! The power path as terminal text.

use quantity::interval::Interval;
use upgrade::carry::power_gauge::{Gauge, Kept};
use upgrade::carry::power_path::{AirNeeded, FlowKind, PowerPath};

use crate::paint::{Paint, Role};
use crate::table::{Side, Table};
use crate::wrap::wrap;

/// The role of a limit's colour.
const fn role(kept: Kept) -> Role {
    match kept {
        Kept::Surely => Role::Good,
        Kept::Perhaps => Role::Careful,
        Kept::Not => Role::Stop,
    }
}

/// A bar of ten cells: what is surely used, what is perhaps used, and a bar at the limit.
///
/// # Example
/// ```
/// assert_eq!(draw::power_text::bar((0.42, 0.71)), "####===   |");
/// assert_eq!(draw::power_text::bar((0.42, 1.30)), "####======|>");
/// ```
pub fn bar(used: (f64, f64)) -> String {
    let cells = |share: f64| (share.clamp(0.0, 1.0) * 10.0).round() as usize;
    let (sure, perhaps) = (cells(used.0), cells(used.1).max(cells(used.0)));
    let over = if used.1 > 1.0 { ">" } else { "" };
    format!("{}{}{}|{over}", "#".repeat(sure), "=".repeat(perhaps - sure), " ".repeat(10 - perhaps))
}

/// Where the power goes.
pub fn flows(path: &PowerPath) -> Table {
    let mut table = Table::new(&[("power", Side::Left), ("flow", Side::Right)]);
    for flow in &path.flows {
        let name = match flow.kind {
            FlowKind::Through => flow.name.clone(),
            FlowKind::Branch => format!("  to {}", flow.name),
            FlowKind::Loss => format!("  lost: {}", flow.name),
        };
        let watts = flow.power.known().map_or_else(|| "unknown".to_owned(), |power| power.rounded(3));
        table.row([name, watts]);
    }
    table
}

/// Columns from which on the bars fit.
const BAR_FITS: usize = 96;

/// Each limit with what comes to it, and a bar where there is room for it.
pub fn gauges(gauges: &[Gauge], width: usize) -> Table {
    // The bar says again what the numbers say: it goes first where room is short.
    let with_bar = width >= BAR_FITS;
    let mut headings = vec![
        ("limit", Side::Left),
        ("comes to", Side::Right),
        ("of", Side::Right),
        ("left", Side::Right),
        ("kept", Side::Left),
    ];
    if with_bar {
        headings.push(("used", Side::Left));
    }
    let mut table = Table::new(&headings);
    for gauge in gauges {
        let mut cells = vec![
            gauge.what.clone(),
            gauge.value.clone(),
            gauge.limit.clone(),
            gauge.margin.clone(),
            gauge.kept().word().to_owned(),
        ];
        if with_bar {
            cells.push(bar(gauge.used));
        }
        table.row(cells);
    }
    table
}

/// The sentences below the tables.
pub fn sentences(path: &PowerPath) -> Vec<String> {
    let mut out = Vec::new();
    if let (Some(sustained), Some((worst, best))) = (path.held.sustained.get(), path.held.nearest) {
        let binds = if worst == best {
            format!("the {} binds", worst.word())
        } else {
            format!("at worst the {} binds, at best the {}", worst.word(), best.word())
        };
        out.push(format!("The stages hold {} for ever: {binds}.", sustained.rounded(3)));
    }
    if let (Some(burst), Some(time)) = (path.held.burst.get(), path.burst_time.get()) {
        out.push(format!("From rest they hold {} for a burst of {}.", burst.rounded(3), time.rounded(2)));
    }
    if let Some((worst, best)) = &path.air {
        out.push(air("With everything unknown at its worst", worst));
        if best != worst {
            out.push(air("With everything at its best", best));
        }
    }
    if let Some(converter) = &path.converter {
        let text = |value: Option<String>| value.unwrap_or_else(|| "unknown".to_owned());
        out.push(format!(
            "Converter: duty {}, {} to the processor, efficiency {}; ripple {} in a phase, {} of all together, {} rms in the input capacitors.",
            text(converter.duty.known().map(|x| x.rounded(3))),
            text(converter.current.known().map(|x| x.rounded(3))),
            text(converter.efficiency.known().map(|x| x.rounded(3))),
            text(converter.phase_ripple.known().map(|x| x.rounded(2))),
            text(converter.total_ripple.known().map(|x| x.rounded(2))),
            text(converter.input_ripple.known().map(|x| x.rounded(2))),
        ));
    }
    if let Some(hold) = path.hold.get() {
        out.push(format!("The supply bridges a gap in the mains of {} at this load.", hold.rounded(2)));
    }
    if let (Some(busy), Some(idle)) = (path.energy.power.busy.get(), path.energy.power.idle.get()) {
        let year = path.energy.yearly.get().map_or_else(
            || "; days and hours at work are not known, so neither is a year's energy".to_owned(),
            |energy| match &path.yearly_cost {
                Some((low, high)) => format!("; {} a year, {low} to {high}", energy.rounded(3)),
                None => format!("; {} a year", energy.rounded(3)),
            },
        );
        out.push(format!(
            "By the day's tasks: {} from the wall at work, {} at rest{year}.",
            busy.rounded(3),
            idle.rounded(3)
        ));
    }
    out
}

/// What the air would have to be.
fn air(lead: &str, needed: &AirNeeded) -> String {
    match (needed.warmest, needed.slowest) {
        (Some(warmest), Some(slowest)) if slowest.si() > 0.0 => format!(
            "{lead} they hold this processor in air of up to {} over them, or moved at {} or more.",
            Interval::exact(warmest).rounded(2),
            Interval::exact(slowest).rounded(2)
        ),
        (Some(warmest), _) => format!(
            "{lead} they hold this processor in air of up to {} over them.",
            Interval::exact(warmest).rounded(2)
        ),
        (None, Some(slowest)) => format!(
            "{lead} they hold this processor only in air moved at {} or more.",
            Interval::exact(slowest).rounded(2)
        ),
        (None, None) => format!("{lead} no air is cold or fast enough for this processor."),
    }
}

/// The power path.
pub fn power(path: &PowerPath, width: usize, paint: Paint) -> String {
    let mut out = format!("{}\n\n", paint.text(Role::Heading, &path.title));
    out.push_str(&flows(path).render(usize::MAX));
    out.push('\n');
    out.push_str(&gauges(&path.gauges, width).render(width));
    out.push('\n');
    for sentence in sentences(path) {
        for line in wrap(&sentence, width, 2) {
            out.push_str(&line);
            out.push('\n');
        }
    }
    for (label, settle) in
        [("Narrows the stages most: ", &path.settle_stages), ("Settles the supply: ", &path.settle_supply)]
    {
        for line in wrap(&format!("{label}{settle}"), width, 2) {
            out.push_str(&line);
            out.push('\n');
        }
    }
    let (kept, words) = closing(path);
    out.push_str(&paint.text(kept.map_or(Role::Careful, role), words));
    out.push('\n');
    out
}

/// The whole in one sentence, with how surely every limit is kept.
pub fn closing(path: &PowerPath) -> (Option<Kept>, &'static str) {
    let worst = path.gauges.iter().map(Gauge::kept).max();
    let only_bursts = path.gauges.iter().all(|gauge| gauge.kept() != Kept::Not || gauge.burst);
    let words = match worst {
        None => "Nothing can be said: the processor's power is not known.",
        Some(Kept::Surely) => "Every limit is kept, at its worst too.",
        Some(Kept::Perhaps) => "Some limits are perhaps passed; none for sure.",
        Some(Kept::Not) if only_bursts => {
            "A limit is passed in bursts only: set the burst power limit in the firmware to the sustained one."
        }
        Some(Kept::Not) => "A limit is passed.",
    };
    (worst, words)
}
