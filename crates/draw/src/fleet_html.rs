//! The list of a fleet's job sheets as one HTML file, in the order in which the machines are done.

use maud::html;

use crate::html_file::{HtmlFile, file};

/// One line of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// File of the sheet, in the same folder.
    pub file: String,
    /// Machine.
    pub machine: String,
    /// What is done.
    pub title: String,
    /// Minutes at the bench, without the soak that the sheet ends with.
    pub minutes: u32,
    /// Machine from which its processor comes.
    pub from: Option<String>,
    /// Machine into which its processor goes.
    pub to: Option<String>,
}

const STYLE: &str = "\
:root{--ink:#1d2a2f;--paper:#fbfaf6;--line:#b9c0bd}\
@media(prefers-color-scheme:dark){:root{--ink:#e6e8e3;--paper:#171c1e;--line:#4b5659}}\
body{margin:0 auto;max-width:60rem;padding:1rem;font:16px/1.5 system-ui,sans-serif;color:var(--ink);background:var(--paper)}\
h1{font-size:1.4rem}a{color:inherit}ol{padding-left:2.6rem}li{border-top:1px solid var(--line);padding:.5rem 0;break-inside:avoid}\
a{display:inline-block;min-height:24px}p{margin:.1rem 0}@media print{@page{margin:14mm}body{background:#fff;color:#000}}";

/// The list as a whole file. `said` are the sentences that begin it.
pub fn list(said: &[String], lines: &[Line]) -> String {
    let body = html! {
        h1 { "Job sheets, in their order" }
        @for sentence in said { p { (sentence) } }
        p { "A machine whose processor goes elsewhere comes before the machine that gets it. Keep to the order." }
        ol {
            @for line in lines {
                li {
                    a href=(line.file) { (line.machine) }
                    p { (line.title) ", " (line.minutes) " min at the bench" }
                    @if let Some(from) = &line.from { p { "Its processor comes from " (from) "." } }
                    @if let Some(to) = &line.to { p { "Its old processor goes to " (to) "." } }
                }
            }
        }
    };
    file(&HtmlFile { title: "Job sheets", style: STYLE, script: None, body })
}
