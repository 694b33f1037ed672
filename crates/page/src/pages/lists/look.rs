//! A list looked at: what it would change, before anything is changed.

use std::collections::BTreeMap;
use std::sync::Arc;

use imports::cell::plain;
use imports::digest::sha256;
use imports::mapping::Mapping;
use imports::preview::{Preview, preview};
use imports::shelf::{self, Mark};
use imports::tables::TableFile;
use imports::{mapping_text, tables};
use intake::problem::SourceFile;
use maud::{Markup, html};
use quantity::day::Day;
use quantity::money::Currency;
use upgrade::part::id::Kind;

use crate::answer::{Answer, Wrong, with_causes};
use crate::app::{App, has_error, secret};
use crate::ask::Ask;
use crate::clock::day_of;
use crate::frame::{Place, button, frame, token};
use crate::pages::lists::kept::KeptList;
use crate::pages::lists::{folder, of_shelf};

/// Lines of a kind that are shown.
const SHOWN: usize = 50;
/// Longest name of a list, in characters.
const LONGEST_NAME: usize = 120;

/// A list compared with the library as it is at this moment.
pub struct Looked {
    /// The difference.
    pub preview: Preview,
    /// The library's lists before it was compared.
    pub mark: Mark,
    /// What taking it would write.
    pub files: Vec<TableFile>,
    /// What a person has seen: another library or mapping gives another.
    pub seen: String,
    has_errors: bool,
}

/// The day to count from.
///
/// # Errors
/// The clock is not set.
pub fn today(app: &App) -> Result<Day, Wrong> {
    day_of((app.now)()).ok_or_else(|| Wrong::input("This computer's clock is not set; set it first."))
}

/// Compares a list with the library on the disk and own parts.
///
/// # Errors
/// It is no list, its mapping does not fit, or the library cannot be read.
pub fn look(app: &App, list: &KeptList) -> Result<Looked, Wrong> {
    let today = today(app)?;
    // Before the files are read, so that a list which comes between is noticed when this one is taken.
    let mark = shelf::mark(folder(app)?).map_err(of_shelf)?;
    let library = app.library_on_disk()?;
    let preview = preview(&list.name, list.bytes.to_vec(), &list.mapping, &library.read, today)
        .map_err(|error| Wrong::input(with_causes(&error)))?;
    let files = tables::files(&preview, today);
    let mut all = Vec::new();
    for file in &files {
        all.extend_from_slice(format!("{} {}\n", file.name, file.bytes.len()).as_bytes());
        all.extend_from_slice(&file.bytes);
    }
    Ok(Looked { seen: sha256(&all), preview, mark, files, has_errors: has_error(&library.problems) })
}

/// The list that was sent under the key of an address.
///
/// # Errors
/// There is none, or it was let go.
pub fn of_key(app: &App, ask: &Ask) -> Result<KeptList, Wrong> {
    folder(app)?;
    app.lists.get(ask.name("list")).ok_or_else(|| {
        Wrong::Missing(
            "This list is no longer kept: it was taken, or others came after it. Send it again.".to_owned(),
        )
    })
}

fn mapping(text: &str) -> Result<Mapping, Wrong> {
    let text = text.replace("\r\n", "\n");
    let file = SourceFile { name: "mapping.toml".to_owned(), bytes: text.clone().into_bytes() };
    let (mapping, problems) = mapping_text::read(&file);
    if has_error(&problems) {
        return Err(Wrong::problems(&problems, file, &text));
    }
    Ok(mapping)
}

/// The mapping that a form's fields give: its text, then its other fields over that.
fn of_fields(fields: &BTreeMap<String, String>) -> Result<Mapping, Wrong> {
    let field = |name: &str| fields.get(name).map_or("", |text| text.trim());
    let mut mapping = mapping(fields.get("mapping").map_or("", String::as_str))?;
    let kind = field("kind");
    if !kind.is_empty() {
        let found = Kind::ALL.into_iter().find(|known| known.word() == kind);
        mapping.kind = Some(found.ok_or_else(|| Wrong::input(format!("\"{kind}\" is no kind of part.")))?);
    }
    let code = field("currency");
    if !code.is_empty() {
        let found = Currency::from_code(&code.to_uppercase());
        mapping.currency = Some(found.ok_or_else(|| {
            Wrong::input(format!("\"{code}\" is no three-letter currency code of ISO 4217."))
        })?);
    }
    if !field("day").is_empty() {
        mapping.day = Some(field("day").parse().map_err(Wrong::input)?);
    }
    if !field("shop").is_empty() {
        mapping.shop = Some(field("shop").to_owned());
    }
    Ok(mapping)
}

