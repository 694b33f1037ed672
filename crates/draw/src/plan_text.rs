//! A plan as terminal text.

use quantity::reading::Figure;
use quantity::text::significant;
use upgrade::carry::point::SustainedPoint;
use upgrade::machine::present::Machine;
use upgrade::route::detail::Route;
use upgrade::route::pick::{Pick, PickKind, time_a_day};
use upgrade::route::plan::Plan;

use crate::findings_text::role;
use crate::paint::{Paint, Role};
use crate::table::{Side, Table};
use crate::wrap::wrap;

/// How many routes of the front are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listed {
    /// Those that save more time than every cheaper one.
    Steps,
    /// All.
    All,
}

/// The plan for a machine.
pub fn plan(machine: &Machine, plan: &Plan, listed: Listed, width: usize, paint: Paint) -> String {
    let mut out = String::new();
    heading(&mut out, paint, width, &machine.name);
    lines(&mut out, &machine.story, width, 0);
    out.push('\n');
    present(&mut out, machine, plan, width, paint);
    for pick in &plan.picks {
        out.push('\n');
        one_pick(&mut out, pick, width, paint);
    }
    out.push('\n');
    heading(&mut out, paint, width, "Routes that no cheaper one beats in time");
    out.push_str(&front_table(plan, listed).render(width));
    lines(
        &mut out,
        &format!(
            "{} routes are beaten by no other in price, time saved, energy, bench time and risk together.",
            plan.front.len()
        ),
        width,
        0,
    );
    if plan.without_gain > 0 {
        let text =
            format!("{} more combinations fit, but a reading is missing to judge them.", plan.without_gain);
        lines(&mut out, &text, width, 0);
    }
    if plan.without_price > 0 {
        let text = format!(
            "{} parts are left out: they have no price in {}, or no exchange rate leads there.",
            plan.without_price,
            plan.currency.code()
        );
        lines(&mut out, &text, width, 0);
    }
    if !plan.near_misses.is_empty() {
        out.push('\n');
        heading(&mut out, paint, width, "Near misses");
        for miss in &plan.near_misses {
            let would = miss.would_save_s.map_or_else(|| "unknown".to_owned(), time_a_day);
            lines(&mut out, &format!("{} (would save {would}):", miss.name), width, 0);
            for finding in &miss.stopped_by {
                let text = format!("{} {}: {}", finding.verdict.mark(), finding.rule, finding.sentence);
                lines(&mut out, &text, width, 4);
            }
        }
    }
    out
}

fn heading(out: &mut String, paint: Paint, width: usize, text: &str) {
    for line in wrap(text, width, 2) {
        out.push_str(&paint.text(Role::Heading, &line));
        out.push('\n');
    }
}

fn lines(out: &mut String, text: &str, width: usize, indent: usize) {
    for line in wrap(text, width.saturating_sub(indent), 2) {
        out.push_str(&" ".repeat(indent));
        out.push_str(&line);
        out.push('\n');
    }
}

/// A figure as it is printed.
pub fn known<D: quantity::dimension::Dimension>(figure: &Figure<D>, digits: u32) -> String {
    figure.known().map_or_else(|| "unknown".to_owned(), |value| value.rounded(digits))
}

/// The sustained point in a phrase.
pub fn point_phrase(point: &SustainedPoint) -> String {
    let mut text = format!("{} on all cores", known(&point.clock, 3));
    if !point.power.is_unknown() {
        text.push_str(&format!(" at {}, junction {}", known(&point.power, 3), known(&point.junction, 3)));
    }
    match point.binding {
        Some((slow, fast)) if slow == fast => text.push_str(&format!("; {} binds", slow.word())),
        Some((slow, fast)) => text.push_str(&format!("; {} or {} binds", slow.word(), fast.word())),
        None => {}
    }
    text
}

fn present(out: &mut String, machine: &Machine, plan: &Plan, width: usize, paint: Paint) {
    heading(out, paint, width, "Now");
    let memory: Vec<&str> = machine.memory.iter().map(|kit| kit.part.name.as_str()).collect();
    let joint = machine.joint.state.known().map_or("unknown", |state| state.word());
    for (what, value) in [
        ("processor", machine.processor.part.name.clone()),
        ("board", machine.board.part.name.clone()),
        ("memory", memory.join(" + ")),
        ("cooler", machine.cooler.part.name.clone()),
        ("paste", joint.to_owned()),
        ("supply", machine.supply.part.name.clone()),
        ("case", machine.case.part.name.clone()),
        ("holds", point_phrase(&plan.present_point)),
    ] {
        lines(out, &format!("{what:<11}{value}"), width, 2);
    }
    for finding in plan.present.iter().filter(|f| f.verdict != upgrade::fit::finding::Verdict::Fits) {
        let text = format!("{} {}: {}", finding.verdict.mark(), finding.rule, finding.sentence);
        lines(out, &text, width, 2);
    }
}

