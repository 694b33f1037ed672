//! A fleet's plan as a table, one row a machine: for CSV and columns files.

use columns::table::{Column, Table, Values};
use fleet::answer::Answer;
use fleet::group::Member;
use fleet::plan::FleetPlan;
use fleet::terms::{Goal, Terms};
use quantity::money::Money;

use crate::fleet::take_in::TakenIn;

/// The table: machines in the order in which they were read, then those that were not taken in.
pub fn table(plan: &FleetPlan, taken: &TakenIn, terms: &Terms) -> Table {
    let members = &taken.members;
    let answers = plan.answers(members.len());
    let mut rows = Rows::default();
    for (member, answer) in members.iter().zip(&answers) {
        rows.machine(members, member, answer.as_ref(), terms);
    }
    for refused in &taken.refused {
        let why = refused.problems.first().map(|problem| problem.message.clone());
        let row = Row { from: refused.from.clone(), answer: "not read", why, ..Row::default() };
        rows.list.push(row);
    }
    rows.table(plan, terms)
}

#[derive(Debug, Clone, Default)]
struct Row {
    machine: Option<String>,
    name: Option<String>,
    from: String,
    group: Option<i64>,
    answer: &'static str,
    why: Option<String>,
    turn: Option<i64>,
    change: Option<String>,
    buys: Option<String>,
    processor_from: Option<String>,
    processor_to: Option<String>,
    spent: Option<f64>,
    minutes: Option<i64>,
    hours_saved: Option<f64>,
    kwh_more: Option<f64>,
    worth: Option<f64>,
}

#[derive(Debug, Default)]
struct Rows {
    list: Vec<Row>,
}

impl Rows {
    fn machine(
        &mut self,
        members: &[Member],
        member: &Member,
        answer: Option<&(usize, Answer<'_>)>,
        terms: &Terms,
    ) {
        let Some((group, answer)) = answer else { return };
        let id = |place: usize| members.get(place).map(|member| member.machine.id.clone());
        let mut row = Row {
            machine: Some(member.machine.id.clone()),
            name: Some(member.machine.name.clone()),
            from: member.from.clone(),
            group: i64::try_from(group + 1).ok(),
            answer: answer.word(),
            ..Row::default()
        };
        match answer {
            Answer::CannotTell { why } => row.why = Some((*why).to_owned()),
            Answer::Leave { .. } | Answer::NothingWorth => {}
            Answer::Upgrade { turn, job, way } => {
                let ids: Vec<&str> = way.bought.iter().map(|part| part.id.text()).collect();
                let days = member.machine.setting.days_a_year.map(f64::from);
                row.turn = i64::try_from(turn + 1).ok();
                row.change = Some(way.title.clone());
                row.buys = Some(ids.join("; "));
                row.processor_from = job.from.and_then(id);
                row.processor_to = job.to.and_then(id);
                row.spent = Some(Money::from_minor(way.cost, terms.currency).major());
                row.minutes = Some(i64::from(way.minutes));
                row.hours_saved = days.map(|days| thousandths(way.saved_s as f64 * days / 3600.0));
                row.kwh_more = Some(way.more_wh as f64 / 1000.0);
                row.worth =
                    (terms.goal == Goal::Worth).then(|| Money::from_minor(way.value, terms.currency).major());
            }
        }
        self.list.push(row);
    }

    fn table(self, plan: &FleetPlan, terms: &Terms) -> Table {
        let words = |of: fn(&Row) -> Option<String>| Values::Words(self.list.iter().map(of).collect());
        let whole = |of: fn(&Row) -> Option<i64>| Values::Whole(self.list.iter().map(of).collect());
        let numbers = |of: fn(&Row) -> Option<f64>| Values::Numbers(self.list.iter().map(of).collect());
        let code = terms.currency.code();
        let column = |name: &str, values: Values| Column { name: name.to_owned(), values };
        let sums = plan.chosen.sums;
        let money = |minor: i64| Money::from_minor(minor, terms.currency).to_string();
        let mut notes = vec![
            ("spent".to_owned(), money(sums.cost)),
            ("minutes at the bench".to_owned(), sums.minutes.to_string()),
            ("machines upgraded".to_owned(), plan.jobs.len().to_string()),
        ];
        if let Some(budget) = terms.budget {
            notes.push(("budget".to_owned(), money(budget)));
        }
        Table {
            notes,
            columns: vec![
                column("machine", words(|row| row.machine.clone())),
                column("name", words(|row| row.name.clone())),
                column("from", words(|row| Some(row.from.clone()))),
                column("group", whole(|row| row.group)),
                column("answer", words(|row| Some(row.answer.to_owned()))),
                column("why", words(|row| row.why.clone())),
                column("turn", whole(|row| row.turn)),
                column("change", words(|row| row.change.clone())),
                column("buys", words(|row| row.buys.clone())),
                column("processor from", words(|row| row.processor_from.clone())),
                column("processor to", words(|row| row.processor_to.clone())),
                column(&format!("spent {code}"), numbers(|row| row.spent)),
                column("minutes", whole(|row| row.minutes)),
                column("hours saved a year", numbers(|row| row.hours_saved)),
                column("kWh more a year", numbers(|row| row.kwh_more)),
                column(&format!("worth over the years {code}"), numbers(|row| row.worth)),
            ],
        }
    }
}

/// A table as CSV. Text that a spreadsheet would take for a formula gets an apostrophe before it.
pub fn csv(table: &Table) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heading: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
    // Writing into memory does not fail.
    let _ = writer.write_record(&heading);
    for row in 0..table.rows() {
        let cells: Vec<String> = table.columns.iter().map(|column| cell(&column.values, row)).collect();
        let _ = writer.write_record(&cells);
    }
    writer.into_inner().unwrap_or_default()
}

fn cell(values: &Values, row: usize) -> String {
    let text = match values {
        Values::Numbers(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Whole(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Words(cells) => cells.get(row).cloned().flatten().map(|cell| harmless(&cell)),
        Values::YesNo(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
    };
    text.unwrap_or_default()
}

fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

/// Text that no spreadsheet takes for a formula, without control characters.
fn harmless(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if plain.starts_with(['=', '+', '-', '@']) { format!("'{plain}") } else { plain }
}
