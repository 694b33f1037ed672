//! Which processors fit which boards.

use draw::fit_chart::{ChartRow, FitChart};
use upgrade::fit::finding::{Finding, Verdict};
use upgrade::fit::rule::Rule;
use upgrade::fit::rules::ALL;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::board::Board;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;
use upgrade::part::processor::Processor;

/// What else a chart looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Looks {
    /// Only processor and board.
    PairOnly,
    /// Also whether this machine has a picture.
    ThisMachine,
}

/// Rules that only look at processor and board.
fn rules(looks: Looks) -> impl Iterator<Item = &'static Rule> {
    const BOTH: [Kind; 2] = [Kind::Processor, Kind::Board];
    // What a part costs is no question of fit.
    ALL.iter().filter(move |rule| {
        (rule.looks_at.iter().all(|kind| BOTH.contains(kind)) || rule.id == "power-stages")
            && !matches!(rule.id, "value" | "second-hand" | "keys" | "lanes")
            && (looks == Looks::ThisMachine || rule.id != "picture")
    })
}

/// What decides whether a processor fits a board: the worst finding, the first of equal ones.
pub fn decide(
    machine: &Machine,
    library: &Library,
    processor: &Processor,
    board: &Board,
    looks: Looks,
) -> Finding {
    let changes = Changes {
        processor: (processor.id != machine.processor.part.id).then_some(processor),
        board: (board.id != machine.board.part.id).then_some(board),
        ..Changes::default()
    };
    let proposal = Proposal { now: machine, changes, library };
    let mut worst: Option<Finding> = None;
    for rule in rules(looks) {
        let finding = (rule.judge)(&proposal);
        if worst.as_ref().is_none_or(|worst| finding.verdict > worst.verdict) {
            worst = Some(finding);
        }
    }
    worst.unwrap_or_else(|| Finding::new("socket", Verdict::CannotTell, "no rule looks at this"))
}

/// The chart of one socket: all its processors against all its boards.
///
/// Firmware is judged as boards are sold.
pub fn socket(machine: &Machine, library: &Library, socket: &PartId) -> FitChart {
    let mut boards: Vec<&Board> = library.boards.values().filter(|board| board.socket == *socket).collect();
    // By chipset, so that series which exclude each other stand apart.
    boards.sort_by(|a, b| a.chipset.cmp(&b.chipset).then_with(|| a.id.cmp(&b.id)));
    let processors: Vec<&Processor> =
        library.processors.values().filter(|processor| processor.socket == *socket).collect();
    FitChart {
        title: format!("Socket {socket}: which processor runs on which board"),
        boards: boards.iter().map(|board| (board.name.clone(), board.chipset.text().to_owned())).collect(),
        processors: rows(machine, library, &processors, &boards, Looks::PairOnly),
    }
}

/// The chart of the machine's own board: every processor of its socket.
pub fn this_board(machine: &Machine, library: &Library) -> FitChart {
    let board = &machine.board.part;
    let processors: Vec<&Processor> =
        library.processors.values().filter(|processor| processor.socket == board.socket).collect();
    FitChart {
        title: format!("{}: which processor runs on its board", machine.name),
        boards: vec![(board.name.clone(), board.chipset.text().to_owned())],
        processors: rows(machine, library, &processors, &[board], Looks::ThisMachine),
    }
}

fn rows(
    machine: &Machine,
    library: &Library,
    processors: &[&Processor],
    boards: &[&Board],
    looks: Looks,
) -> Vec<ChartRow> {
    let mut sorted: Vec<&Processor> = processors.to_vec();
    sorted.sort_by(|a, b| a.generation.cmp(&b.generation).then_with(|| a.name.cmp(&b.name)));
    sorted
        .into_iter()
        .map(|processor| ChartRow {
            name: processor.name.clone(),
            generation: processor.generation.text().to_owned(),
            verdicts: boards
                .iter()
                .map(|board| {
                    let finding = decide(machine, library, processor, board, looks);
                    (finding.verdict, finding.rule)
                })
                .collect(),
        })
        .collect()
}
