//! Many machines at once: what is wanted of them, and the plan for it.

pub mod planned;

use core::time::Duration;
use std::collections::BTreeMap;
use std::sync::Arc;

use desk::fleet::demo::district;
use desk::fleet::terms::Wanted;
use fleet::terms::{Goal, Resale, Reuse};
use intake::machine::common::Common;
use intake::problem::SourceFile;
use maud::{Markup, html};

use crate::answer::{Answer, Wrong};
use crate::app::{App, has_error, record_file, secret};
use crate::ask::Ask;
use crate::frame::{Place, frame, token};
use crate::pages::fleet::planned::compute;
use crate::work::Stands;

/// Largest table of machines that the page takes, in bytes; the command takes larger ones.
pub const LARGEST_BYTES: usize = 16 << 20;

/// Seconds for the choice, and the most that can be asked for.
const SECONDS: u32 = 10;
const MOST_SECONDS: u32 = 3600;

fn which(machines: usize) -> Markup {
    let offered = [
        (
            "bench",
            if machines == 0 {
                "those on the bench: there are none yet".to_owned()
            } else {
                format!("the {machines} on the bench")
            },
        ),
        ("file", "those of a file".to_owned()),
        ("demo", "an invented school district".to_owned()),
    ];
    let chosen = if machines > 0 { "bench" } else { "demo" };
    html! {
        fieldset {
            legend { "Machines" }
            @for (value, text) in offered {
                p { label {
                    input type="radio" name="which" value=(value) checked[value == chosen] disabled[value == "bench" && machines == 0]; " "
                    (text)
                } }
            }
            p {
                label for="machines" { "File: a table (CSV or Parquet), a record or a capture; at most " (LARGEST_BYTES >> 20) " MiB" }
                input id="machines" type="file" name="machines";
            }
            details {
                summary { "Fields that hold for every machine which does not say otherwise" }
                label for="common" { "As a record says them, one a line" }
                textarea.record id="common" name="common" rows="6" spellcheck="false" placeholder="cooler = { id = \"larkspur-90\" }" {}
            }
        }
    }
}

fn wishes() -> Markup {
    html! {
        div.fields {
            p { label for="budget" { "Most to spend in all" } input id="budget" name="budget" placeholder="4000 EUR" autocomplete="off"; }
            p { label for="hours" { "Most hours at the bench" } input id="hours" name="hours" type="number" min="0" step="any" placeholder="40"; }
            p { label for="years" { "Years judged" }
                input id="years" name="years" type="number" min="0.1" max="50" step="any" value=(upgrade::route::pick::YEARS) required; }
            p {
                label for="goal" { "As much as can be" }
                select id="goal" name="goal" {
                    option value="worth" { "worth over the years" }
                    option value="hours" { "hours a year that nobody waits" }
                }
            }
            p { label for="seconds" { "Seconds to search" }
                input id="seconds" name="seconds" type="number" min="1" max=(MOST_SECONDS) step="1" value=(SECONDS) required; }
            p { label for="stock" { "Parts that are nearly gone" } input id="stock" name="stock" placeholder="tern-2-rush=12" autocomplete="off"; }
        }
        p { label { input type="checkbox" name="reuse" value="yes" checked; " Processors that come out may go into other machines" } }
        p { label { input type="checkbox" name="resale" value="yes" checked; " What is left over is sold" } }
    }
}

/// What is wanted.
///
/// # Errors
/// The store cannot be read.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let machines = app.store().machines()?.len();
    let body = html! {
        h1 { "Fleet" }
        p { "Which of many machines to upgrade: alike ones are planned for together, and the choice is made under one budget and so \
    many hours at the bench." }
        form method="post" action="/fleet" enctype="multipart/form-data" {
            (token(app))
            (which(machines))
            (wishes())
            button type="submit" { "Plan for them" }
        }
    };
    Ok(Answer::Page(frame("Fleet", Place::Fleet, &body)))
}

fn number(fields: &BTreeMap<String, String>, name: &str) -> Result<Option<f64>, Wrong> {
    let text = fields.get(name).map_or("", |text| text.trim());
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| Wrong::input(format!("{name}: \"{text}\" is no number")))
}

fn wanted(fields: &BTreeMap<String, String>) -> Result<Wanted, Wrong> {
    let text = |name: &str| fields.get(name).map_or("", |text| text.trim());
    let is_ticked = |name: &str| text(name) == "yes";
    Ok(Wanted {
        budget: Some(text("budget").to_owned()).filter(|text| !text.is_empty()),
        hours: number(fields, "hours")?,
        goal: match text("goal") {
            "worth" => Goal::Worth,
            "hours" => Goal::Hours,
            other => return Err(Wrong::input(format!("\"{other}\" is none of the goals that are offered"))),
        },
        years: number(fields, "years")?.unwrap_or(upgrade::route::pick::YEARS),
        reuse: if is_ticked("reuse") { Reuse::Welcome } else { Reuse::Never },
        resale: if is_ticked("resale") { Resale::Counted } else { Resale::Nothing },
        stock: text("stock").split([',', ' ']).filter(|one| !one.is_empty()).map(str::to_owned).collect(),
    })
}

fn machines(app: &App, which: &str, (name, bytes): (&str, Vec<u8>)) -> Result<Vec<SourceFile>, Wrong> {
    match which {
        "bench" => {
            let kept = app.store().machines()?;
            Ok(kept.iter().map(|one| record_file(&one.id, &one.text)).collect())
        }
        "demo" => Ok(vec![district()]),
        "file" if bytes.is_empty() => Err(Wrong::input("choose the file in which the machines stand")),
        "file" => Ok(vec![SourceFile { name: name.to_owned(), bytes }]),
        other => Err(Wrong::input(format!("\"{other}\" is none of the machines that are offered"))),
    }
}

/// Begins a plan.
///
/// # Errors
/// Something wanted makes no sense, no machines were named, or this computer computes something else.
pub fn begin(app: &App, fields: &BTreeMap<String, String>, file: (&str, Vec<u8>)) -> Result<Answer, Wrong> {
    let text = |name: &str| fields.get(name).map_or("", String::as_str);
    let typed = text("common").replace("\r\n", "\n");
    let source = SourceFile { name: "every machine".to_owned(), bytes: typed.clone().into_bytes() };
    let (common, problems) = Common::read(&source);
    if has_error(&problems) {
        return Err(Wrong::problems(&problems, source, &typed));
    }
    let wanted = wanted(fields)?;
    let seconds = number(fields, "seconds")?.unwrap_or(f64::from(SECONDS));
    if !(1.0..=f64::from(MOST_SECONDS)).contains(&seconds) {
        return Err(Wrong::input(format!("{seconds} s to search: give 1 to {MOST_SECONDS}")));
    }
    let choice = Duration::from_secs_f64(seconds);
    let files = machines(app, text("which"), file)?;
    let library = app.library()?;
    let key = secret().map_err(Wrong::input)?;
    let stands = app
        .fleets
        .look(&key, move |work| compute(files, &common, (&wanted, choice), Arc::clone(&library), work));
    if matches!(stands, Stands::Busy) {
        return Err(Wrong::input("other fleets are being planned for: wait for them, or stop them"));
    }
    Ok(Answer::See(format!("/fleet/{key}")))
}
