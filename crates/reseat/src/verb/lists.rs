//! `parts preview`, `take`, `undo`, `history`, `prices`: lists from elsewhere into a library.

mod text;

use desk::json::import;
use desk::prices::PartPrices;
use imports::mapping::Mapping;
use imports::preview::{Preview, preview};
use imports::{mapping_text, shelf, tables};
use intake::folder;
use intake::imported::origin::notes;
use intake::problem::{Severity, SourceFile};
use intake::{library, report};
use quantity::day::Day;
use quantity::money::Currency;
use serde_json::json;
use upgrade::part::id::PartId;

use crate::args::LibraryArg;
use crate::args::lists::{ListArg, ShelfArg, TodayArg};
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read, write};
use crate::verb::load;
use crate::verb::parts::kind;

/// What cannot be done with a list.
#[derive(Debug, thiserror::Error)]
enum ListError {
    #[error("\"{code}\" is no three-letter currency code of ISO 4217")]
    NoSuchCurrency { code: String },
    #[error("this computer's clock is not set; give the day with --today")]
    NoClock,
}

/// The day to count from.
pub(crate) fn today(said: TodayArg) -> Result<Day, Failure> {
    match said.today {
        Some(day) => Ok(day),
        None => Ok(page::clock::today().ok_or(ListError::NoClock)?),
    }
}

/// The mapping that the command line gives: its file, then its options over that.
fn mapping(wanted: &ListArg) -> Result<Mapping, Failure> {
    let mut mapping = match &wanted.mapping {
        None => Mapping::default(),
        Some(path) => {
            let file = SourceFile { name: path.display().to_string(), bytes: read(path)? };
            let (mapping, problems) = mapping_text::read(&file);
            if problems.iter().any(|problem| problem.severity == Severity::Error) {
                return Err(Failure::Report(report::text(&problems, &[file])));
            }
            mapping
        }
    };
    mapping.kind = wanted.kind.map(kind).or(mapping.kind);
    mapping.day = wanted.day.or(mapping.day);
    mapping.shop = wanted.shop.clone().or(mapping.shop);
    if let Some(code) = &wanted.currency {
        let found = Currency::from_code(&code.to_uppercase());
        mapping.currency = Some(found.ok_or_else(|| ListError::NoSuchCurrency { code: code.clone() })?);
    }
    Ok(mapping)
}

fn look(wanted: &ListArg) -> Result<(Preview, shelf::Mark, Day), Failure> {
    let library_dir = &wanted.shelf.library;
    let mark = shelf::mark(library_dir)?;
    let files = folder::files(library_dir)?;
    let (read_library, problems) = library::read(&files);
    if problems.iter().any(|problem| problem.severity == Severity::Error) {
        eprintln!("{}", report::text(&problems, &files));
        eprintln!("The library has errors; the parts named above are not compared.");
    }
    let today = today(wanted.today)?;
    let name = wanted.list.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let found = preview(&name, read(&wanted.list)?, &mapping(wanted)?, &read_library, today)?;
    if let Some(path) = &wanted.save_mapping {
        // A day belongs to one list, not to the next one of the same make.
        let saved = Mapping { day: None, ..found.mapping.clone() };
        write(path, mapping_text::write(&saved).as_bytes())?;
    }
    Ok((found, mark, today))
}

fn has_left_out(preview: &Preview) -> bool {
    !preview.rejected.is_empty() || !preview.conflicts.is_empty()
}

pub(crate) fn run_preview(wanted: &ListArg, screen: &Screen) -> Result<Exit, Failure> {
    let (found, _, _) = look(wanted)?;
    if wanted.shelf.json {
        print_json(&import::preview(&found));
    } else {
        print(&text::preview(&found, wanted.all, screen));
        if found.changes_anything() {
            print("Nothing was changed. Take it in with the same words and  take  for  preview.\n");
        }
    }
    Ok(if has_left_out(&found) { Exit::No } else { Exit::Done })
}

pub(crate) fn take(wanted: &ListArg, whole: bool, screen: &Screen) -> Result<Exit, Failure> {
    let (found, mark, today) = look(wanted)?;
    let refused = whole && has_left_out(&found);
    let number = if refused || !found.changes_anything() {
        None
    } else {
        Some(shelf::take(&wanted.shelf.library, &tables::files(&found, today), &mark)?)
    };
    if wanted.shelf.json {
        let mut answer = import::preview(&found);
        answer["import"] = json!(number);
        print_json(&answer);
    } else {
        print(&text::preview(&found, wanted.all, screen));
        print(&match (number, refused) {
            (Some(number), _) => format!(
                "Taken in as import {number}. Take it back with  reseat parts undo {number} --library {}\n",
                wanted.shelf.library.display()
            ),
            (None, true) => "Nothing was taken, since not all of it could be.\n".to_owned(),
            (None, false) => "Nothing was taken: the library has all of it.\n".to_owned(),
        });
    }
    Ok(if refused { Exit::No } else { Exit::Done })
}

pub(crate) fn undo(number: Option<u32>, wanted: &ShelfArg) -> Result<Exit, Failure> {
    let number = shelf::undo(&wanted.library, number)?;
    if wanted.json {
        print_json(&json!({ "taken_back": number }));
    } else {
        print(&format!("Import {number} is taken back; its tables are kept under imports/undone.\n"));
    }
    Ok(Exit::Done)
}

pub(crate) fn history(wanted: &ShelfArg, screen: &Screen) -> Result<Exit, Failure> {
    shelf::mark(&wanted.library)?;
    let shelved = shelf::history(&wanted.library)?;
    if wanted.json {
        print_json(&import::history(&shelved));
    } else {
        print(&text::history(&shelved, screen));
    }
    Ok(Exit::Done)
}

pub(crate) fn prices(
    part: &str,
    from: &LibraryArg,
    said: TodayArg,
    as_json: bool,
    screen: &Screen,
) -> Result<Exit, Failure> {
    let loaded = load::library(from)?;
    let id = PartId::new(part);
    let Some(offers) = desk::prices::offers_of(&loaded.read.library, &id) else {
        return Err(desk::check::no_such_part(&loaded.read.library, part).into());
    };
    let seen = loaded.read.prices.get(&id).map_or(&[][..], Vec::as_slice);
    let prices = PartPrices {
        id: &id,
        offers,
        seen,
        counts: desk::prices::counting(offers, seen, &loaded.read.library.rates),
        notes: notes(&loaded.files),
        today: today(said)?,
    };
    if as_json {
        print_json(&desk::prices::json(&prices));
    } else {
        print(&text::prices(&prices, screen));
    }
    Ok(Exit::Done)
}
