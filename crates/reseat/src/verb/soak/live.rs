//! What is shown while a run goes on: a few lines that stay where they are on a terminal, else a line now and then.

use std::io::{IsTerminal as _, Write as _};

use draw::paint::{Paint, Role};
use quantity::text::significant;
use soak::kernel::Load;
use soak::run::conductor::Moment;
use soak::run::words::{DIPS, named};

use crate::args::soak::Soak;
use crate::terminal::Screen;
use crate::verb::soak::json;

/// How it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// In place, four times a second.
    Place,
    /// A line every second at first, then every ten.
    Lines,
    /// A JSON value a second.
    Json,
}

/// What is shown while a run goes on.
#[derive(Debug)]
pub(crate) struct Live {
    way: Way,
    width: usize,
    paint: Paint,
    shown_s: Option<f64>,
    lines: usize,
    /// Whether the moment before this one was in a dip.
    dipped: bool,
    /// What each sensor said last, and when: slow ones are not asked for every row.
    said: Vec<Option<(f64, f64)>>,
}

/// What a sensor said is shown for so many seconds.
const FRESH_S: f64 = 3.0;

/// `2:05`
pub(crate) fn clock(seconds: f64) -> String {
    let seconds = seconds.max(0.0) as u64;
    if seconds >= 3600 {
        format!("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
    } else {
        format!("{}:{:02}", seconds / 60, seconds % 60)
    }
}

/// Work in a second with its unit.
pub(crate) fn rate(load: Load, per_s: f64) -> String {
    let (factor, prefix) = match per_s {
        many if many >= 1e9 => (1e9, "G "),
        many if many >= 1e6 => (1e6, "M "),
        many if many >= 1e3 => (1e3, "k "),
        _ => (1.0, ""),
    };
    format!("{} {prefix}{}/s", significant(per_s / factor, 4), load.unit())
}

impl Live {
    pub(crate) fn new(wanted: &Soak, screen: &Screen) -> Self {
        let way = match wanted.json {
            true => Way::Json,
            false if std::io::stdout().is_terminal() => Way::Place,
            false => Way::Lines,
        };
        Self {
            way,
            width: screen.width,
            paint: screen.paint,
            shown_s: None,
            lines: 0,
            dipped: false,
            said: Vec::new(),
        }
    }

    /// Shows a moment, if it is time.
    pub(crate) fn show(&mut self, moment: &Moment<'_>) {
        self.said.resize(moment.row.len(), None);
        for (said, value) in self.said.iter_mut().zip(moment.row) {
            if let Some(value) = value {
                *said = Some((moment.time_s, *value));
            } else if said.is_some_and(|(then_s, _)| moment.time_s - then_s > FRESH_S) {
                *said = None;
            }
        }
        let every_s = match self.way {
            Way::Place => 0.25,
            Way::Json => 1.0,
            Way::Lines if moment.time_s < 10.0 => 1.0,
            Way::Lines => 10.0,
        };
        // That the load rests by itself is said at once, whenever the last line was.
        let turns = moment.dips && !self.dipped;
        self.dipped = moment.dips;
        if !turns && self.shown_s.is_some_and(|last| moment.time_s - last < every_s) {
            return;
        }
        self.shown_s = Some(moment.time_s);
        let text = match self.way {
            Way::Json => {
                let said: Vec<Option<f64>> =
                    self.said.iter().map(|one| one.map(|(_, value)| value)).collect();
                format!("{}\n", json::moment(moment, &said))
            }
            Way::Lines => format!("{}\n", self.line(moment)),
            Way::Place => {
                let block = self.block(moment);
                let back = if self.lines > 0 { format!("\x1b[{}A\x1b[J", self.lines) } else { String::new() };
                self.lines = block.lines().count();
                format!("{back}{block}")
            }
        };
        let mut out = std::io::stdout().lock();
        // A reader that went away does not end a run: its log goes on.
        let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    }

    /// Leaves the last lines as they are.
    pub(crate) fn end(&mut self) {
        self.lines = 0;
    }

    fn block(&self, moment: &Moment<'_>) -> String {
        let cut = |line: String| line.chars().take(self.width).collect::<String>();
        let mut lines = vec![cut(head(moment))];
        let name_width =
            moment.watched.iter().map(|one| named(&one.heading).chars().count()).max().unwrap_or(0);
        for one in moment.watched.iter().take(12) {
            let value = moment.row.get(one.column).copied().flatten();
            lines.push(self.gauge(named(&one.heading), name_width, value, one.limit));
        }
        let others = self.others(moment);
        if !others.is_empty() {
            lines.push(cut(others.join("   ")));
        }
        lines.push(self.paint.text(Role::Quiet, "Ctrl-C stops it at once"));
        lines.iter().map(|line| format!("{line}\n")).collect()
    }

    /// `package  71.0 °C  [#######-----|]  limit 95 °C`
    fn gauge(&self, name: &str, name_width: usize, value: Option<f64>, limit: f64) -> String {
        let cells = self.width.saturating_sub(name_width + 36).clamp(8, 60);
        let Some(value) = value else {
            return format!("{name:name_width$}  {:>8}", self.paint.text(Role::Stop, "no value"));
        };
        let low = 20.0;
        let share = ((value - low) / (limit - low)).clamp(0.0, 1.0);
        let full = (share * cells as f64).round() as usize;
        let bar = format!("{}{}", "#".repeat(full), "-".repeat(cells - full));
        let role = match limit - value {
            left if left < 5.0 => Role::Stop,
            left if left < 15.0 => Role::Careful,
            _ => Role::Good,
        };
        format!("{name:name_width$}  {value:>5.1} °C  [{}]  limit {limit:.0} °C", self.paint.text(role, &bar))
    }

    fn others(&self, moment: &Moment<'_>) -> Vec<String> {
        let wanted = ["power W", "clock MHz", "fan 1 rpm", "pump 1 rpm", "held by junction %"];
        moment
            .headings
            .iter()
            .zip(&self.said)
            .filter(|(heading, _)| wanted.contains(&heading.as_str()))
            .filter_map(|(heading, said)| {
                let (name, unit) = heading.rsplit_once(' ')?;
                Some(format!("{name} {} {unit}", significant((*said)?.1, 4)))
            })
            .collect()
    }

    /// A moment in one line.
    fn line(&self, moment: &Moment<'_>) -> String {
        let hottest = moment
            .watched
            .iter()
            .filter_map(|one| Some((one, moment.row.get(one.column).copied().flatten()?)))
            .max_by(|one, other| one.1.total_cmp(&other.1));
        let hottest = hottest.map_or(String::new(), |(one, value)| {
            format!("  {} {value:.1} °C of {:.0}", named(&one.heading), one.limit)
        });
        let others: String = self.others(moment).into_iter().map(|one| format!("  {one}")).collect();
        format!("{}{hottest}{others}", head(moment))
    }
}

fn head(moment: &Moment<'_>) -> String {
    let what = match moment.load {
        Some(load) if moment.dips => format!("{}: {DIPS}", load.word()),
        Some(load) => {
            format!("{} at {:.0} %, {}", load.word(), 100.0 * moment.share, rate(load, moment.work_per_s))
        }
        None => "rest".to_owned(),
    };
    format!("{} of {}  {what}  errors {}", clock(moment.time_s), clock(moment.length_s), moment.errors)
}
