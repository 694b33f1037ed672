//! `paste`: how much to put, in which pattern, and what the joint then is.

use std::path::Path;

use desk::check::changes;
use physics::paste::press::Go;
use upgrade::carry::paste_press::{PasteJob, paste_job};
use upgrade::carry::paste_setup::Pressed;
use upgrade::machine::proposal::Proposal;

use crate::args::paste::Paste;
use crate::exit::{Exit, Failure};
use crate::progress::Progress;
use crate::terminal::Screen;
use crate::verb::file::{make_folder, print, print_json, write};
use crate::verb::load::machine;
use crate::verb::picture::{write_picture, write_pictures};

/// Cells along a side of the lid.
const CELLS: usize = 96;

pub(crate) fn run(wanted: &Paste, screen: &Screen) -> Result<Exit, Failure> {
    let (machine, library) = machine(&wanted.joint.machine, screen)?;
    let changes = changes(&library, &wanted.joint.changes.with)?;
    let proposal = Proposal { now: &machine, changes, library: &library };
    let own = wanted.joint.put.pattern();
    let job = {
        let mut progress = Progress::new();
        paste_job(&proposal, &wanted.joint.put.putting(CELLS), own.as_ref(), |done| {
            progress.say(format!("pressing: {:.0} %", 100.0 * done));
            Go::On
        })?
    };
    write_pictures(&wanted.joint.picture, || draw::paste_picture::paste(&job))?;
    // The pattern that was named, else the best.
    let shown = job.patterns.iter().find(|pressed| Some(&pressed.pattern) == own.as_ref());
    let shown = shown.or(job.patterns.first());
    if let (Some(file), Some(pressed)) = (&wanted.film, shown) {
        write(file, draw::paste_motion::moving(pressed, &job).as_bytes())?;
    }
    if let (Some(folder), Some(pressed)) = (&wanted.frames, shown) {
        frames(folder, pressed, &job)?;
    }
    if wanted.joint.json {
        print_json(&desk::json::paste::paste(&job));
    } else {
        print(&draw::paste_text::paste(&job, shown, screen.width, screen.paint));
    }
    Ok(Exit::Done)
}

/// Every frame as a numbered PNG.
fn frames(folder: &Path, pressed: &Pressed, job: &PasteJob) -> Result<(), Failure> {
    make_folder(folder)?;
    let mut progress = Progress::new();
    let count = draw::paste_motion::count(pressed);
    for idx in 0..count {
        progress.say(format!("drawing frame {} of {count}", idx + 1));
        let name = format!("{:03}.png", idx + 1);
        write_picture(&folder.join(name), &draw::paste_motion::still(pressed, job, idx))?;
    }
    Ok(())
}
