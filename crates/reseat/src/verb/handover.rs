//! `handover`: what was found, what was changed and why, what to expect of it.

use desk::check::changes;
use desk::proof::{Logs, pictures, proof};
use draw::document_text::text;
use draw::handover_document::{Dates, Proven, document};
use upgrade::record::handover::handover;

use paper::print::{Paper, pdf};

use crate::args::{Handover, PaperArg};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, write};
use crate::verb::job::parts;
use crate::verb::load::machine;
use crate::verb::proof::log;

pub(crate) fn run(wanted: &Handover, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.job.machine, screen)?;
    let named = parts(&wanted.job, &machine, &library)?;
    let changes = changes(&library, &named)?;
    let handover = handover(&machine, &library, changes, Vec::new());
    let after = wanted.after.as_ref().map(|name| log(name, &[])).transpose()?;
    let before = wanted.before.as_ref().map(|name| log(name, &[])).transpose()?;
    let logs = after.as_ref().map(|after| Logs { after, before: before.as_ref(), open: None });
    let answer = logs.map(|logs| proof(&machine, &library, changes, logs)).transpose()?;
    let drawn = logs.zip(answer.as_ref()).map(|(logs, answer)| pictures(answer, logs)).unwrap_or_default();
    let proven = answer.as_ref().map(|answer| Proven { proof: &answer.proof, pictures: &drawn });
    let document = document(&handover, &Dates::default(), proven);
    if let Some(path) = &wanted.html {
        write(path, draw::document_html::file(&document).as_bytes())?;
    }
    if let Some(path) = &wanted.pdf {
        let paper = match wanted.paper {
            PaperArg::A4 => Paper::A4,
            PaperArg::Letter => Paper::Letter,
        };
        write(path, &pdf(&document, paper)?)?;
    }
    if wanted.json {
        let mut json = desk::json::handover::handover(&handover);
        if let Some(answer) = &answer {
            json["proof"] = desk::json::proof::proof(answer);
        }
        print_json(&json);
    } else if wanted.html.is_none() && wanted.pdf.is_none() {
        print(&text(&document, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}
