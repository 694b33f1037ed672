//! The plan: price against gain, the picks with their reasons, what nearly was.

use draw::findings_html::finding;
use draw::plan_text::{Listed, capital, known, point_phrase, saves};
use maud::{Markup, html};
use quantity::money::Money;
use quantity::text::significant;
use upgrade::route::detail::Route;
use upgrade::route::pick::{Pick, time_a_day};
use upgrade::route::plan::{Plan, plan};

use crate::answer::{Answer, Wrong};
use crate::app::{App, OnBench};
use crate::ask::{Ask, with_query};
use crate::frame::{Place, button, frame, paragraphs, picture};

/// Ids of the parts a route buys.
fn parts(route: &Route) -> Vec<String> {
    route.items.iter().map(|item| item.id.text().to_owned()).collect()
}

/// A route's parts, prices and gain.
pub fn facts(route: &Route) -> Markup {
    html! {
        ul.parts {
            @for item in &route.items {
                li { (item.kind.word()) " " b { (item.name) } ", " (item.price) " " (item.condition.word())
                    @if let Some(resale) = item.resale { ", the old one brings " (resale) } }
            }
        }
        dl.facts {
            dt { "net price" } dd { (route.net_cost) }
            dt { "saves" } dd { (saves(route)) }
            @if let Some((low, high)) = route.yearly_worth { dt { "worth a year" } dd { (low) " to " (high) } }
            dt { "holds" } dd { (point_phrase(&route.point)) }
            dt { "at work" } dd { (known(&route.energy.power.busy, 3)) " from the wall" }
            dt { "at the bench" } dd { (route.objectives.minutes) " min" }
        }
    }
}

fn one_pick(app: &App, bench: &OnBench, pick: &Pick) -> Markup {
    let route = &pick.route;
    let ids = parts(route);
    let query = with_query(&ids);
    let at = format!("/machines/{}", bench.kept.id);
    let stays = route.items.is_empty();
    html! {
        section.pick {
            h2 { (capital(pick.kind.word())) @if !stays { ": " (route.title) } }
            @if !stays { (facts(route)) }
            (paragraphs(&pick.reasons))
            @if !stays {
                p { "With the uncertain readings drawn from their intervals it stays unbeaten in "
                    (format!("{:.0}", 100.0 * pick.steadiness)) " % of draws." }
                @for one in route.remarks() { (finding(one)) }
                div.ways {
                    (button(app, &format!("{at}/jobs"), "Make the job sheet", &[("parts", &ids.join(" "))]))
                    a href={ (at) "/check" (query) } { "Findings" }
                    a href={ (at) "/power" (query) } { "Power path" }
                    a href={ (at) "/heat" (query) } { "Heat path" }
                    a href={ (at) "/paste" (query) } { "Paste" }
                }
            }
        }
    }
}

/// The routes that save more than every cheaper one, to be chosen from.
fn front(bench: &OnBench, plan: &Plan) -> Markup {
    let mut best = i64::MIN;
    let rows: Vec<usize> = (0..plan.front.len())
        .filter(|at| {
            let saved = plan.front.get(*at).map_or(i64::MIN, |found| found.objectives.saved_s());
            let is_step = saved > best;
            best = best.max(saved);
            is_step
        })
        .collect();
    html! {
        form method="get" action={ "/machines/" (bench.kept.id) "/compare" } {
            div.table tabindex="0" role="region" aria-label="Routes that no cheaper one beats" {
                table.stack {
                    thead { tr {
                        th scope="col" { "compare" } th scope="col" { "route" }
                        th.number scope="col" { "net price" } th.number scope="col" { "saves a day" }
                        th.number scope="col" { "energy a year" } th.number scope="col" { "bench" } th.number scope="col" { "risk" }
                    } }
                    tbody {
                        @for at in &rows {
                            @if let (Some(found), Some(title), Some(ids)) = (plan.front.get(*at), plan.titles.get(*at), plan.parts.get(*at)) {
                                @let ids: Vec<String> = ids.iter().map(|id| id.text().to_owned()).collect();
                                tr {
                                    td data-label="compare" { input type="checkbox" name="route" value=(ids.join(" ")) aria-label={ "compare " (title) }; }
                                    th scope="row" { a href={ "/machines/" (bench.kept.id) "/check" (with_query(&ids)) } { (title) } }
                                    td.number data-label="net price" { (Money::from_minor(found.objectives.cost, plan.currency)) }
                                    td.number data-label="saves a day" { (time_a_day(found.objectives.saved_s()).trim_end_matches(" a day")) }
                                    td.number data-label="energy a year" { (format!("{} kWh", significant(found.objectives.energy_wh as f64 / 1000.0, 3))) }
                                    td.number data-label="bench" { (found.objectives.minutes) " min" }
                                    td.number data-label="risk" { (found.objectives.risk) }
                                }
                            }
                        }
                    }
                }
            }
            p { button type="submit" { "Compare the ticked ones" } }
        }
    }
}

/// The page.
///
/// # Errors
/// No such machine.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let place = Place::Machine(&bench.kept.id, &bench.kept.name, "/routes", &[]);
    let plan = match plan(&bench.machine, bench.parts()) {
        Ok(plan) => plan,
        Err(error) => {
            let body = html! {
                h1 { "Routes" }
                p.problem { "There is no plan yet: " (error) "." }
                p { "Put it into the " a href={ "/machines/" (bench.kept.id) "/text" } { "record" } " and come back." }
            };
            return Ok(Answer::Page(frame("Routes", place, &body)));
        }
    };
    let all = ask.query.text("all") == "yes";
    let body = html! {
        h1 { "Routes" }
        @if !bench.machine.story.is_empty() { p { (bench.machine.story) } }
        (picture(&draw::route_picture::routes(&plan, &bench.machine.name), "Price against time saved"))
        @for pick in &plan.picks { (one_pick(app, &bench, pick)) }
        h2 { "Routes that no cheaper one beats in time" }
        (front(&bench, &plan))
        p { (plan.front.len()) " routes are beaten by no other in price, time saved, energy, bench time and risk together. "
            @if !all { a href={ "/machines/" (bench.kept.id) "/routes?all=yes" } { "Show them all" } } }
        @if all { (draw::plan_text::front_table(&plan, Listed::All).html()) }
        @if plan.without_gain > 0 {
            p { (plan.without_gain) " more combinations fit, but a reading is missing to judge them." }
        }
        @if plan.without_price > 0 {
            p { (plan.without_price) " parts are left out: they have no price in " (plan.currency.code()) ", or no exchange rate leads there." }
        }
        @if !plan.near_misses.is_empty() {
            h2 { "Near misses" }
            @for miss in &plan.near_misses {
                h3 { (miss.name) ", would save " (miss.would_save_s.map_or_else(|| "an unknown time".to_owned(), time_a_day)) }
                @for one in &miss.stopped_by { (finding(one)) }
            }
        }
    };
    Ok(Answer::Page(frame("Routes", place, &body)))
}