fn one_pick(out: &mut String, pick: &Pick, width: usize, paint: Paint) {
    let route = &pick.route;
    let head = match pick.kind {
        PickKind::Stay => capital(pick.kind.word()),
        kind => format!("{}: {}", capital(kind.word()), route.title),
    };
    heading(out, paint, width, &head);
    for item in &route.items {
        let resale = item.resale.map_or_else(String::new, |resale| format!(", the old one brings {resale}"));
        // The library's own prices are told together at the end; a shop's price is told with its shop.
        let shop = match (&item.shop, item.day) {
            (Some(shop), Some(day)) => format!(" at {shop} on {day}"),
            _ => String::new(),
        };
        let text = format!(
            "{:<11}{}  {} {}{shop}{resale}",
            item.kind.word(),
            item.name,
            item.price,
            item.condition.word()
        );
        lines(out, &text, width, 2);
    }
    if !route.items.is_empty() {
        lines(out, &format!("net price  {}", route.net_cost), width, 2);
        lines(out, &format!("saves      {}", saves(route)), width, 2);
        if let Some((low, high)) = route.yearly_worth {
            lines(out, &format!("worth      {low} to {high} a year"), width, 2);
        }
        if let Some(payback) = route.payback.known() {
            let years = |si: f64| significant(si / 31_557_600.0, 2);
            let text =
                format!("payback    {} to {} years", years(payback.low().si()), years(payback.high().si()));
            lines(out, &text, width, 2);
        }
        lines(out, &format!("holds      {}", point_phrase(&route.point)), width, 2);
        lines(out, &format!("at work    {} from the wall", known(&route.energy.power.busy, 3)), width, 2);
        lines(out, &format!("bench time {} min", route.objectives.minutes), width, 2);
    }
    for reason in &pick.reasons {
        lines(out, reason, width, 2);
    }
    if !route.items.is_empty() {
        let text = format!(
            "With the uncertain readings drawn from their intervals it stays unbeaten in {:.0} % of draws.",
            100.0 * pick.steadiness
        );
        lines(out, &text, width, 2);
    }
    for finding in route.remarks() {
        let head = format!("{} {} ", finding.verdict.mark(), finding.verdict.word());
        let mut text = format!("{}: {}", finding.rule, finding.sentence);
        if let Some(cure) = &finding.cure {
            text.push_str(&format!(" {cure}"));
        }
        let body = wrap(&format!("{head}{text}"), width.saturating_sub(4), 2);
        for (idx, line) in body.iter().enumerate() {
            out.push_str("    ");
            let painted =
                if idx == 0 { line.strip_prefix(&head).map(|rest| (head.as_str(), rest)) } else { None };
            match painted {
                Some((head, rest)) => {
                    out.push_str(&format!("{}{rest}", paint.text(role(finding.verdict), head)))
                }
                None => out.push_str(line),
            }
            out.push('\n');
        }
    }
}

/// Time saved, worst to best.
pub fn saves(route: &Route) -> String {
    match route.gain.saved_a_day.known() {
        Some(saved) => {
            let whole = |si: f64| si.round() as i64;
            let (low, high) = (time_a_day(whole(saved.low().si())), time_a_day(whole(saved.high().si())));
            if low == high { low } else { format!("{} to {high}", low.trim_end_matches(" a day")) }
        }
        None => "unknown".to_owned(),
    }
}

/// The same with its first letter large.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The routes of the front.
pub fn front_table(plan: &Plan, listed: Listed) -> Table {
    let mut table = Table::new(&[
        ("route", Side::Left),
        ("net price", Side::Right),
        ("saves", Side::Right),
        ("energy a year", Side::Right),
        ("bench", Side::Right),
        ("risk", Side::Right),
    ]);
    let mut best = i64::MIN;
    for (found, title) in plan.front.iter().zip(&plan.titles) {
        let objectives = &found.objectives;
        if listed == Listed::Steps {
            if objectives.saved_s() <= best {
                continue;
            }
            best = objectives.saved_s();
        }
        table.row([
            title.clone(),
            quantity::money::Money::from_minor(objectives.cost, plan.currency).to_string(),
            time_a_day(objectives.saved_s()).trim_end_matches(" a day").to_owned(),
            format!("{} kWh", significant(objectives.energy_wh as f64 / 1000.0, 3)),
            format!("{} min", objectives.minutes),
            objectives.risk.to_string(),
        ]);
    }
    table
}
