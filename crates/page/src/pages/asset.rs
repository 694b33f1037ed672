//! The few files every page uses, all of them inside the program.

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;

const STYLE: &str = include_str!("../../assets/page.css");
const SCRIPT: &str = include_str!("../../assets/page.js");
const ICON: &str = include_str!("../../assets/icon.svg");

/// One of the files.
///
/// # Errors
/// There is none of this name.
pub fn show(_app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let (kind, text) = match ask.name("file") {
        // The pictures stand inside the pages, so their look does too, where it touches nothing else.
        "page.css" => ("text/css; charset=utf-8", format!("{STYLE}\n.picture{{{}}}", draw::svg::STYLE)),
        "page.js" => ("text/javascript; charset=utf-8", SCRIPT.to_owned()),
        "icon.svg" => ("image/svg+xml", ICON.to_owned()),
        other => return Err(Wrong::Missing(format!("There is no file \"{other}\"."))),
    };
    Ok(Answer::Asset(kind, text))
}
