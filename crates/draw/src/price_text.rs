//! How old the prices of a plan are, and which of them would turn it, as text.

use quantity::day::Day;
use quantity::money::Money;
use upgrade::route::plan::Plan;
use upgrade::route::price_turn::{PriceTurn, Turn};

use crate::paint::{Paint, Role};
use crate::table::{Side, Table};
use crate::wrap::wrap;

/// How old a price is, in words.
pub fn age(day: Option<Day>, today: Day) -> String {
    match day {
        None => "of an unknown day".to_owned(),
        Some(day) => match today.days_since(day) {
            days if days < 0 => format!("of {day}, which is still to come"),
            0 => "of today".to_owned(),
            1 => format!("of {day}, 1 day old"),
            days => format!("of {day}, {days} days old"),
        },
    }
}

/// Days after which a price is called old.
///
/// # Source
/// common practice, no source.
pub const OLD_DAYS: i64 = 60;

/// The sentences about the ages of the prices that a plan's picks rest on.
pub fn ages(plan: &Plan, today: Day) -> Vec<String> {
    let mut prices: Vec<(&str, Option<Day>)> = plan
        .picks
        .iter()
        .flat_map(|pick| &pick.route.items)
        .map(|item| (item.name.as_str(), item.day))
        .collect();
    prices.sort();
    prices.dedup();
    let undated: Vec<&str> = prices.iter().filter(|(_, day)| day.is_none()).map(|(name, _)| *name).collect();
    let dated: Vec<(i64, &str, Day)> =
        prices.iter().filter_map(|(name, day)| Some((today.days_since((*day)?), *name, (*day)?))).collect();
    let mut out = Vec::new();
    if let (Some(oldest), Some(newest)) =
        (dated.iter().max_by_key(|one| one.0), dated.iter().min_by_key(|one| one.0))
    {
        if oldest.0 == newest.0 {
            out.push(format!("The prices of the picks are {}.", age(Some(oldest.2), today)));
        } else {
            out.push(format!(
                "Of the prices of the picks the oldest is {} ({}), the newest {} ({}).",
                age(Some(oldest.2), today),
                oldest.1,
                age(Some(newest.2), today),
                newest.1
            ));
        }
        let old = dated.iter().filter(|one| one.0 > OLD_DAYS).count();
        if old > 0 {
            out.push(format!(
                "{old} of them {} older than {OLD_DAYS} days; the answer does not allow for that: look them up again before buying.",
                if old == 1 { "is" } else { "are" }
            ));
        }
    }
    if !undated.is_empty() {
        out.push(format!("How old these prices are is not known: {}.", undated.join(", ")));
    }
    out
}

/// One turn in a sentence.
pub fn sentence(turn: &PriceTurn) -> String {
    let name = &turn.name;
    let way = turn.condition.word();
    match &turn.turn {
        Turn::Never => format!("{name} stays in the best value however dear it gets {way}."),
        Turn::At { price, then } => {
            let change = Money::from_minor((price.minor() - turn.price.minor()).abs(), price.currency());
            let direction = if price.minor() > turn.price.minor() { "dearer" } else { "cheaper" };
            format!("{name} {way} at {price}, {change} {direction}, and the best value is {then}.")
        }
    }
}

/// Ages and turns below a plan.
pub fn prices(plan: &Plan, turns: Option<&[PriceTurn]>, today: Day, width: usize, paint: Paint) -> String {
    let mut out = String::new();
    let line = |out: &mut String, text: &str| {
        for line in wrap(text, width, 2) {
            out.push_str(&line);
            out.push('\n');
        }
    };
    let ages = ages(plan, today);
    if ages.is_empty() && turns.is_none_or(<[PriceTurn]>::is_empty) {
        return out;
    }
    out.push('\n');
    line(&mut out, &paint.text(Role::Heading, "Prices"));
    ages.iter().for_each(|text| line(&mut out, text));
    match turns {
        None => line(
            &mut out,
            "Which price would turn the best value is not worked out for so large a library; --price-turns asks for it.",
        ),
        Some([]) => {}
        Some(turns) => {
            line(
                &mut out,
                "The best value becomes another when one of these prices, by itself, changes so far:",
            );
            let mut table = Table::new(&[
                ("part", Side::Left),
                ("", Side::Left),
                ("now", Side::Right),
                ("turns at", Side::Right),
                ("best value then", Side::Left),
            ]);
            for turn in turns {
                let (at, then) = match &turn.turn {
                    Turn::At { price, then } => (price.to_string(), then.clone()),
                    Turn::Never => ("never".to_owned(), "the same".to_owned()),
                };
                table.row([
                    turn.name.clone(),
                    turn.condition.word().to_owned(),
                    turn.price.to_string(),
                    at,
                    then,
                ]);
            }
            out.push_str(&table.render(width));
        }
    }
    out
}
