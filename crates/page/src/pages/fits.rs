//! Every processor of the library against this machine, with the finding that decides.

use desk::chart::{Looks, decide};
use draw::findings_html::finding;
use draw::plan_text::known;
use maud::html;
use upgrade::fit::finding::{Finding, Verdict};
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::processor::Processor;
use upgrade::route::search::point;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, frame};

const VERDICTS: [Verdict; 4] =
    [Verdict::Fits, Verdict::OnCondition, Verdict::CannotTell, Verdict::DoesNotFit];
const ORDERS: [(&str, &str); 4] =
    [("verdict", "best fit first"), ("name", "by name"), ("clock", "by clock held"), ("price", "by price")];

struct Row<'a> {
    processor: &'a Processor,
    decides: Finding,
    clock: Option<f64>,
    clock_words: String,
    price: Option<i64>,
    price_words: String,
}

/// The page.
///
/// # Errors
/// No such machine.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let machine = &bench.machine;
    let board = &machine.board.part;
    let wanted_verdict = ask.query.text("verdict");
    let wanted_words = ask.query.text("words").to_lowercase();
    let order = ask.query.get("order").unwrap_or("verdict");
    let mut rows: Vec<Row<'_>> = bench
        .parts()
        .processors
        .values()
        .map(|processor| {
            let decides = decide(machine, bench.parts(), processor, board, Looks::ThisMachine);
            let changes = Changes { processor: Some(processor), ..Changes::default() };
            // In another socket it holds no clock here.
            let held = (decides.rule != "socket" || decides.verdict == Verdict::Fits)
                .then(|| point(&Proposal { now: machine, changes, library: bench.parts() }).clock);
            let offers = &processor.offers;
            let price =
                [offers.new, offers.second_hand].into_iter().flatten().min_by_key(|money| money.minor());
            Row {
                processor,
                clock: held.and_then(|clock| clock.get()).map(|clock| clock.middle().si()),
                clock_words: held.map_or_else(|| "-".to_owned(), |clock| known(&clock, 3)),
                price: price.map(|money| money.minor()),
                price_words: price.map_or_else(|| "unknown".to_owned(), |money| money.to_string()),
                decides,
            }
        })
        .filter(|row| {
            (wanted_verdict.is_empty() || row.decides.verdict.word() == wanted_verdict)
                && row.processor.name.to_lowercase().contains(&wanted_words)
        })
        .collect();
    match order {
        "name" => rows.sort_by(|a, b| a.processor.name.cmp(&b.processor.name)),
        "clock" => rows.sort_by(|a, b| b.clock.unwrap_or(0.0).total_cmp(&a.clock.unwrap_or(0.0))),
        "price" => rows.sort_by_key(|row| row.price.unwrap_or(i64::MAX)),
        _ => rows.sort_by_key(|row| (row.decides.verdict, row.decides.rule, row.processor.name.clone())),
    }
    let body = html! {
        h1 { "What fits: processors against " (board.name) }
        form.filter method="get" action={ "/machines/" (bench.kept.id) "/fits" } {
            p { label for="words" { "Name contains" } input id="words" name="words" value=(ask.query.text("words")); }
            p { label for="verdict" { "Show" }
                select id="verdict" name="verdict" {
                    option value="" { "all" }
                    @for verdict in VERDICTS {
                        option value=(verdict.word()) selected[wanted_verdict == verdict.word()] { (verdict.word()) }
                    }
                } }
            p { label for="order" { "Order" }
                select id="order" name="order" {
                    @for (value, words) in ORDERS { option value=(value) selected[order == value] { (words) } }
                } }
            p { button type="submit" { "Show" } }
        }
        p { (rows.len()) " of " (bench.parts().processors.len()) " processors. The finding that decides stands beside each; \
    the routes look at everything else too." }
        ul.plain {
            @for row in &rows {
                li.fit {
                    div {
                        h2 { (row.processor.name) }
                        p.faint { (row.processor.generation.text()) " · holds " (row.clock_words) " · from " (row.price_words) }
                    }
                    (finding(&row.decides))
                    p { a href={ "/machines/" (bench.kept.id) "/check?with=" (row.processor.id.text()) } { "Every finding about it" } }
                }
            }
        }
        @if rows.is_empty() { p { "None. Show all, or look for another name." } }
    };
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/fits", &[]);
    Ok(Answer::Page(frame("What fits", place, &body)))
}
