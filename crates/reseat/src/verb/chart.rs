//! `chart`: which processors fit which boards.

use desk::chart;
use draw::fit_chart::{picture, text};
use upgrade::part::id::PartId;

use crate::args::Chart;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json};
use crate::verb::load::machine;
use crate::verb::picture::write_pictures;

/// A socket that the library does not have.
#[derive(Debug, thiserror::Error)]
#[error("the library has no socket \"{asked}\"; it has {known}")]
struct NoSuchSocket {
    asked: String,
    known: String,
}

pub(crate) fn run(wanted: &Chart, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let chart = match &wanted.socket {
        Some(asked) => {
            let id = PartId::new(asked);
            if !library.sockets.contains_key(&id) {
                let known: Vec<&str> = library.sockets.keys().map(PartId::text).collect();
                return Err(NoSuchSocket { asked: asked.clone(), known: known.join(", ") }.into());
            }
            chart::socket(&machine, &library, &id)
        }
        None => chart::this_board(&machine, &library),
    };
    write_pictures(&wanted.picture, || picture(&chart))?;
    if wanted.json {
        let rows: Vec<serde_json::Value> = chart
            .processors
            .iter()
            .map(|row| {
                let verdicts: Vec<serde_json::Value> = row
                    .verdicts
                    .iter()
                    .map(|(verdict, rule)| serde_json::json!({ "verdict": verdict.word(), "rule": rule }))
                    .collect();
                serde_json::json!({ "processor": row.name, "generation": row.generation, "on": verdicts })
            })
            .collect();
        let boards: Vec<&str> = chart.boards.iter().map(|(name, _)| name.as_str()).collect();
        print_json(&serde_json::json!({ "title": chart.title, "boards": boards, "processors": rows }));
    } else {
        print(&text(&chart, screen.width));
    }
    Ok(Exit::Done)
}
