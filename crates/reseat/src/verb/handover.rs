//! `handover`: what was found, what was changed and why, what to expect of it.

use desk::check::changes;
use draw::document_text::text;
use draw::handover_document::{Dates, document};
use upgrade::record::handover::handover;

use crate::args::Handover;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, write};
use crate::verb::load::machine;
use crate::verb::sheet::picked;

pub(crate) fn run(wanted: &Handover, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.machine, screen)?;
    let named = if wanted.changes.with.is_empty() {
        picked(&machine, &library, wanted.pick)?
    } else {
        wanted.changes.with.clone()
    };
    let changes = changes(&library, &named)?;
    let document = document(&handover(&machine, &library, changes, Vec::new()), &Dates::default());
    match &wanted.html {
        Some(path) => write(path, draw::document_html::file(&document).as_bytes())?,
        None => print(&text(&document, screen.width, screen.paint)),
    }
    Ok(Exit::Done)
}
