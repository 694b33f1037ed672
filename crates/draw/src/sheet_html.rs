//! A job sheet as one HTML file: for a phone beside the dead machine, and for paper.
//!
//! The file asks for nothing from outside. Its ticks and notes stay in the browser that opened it; without
//! scripts the boxes still tick, until the page is closed.

use maud::{Markup, html};
use upgrade::sheet::caution::{Caution, DEFER, Signal};
use upgrade::sheet::first_start::{CAUTIONS, Next, TREE};
use upgrade::sheet::sheet_of::JobSheet;
use upgrade::sheet::step::Step;

use crate::html_file::{self, HtmlFile};
use crate::sheet_text::beforehand;

/// The look: ink on paper, large enough to read at arm's length, nothing told by colour alone.
const STYLE: &str = "\
:root{--ink:#1d2a2f;--paper:#fbfaf6;--line:#b9c0bd;--stop:#8f2424;--care:#7a4f00;--done:#5d6a6e}\
@media(prefers-color-scheme:dark){:root{--ink:#e6e8e3;--paper:#171c1e;--line:#4b5659;--stop:#f0928b;--care:#e2b354;--done:#93a0a3}}\
*{box-sizing:border-box}body{margin:0 auto;max-width:46rem;padding:1rem;font:17px/1.5 system-ui,sans-serif;color:var(--ink);background:var(--paper)}\
h1{font-size:1.5rem;line-height:1.25;margin:.4rem 0}h2{font-size:1.15rem;margin:1.6rem 0 .4rem}\
ol,ul{padding:0;list-style:none}li.step,li.before{border-top:1px solid var(--line);padding:.7rem 0;break-inside:avoid}\
label{display:flex;gap:.7rem;align-items:flex-start;font-weight:600;cursor:pointer;min-height:44px}\
input[type=checkbox]{width:1.6rem;height:1.6rem;flex:none;margin:.1rem 0;accent-color:var(--ink)}\
input:checked+span{color:var(--done);text-decoration:line-through}:focus-visible{outline:3px solid var(--care);outline-offset:2px}\
.body{margin-left:2.3rem}.body p{margin:.35rem 0}.key{font-weight:600}\
.caution{border-left:.35rem double var(--care);padding:.2rem .6rem}.caution.danger,.caution.warning{border-left-color:var(--stop)}\
.caution b{letter-spacing:.04em}.stop{border:2px solid var(--stop);padding:.3rem .6rem;font-weight:600}\
textarea{width:100%;min-height:2.6rem;font:inherit;color:inherit;background:transparent;border:1px solid var(--line);border-radius:4px}\
details{border-top:1px solid var(--line);padding:.5rem 0}summary{cursor:pointer;font-weight:600;min-height:44px}\
@media print{@page{margin:14mm}body{max-width:none;font-size:10.5pt;padding:0;background:#fff;color:#000}textarea{border:0;border-bottom:1px solid #999;min-height:1.6rem}details>*{display:block}details{break-inside:avoid;padding:.2rem 0}summary{min-height:0}h1,h2{break-after:avoid}label{min-height:0}}";

/// Keeps ticks and notes in the browser, by the sheet's own key.
const SCRIPT: &str = "\
(()=>{const key='reseat:'+document.body.dataset.sheet;let kept={};\
try{kept=JSON.parse(localStorage.getItem(key)||'{}')}catch(e){}\
const keep=()=>{try{localStorage.setItem(key,JSON.stringify(kept))}catch(e){}};\
document.querySelectorAll('[data-keep]').forEach(e=>{const k=e.dataset.keep;\
if(e.type==='checkbox'){e.checked=!!kept[k];e.addEventListener('change',()=>{kept[k]=e.checked;keep()})}\
else{e.value=kept[k]||'';e.addEventListener('input',()=>{kept[k]=e.value;keep()})}})})();";

fn caution(caution: &Caution) -> Markup {
    let class = match caution.signal {
        Signal::Danger => "caution danger",
        Signal::Warning => "caution warning",
        Signal::Caution | Signal::Notice => "caution",
    };
    html! { p class=(class) { b { (caution.signal.word()) } ". " (caution.text) } }
}

/// What a step says below its title.
pub fn body(step: &Step) -> Markup {
    html! {
        @for one in &step.cautions { (caution(one)) }
        p { (step.what) }
        p { span.key { "Why: " } (step.why) }
        p { span.key { "Right when: " } (step.right) }
        p { span.key { "If not: " } (step.otherwise) }
        @if let Some(stop) = step.stop { p.stop { "Stop point: " (stop) } }
        @if !step.tools.is_empty() { p { span.key { "Tools: " } (step.tools.join(", ")) } }
    }
}

fn step(step: &Step, number: usize) -> Markup {
    html! {
        li.step id=(step.id) {
            label {
                input type="checkbox" data-keep=(step.id);
                span { (number) ". " (step.title) " (" (step.minutes) " min)" }
            }
            div.body {
                (body(step))
                textarea data-keep={ "note-" (step.id) } aria-label={ "Note on step " (number) } placeholder="note" {}
            }
        }
    }
}

fn next(answer: &str, next: Next) -> Markup {
    html! {
        p { span.key { (answer) ": " }
            @match next {
                Next::Ask(id) => { a href={ "#ask-" (id) } { "go to \u{201c}" (id) "\u{201d}" } },
                Next::Do(what) => (what),
            }
        }
    }
}

/// The decision tree for a first start that does nothing.
pub fn first_start() -> Markup {
    html! {
        h2 { "When the first start does nothing" }
        @for one in &CAUTIONS { (caution(one)) }
        @for node in TREE {
            details open id={ "ask-" (node.id) } {
                summary { (node.id) ": " (node.question) }
                (next("Yes", node.yes))
                (next("No", node.no))
            }
        }
    }
}

/// The sheet as a whole file. `key` tells this job's ticks from those of other jobs.
pub fn page(sheet: &JobSheet, key: &str) -> String {
    let title = format!("Job sheet: {}", sheet.machine);
    let body = html! {
        h1 { (title) }
        p { (sheet.title) }
        p { (DEFER) }
        p { span.key { "Time: " } "about " (sheet.minutes / 60) " h " (sheet.minutes % 60) " min" }
        p { span.key { "Tools: " } (sheet.tools.join(", ")) }
        @if !sheet.before_you_begin.is_empty() {
            h2 { "Before you begin" }
            ul {
                @for finding in &sheet.before_you_begin {
                    li.before {
                        label {
                            input type="checkbox" data-keep={ "before-" (finding.rule) };
                            span { (beforehand(finding)) }
                        }
                    }
                }
            }
        }
        h2 { "Steps" }
        ol { @for (one, idx) in sheet.steps.iter().zip(1..) { (step(one, idx)) } }
        (first_start())
    };
    html_file::file(&HtmlFile { title: &title, style: STYLE, script: Some((SCRIPT, key)), body })
}

#[cfg(test)]
mod tests {
    use upgrade::sheet::sheet_of::JobSheet;

    use super::page;

    #[test]
    fn hostile_names_stay_text() {
        let hostile = "<script>alert(1)</script>\"' \u{202e}\u{1f642}";
        let sheet = JobSheet {
            title: hostile.to_owned(),
            machine: hostile.to_owned(),
            steps: Vec::new(),
            tools: Vec::new(),
            minutes: 0,
            before_you_begin: Vec::new(),
        };
        let page = page(&sheet, hostile);
        assert_eq!(page.matches("<script>").count(), 1, "only the page's own script is there");
        assert!(!page.contains("alert(1)</script>"));
    }
}
