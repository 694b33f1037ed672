//! A document as HTML: the inside of a page, and a file of its own that prints well.

use maud::{Markup, PreEscaped, html};

use crate::document::{Block, Document};
use crate::html_file::{self, HtmlFile};
use crate::svg::{inline, printed};

/// The look of a document on its own.
const STYLE: &str = "\
:root{color-scheme:light}body{margin:0 auto;max-width:48rem;padding:1rem;font:16px/1.45 system-ui,sans-serif;color:#1d2a2f;background:#fff}\
h1{font-size:1.5rem;line-height:1.25}h2{font-size:1.1rem;margin:1.4rem 0 .3rem;border-bottom:1px solid #b9c0bd}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;border-bottom:1px solid #d8dcda;font-weight:400}\
thead th{font-weight:600}.number{text-align:right}.table{overflow-x:auto}p,li{overflow-wrap:anywhere}ul{padding-left:1.1rem;margin:.3rem 0}\
.line{border-bottom:1px solid #888;padding-top:1.2rem}.tick{font-family:monospace}b{font-weight:600}figure{margin:1rem 0}figure svg{max-width:100%;height:auto}\
@media screen and (max-width:32rem){table.stack,table.stack tbody,table.stack tr{display:block}table.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}\
table.stack tr{border-bottom:1px solid #b9c0bd;padding:.3rem 0}table.stack tr>*{display:block;border:0;padding:.1rem 0;text-align:left}table.stack th{font-weight:600}\
table.stack [data-label]{display:grid;grid-template-columns:minmax(0,2fr) minmax(0,3fr);gap:.8rem}table.stack [data-label]::before{content:attr(data-label);color:#55646a;font-weight:400}table.stack td:empty{display:none}}\
@media print{@page{margin:16mm}body{max-width:none;padding:0;font-size:10.5pt}h2{break-after:avoid}tr,p,li,figure{break-inside:avoid}}";

/// Where a picture's colours come from.
#[derive(Clone, Copy)]
enum Colours {
    /// The page's own style.
    OfPage,
    /// Its own, light as paper.
    OfPaper,
}

fn block(block: &Block, colours: Colours) -> Markup {
    html! {
        @match block {
            Block::Heading(text) => { h2 { (text) } },
            Block::Text(text) => { p { (text) } },
            Block::Labelled(label, text) => { p { b { (label) ": " } (text) } },
            Block::Item(text) => { li { (text) } },
            Block::Table(table) => (table.html()),
            Block::Ticked(done, text) => {
                p { span.tick aria-hidden="true" { (if *done { "[x] " } else { "[ ] " }) } (text)
                    @if *done { " (done)" } @else { " (not done)" } }
            },
            Block::Line(label) => { p.line { (label) } },
            // Its words are the picture's own title.
            Block::Picture(svg, words) => { @match colours {
                Colours::OfPage => { div.picture tabindex="0" role="region" aria-label=(words) { (PreEscaped(inline(svg))) } },
                Colours::OfPaper => { figure { (PreEscaped(printed(svg))) } },
            } },
        }
    }
}

/// Blocks alone, for a page that has its own frame and title.
pub fn blocks(list: &[Block]) -> Markup {
    blocks_in(list, Colours::OfPage)
}

/// Items that follow each other are one list.
fn blocks_in(list: &[Block], colours: Colours) -> Markup {
    let is_item = |one: &Block| matches!(one, Block::Item(_));
    html! {
        @for run in list.chunk_by(|one, next| is_item(one) && is_item(next)) {
            @if run.first().is_some_and(is_item) {
                ul { @for one in run { (block(one, colours)) } }
            } @else {
                @for one in run { (block(one, colours)) }
            }
        }
    }
}

/// The document's blocks, for a page that has its own frame.
pub fn inside(document: &Document) -> Markup {
    whole(document, Colours::OfPage)
}

fn whole(document: &Document, colours: Colours) -> Markup {
    html! { h1 { (document.title) } (blocks_in(&document.blocks, colours)) }
}

/// The document as a file of its own, that asks for nothing from outside.
pub fn file(document: &Document) -> String {
    html_file::file(&HtmlFile {
        title: &document.title,
        style: STYLE,
        script: None,
        body: whole(document, Colours::OfPaper),
    })
}
