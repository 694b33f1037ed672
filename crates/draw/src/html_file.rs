//! A page as one file that asks for nothing from outside.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// A file: its title, its look, the script it carries, and what it shows. `key` tells what a script keeps of this
/// file from what it keeps of others.
pub struct HtmlFile<'a> {
    /// Title.
    pub title: &'a str,
    /// Style sheet.
    pub style: &'static str,
    /// Script and its key, where there is one.
    pub script: Option<(&'static str, &'a str)>,
    /// What it shows.
    pub body: Markup,
}

/// The whole file.
pub fn file(file: &HtmlFile<'_>) -> String {
    let script = if file.script.is_some() { "; script-src 'unsafe-inline'" } else { "" };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content={ "default-src 'none'; style-src 'unsafe-inline'" (script) };
                title { (file.title) }
                style { (PreEscaped(file.style)) }
            }
            body data-sheet=[file.script.map(|(_, key)| key)] {
                main { (file.body) }
                @if let Some((script, _)) = file.script { script { (PreEscaped(script)) } }
            }
        }
    };
    page.into_string()
}