/// A file's name as it is kept and shown: what a browser put before it is left out.
fn name_of(file: &str) -> String {
    let last = plain(file.rsplit(['/', '\\']).next().unwrap_or(file));
    let name: String = last.chars().take(LONGEST_NAME).collect();
    if name.is_empty() { "list".to_owned() } else { name }
}

/// Looks at a list that was sent, keeps it until it is taken, and goes to what it would change.
///
/// # Errors
/// It is no list, or a field cannot be read; it is not kept then.
pub fn keep(
    app: &App,
    fields: &BTreeMap<String, String>,
    (file, bytes): (&str, Vec<u8>),
) -> Result<Answer, Wrong> {
    folder(app)?;
    let list = KeptList { name: name_of(file), bytes: Arc::new(bytes), mapping: of_fields(fields)? };
    look(app, &list)?;
    let key = secret().map_err(Wrong::input)?;
    app.lists.keep(&key, list);
    Ok(Answer::See(format!("/parts/lists/{key}")))
}

/// Reads a kept list by another mapping.
///
/// # Errors
/// The mapping cannot be read or does not fit; what was typed is shown again, and the list stays as it was read before.
pub fn map(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let list = of_key(app, ask)?;
    let text = ask.form.text("mapping");
    let list = KeptList { mapping: mapping(text)?, ..list };
    look(app, &list).map_err(|wrong| match wrong {
        Wrong::Input { what, .. } => Wrong::Input { what, typed: text.to_owned() },
        other => other,
    })?;
    let key = ask.name("list");
    app.lists.keep(key, list);
    Ok(Answer::See(format!("/parts/lists/{key}")))
}

fn difference(preview: &Preview) -> Markup {
    html! {
        @for group in desk::lists::groups(preview, SHOWN) {
            h2 { (group.title) ": " (group.count) }
            (group.table.html())
            @if group.table.len() < group.count {
                p.faint { "and " (group.count - group.table.len()) " more; " code { "reseat parts preview --all" } " shows them" }
            }
        }
    }
}

/// What a kept list would change.
///
/// # Errors
/// It is not kept, or can no longer be compared.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let list = of_key(app, ask)?;
    let looked = look(app, &list)?;
    let preview = &looked.preview;
    let at = format!("/parts/lists/{}", ask.name("list"));
    let left = preview.rejected.len() + preview.conflicts.len();
    let body = html! {
        h1 { "What " bdi { (preview.source) } " would change" }
        @if ask.query.get("meanwhile").is_some() {
            p.problem role="alert" { "The library was changed meanwhile, so nothing was taken. This is what the list would change now." }
        }
        p { (preview.format.word()) ", " (desk::lists::rows(preview)) @for remark in &preview.remarks { "; " (remark) } }
        p.lead { (desk::lists::summary(preview)) "." }
        @if looked.has_errors {
            p.warn { "The library has errors, and the parts they are in are not compared: see " a href="/parts" { "what is wrong in its files" } "." }
        }
        @if preview.changes_anything() {
            (button(app, &format!("{at}/take"), "Take it in", &[("seen", &looked.seen)]))
            @if left > 0 { p { "What is named below under conflicts and not taken stays out." } }
        } @else {
            p { "There is nothing to take: the library has all of it that can be read." }
        }
        (difference(preview))
        h2 { "How it is read" }
        form method="post" action={ (at) "/mapping" } {
            (token(app))
            label for="mapping" { "Mapping: which column is which field. Correct it and look again, and keep it for the next list of this make" }
            textarea.record id="mapping" name="mapping" rows="12" spellcheck="false" { "\n" (mapping_text::write(&preview.mapping)) }
            p { button type="submit" { "Look again" } }
        }
        p { a href="/parts/lists" { "Back to the lists" } }
    };
    Ok(Answer::Page(frame("What a list would change", Place::Parts, &body)))
}
