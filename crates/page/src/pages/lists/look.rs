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
use crate::frame::{Place, frame, token};
use crate::kept::Sent;
use crate::pages::lists::{folder, of_shelf};

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

impl Looked {
    /// How many cells and rows would stay out.
    pub fn left_out(&self) -> usize {
        self.preview.rejected.len() + self.preview.conflicts.len()
    }
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
pub fn look(app: &App, list: &Sent<Mapping>) -> Result<Looked, Wrong> {
    let today = today(app)?;
    // Before the files are read, so that a list which comes between is noticed when this one is taken.
    let mark = shelf::mark(folder(app)?).map_err(of_shelf)?;
    let library = app.library_on_disk()?;
    let preview = preview(&list.name, list.bytes.to_vec(), &list.how, &library.read, today)
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
pub fn of_key(app: &App, ask: &Ask) -> Result<Sent<Mapping>, Wrong> {
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
pub fn name_of(file: &str, without: &str) -> String {
    let last = plain(file.rsplit(['/', '\\']).next().unwrap_or(file));
    let name: String = last.chars().take(LONGEST_NAME).collect();
    if name.is_empty() { without.to_owned() } else { name }
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
    let list = Sent { name: name_of(file, "list"), bytes: Arc::new(bytes), how: of_fields(fields)? };
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
    let list = Sent { how: mapping(text)?, ..list };
    look(app, &list).map_err(|wrong| match wrong {
        Wrong::Input { what, .. } => Wrong::Input { what, typed: text.to_owned() },
        other => other,
    })?;
    let key = ask.name("list");
    app.lists.keep(key, list);
    Ok(Answer::See(format!("/parts/lists/{key}")))
}

/// Lines of a kind that are shown at first, and on a page of all of them.
const SHOWN: usize = 50;
const OF_ALL: usize = 500;

/// Which lines of each kind are shown.
struct Lines {
    from: usize,
    all: bool,
}

impl Lines {
    fn asked(ask: &Ask) -> Self {
        let from = ask.query.get("from").and_then(|text| text.parse().ok());
        Self { from: from.unwrap_or(0), all: from.is_some() }
    }

    fn to(&self) -> usize {
        self.from.saturating_add(if self.all { OF_ALL } else { SHOWN })
    }
}

fn difference(preview: &Preview, lines: &Lines, at: &str) -> Markup {
    let groups = desk::lists::groups(preview, lines.from..lines.to());
    let longest = groups.iter().map(|group| group.count).max().unwrap_or(0);
    html! {
        @for group in &groups {
            h2 { (group.title) ": " (group.count) }
            @if !group.table.is_empty() { (group.table.html()) }
            @let shown = group.table.len();
            @if shown < group.count {
                p.faint {
                    @if shown == 0 { "all of them stand on earlier pages" }
                    @else if lines.from == 0 { "and " (group.count - shown) " more" }
                    @else { "lines " (lines.from + 1) " to " (lines.from + shown) }
                }
            }
        }
        @if longest > lines.to() || lines.all {
            p.ways {
                @if lines.from > 0 { a href={ (at) "?from=" (lines.from.saturating_sub(OF_ALL)) "#lines" } { "Lines before these" } }
                @if !lines.all { a.button href={ (at) "?from=0#lines" } { "Show all lines" } }
                @else if longest > lines.to() { a.button href={ (at) "?from=" (lines.to()) "#lines" } { "More lines" } }
                @if lines.all { a href={ (at) "#lines" } { "Only the first of each kind" } }
            }
        }
    }
}

fn take_form(app: &App, at: &str, seen: &str, left: usize) -> Markup {
    html! {
        form method="post" action={ (at) "/take" } {
            (token(app))
            input type="hidden" name="seen" value=(seen);
            @if left > 0 { p { "What is named below under conflicts and not taken stays out." } }
            p { label { input type="checkbox" name="whole" value="yes"; " Only if all of it can be taken" } }
            p { button type="submit" { "Take it in" } }
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
    let body = html! {
        h1 { "What " bdi { (preview.source) } " would change" }
        @if ask.query.get("whole").is_some() {
            p.problem role="alert" { "Nothing was taken, since not all of it can be: " (looked.left_out()) " cells or rows, named below, would stay out." }
        }
        @if ask.query.get("meanwhile").is_some() {
            p.problem role="alert" { "The library was changed meanwhile, so nothing was taken. This is what the list would change now." }
        }
        p { (preview.format.word()) ", " (desk::lists::rows(preview)) @for remark in &preview.remarks { "; " (remark) } }
        p.lead { (desk::lists::summary(preview)) "." }
        @if looked.has_errors {
            p.warn { "The library has errors, and the parts they are in are not compared: see " a href="/parts" { "what is wrong in its files" } "." }
        }
        @if preview.changes_anything() {
            (take_form(app, &at, &looked.seen, looked.left_out()))
        } @else {
            p { "There is nothing to take: the library has all of it that can be read." }
        }
        div id="lines" { (difference(preview, &Lines::asked(ask), &at)) }
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
