//! What stands at the head of a log: lines about the run, and its headings.

use crate::run::conductor::ADDED;
use crate::run::plan::Plan;
use crate::sensors::sampler::Sampler;

/// What a run is, as its log's lines say it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About<'a> {
    /// Word for the load.
    pub load: &'a str,
    /// Word for the layout.
    pub layout: &'a str,
    /// Time of day at which it began (RFC 3339).
    pub start: String,
    /// What wrote it.
    pub program: String,
    /// Temperature of the room with its unit, where somebody said it.
    pub room: Option<String>,
}

/// The `# key: value` lines.
pub fn lines(about: About<'_>, plan: &Plan, sampler: &Sampler) -> Vec<(String, String)> {
    let cores: Vec<String> = plan.cores.iter().map(|core| core.cpu.to_string()).collect();
    let mut out = vec![
        ("load".to_owned(), about.load.to_owned()),
        ("layout".to_owned(), about.layout.to_owned()),
        ("start".to_owned(), about.start),
        ("cores".to_owned(), cores.join(" ")),
        ("registers".to_owned(), plan.width.words().to_owned()),
        ("written by".to_owned(), about.program),
    ];
    out.extend(sampler.power_limit().map(|limit| ("power limit".to_owned(), format!("{limit} W"))));
    out.extend(sampler.power_from().map(|from| ("power from".to_owned(), from.to_owned())));
    out.extend(about.room.map(|room| ("room".to_owned(), room)));
    out
}

/// The headings of its table.
pub fn headings(sampler: &Sampler) -> Vec<String> {
    let mut headings = vec!["time s".to_owned()];
    headings.extend(sampler.headings().iter().cloned());
    headings.extend(ADDED.map(str::to_owned));
    headings.push("load".to_owned());
    headings
}
