//! What a thermometer said at the cooler's air inlet: written above the newest log after the work, which is kept anew.

use maud::{Markup, html};
use quantity::dimension::Temperature;
use store::soak_log::{KeptLog, Side};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::token;

/// The key of the line above a log's table.
const LINE: &str = "# case air:";
/// What such air can be, in degrees Celsius.
const PLAUSIBLE_C: core::ops::RangeInclusive<f64> = -20.0..=90.0;

/// The form, where there is a log after the work.
pub(super) fn form(app: &App, id: &str, logs: &[KeptLog]) -> Markup {
    html! {
        @if logs.iter().any(|log| log.side == Side::After) {
            h2 { "A thermometer in the case" }
            p { "Held where the cooler takes its air, at the end of the load, it tells the cooler from the air in the case. Keep hands, cables and \
                the thermometer out of fans." }
            form method="post" action={ "/jobs/" (id) "/case-air" } {
                (token(app))
                p { label for="value" { "It said" } input id="value" name="value" required placeholder="38 °C" autocomplete="off"; }
                button type="submit" { "Read the log with it" }
            }
        }
    }
}

/// The log's text with this air above it, in place of what was said before.
fn with_air(text: &str, air: Temperature) -> String {
    let mut out = format!("{LINE} {air}\n");
    let mut is_head = true;
    for line in text.split_inclusive('\n') {
        is_head &= line.trim_start_matches('\u{feff}').starts_with('#') || line.trim().is_empty();
        if !(is_head && line.trim_start_matches('\u{feff}').starts_with(LINE)) {
            out.push_str(line);
        }
    }
    out
}

/// Keeps the newest log after the work anew, with the air that was measured.
///
/// # Errors
/// No such temperature, no such job, or no log after the work.
pub fn keep(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let typed = ask.form.text("value").trim();
    let wrong = |what: String| Wrong::Input { what, typed: typed.to_owned() };
    let air: Temperature = typed.parse().map_err(|error| wrong(format!("air in the case: {error}")))?;
    if !PLAUSIBLE_C.contains(&air.celsius()) {
        return Err(wrong(format!("air in the case: {air} is no temperature in which a computer works")));
    }
    let job = ask.name("job");
    let logs = app.store().soak_logs(job)?;
    let newest = logs.iter().rev().find(|log| log.side == Side::After);
    let newest = newest.ok_or_else(|| wrong("no soak after the work is kept yet".to_owned()))?;
    let text = app.store().soak_log_text(job, newest.number)?;
    app.store().add_soak_log(job, Side::After, (&newest.name, &with_air(&text, air)), (app.now)())?;
    Ok(Answer::See(format!("/jobs/{job}/proof")))
}

#[cfg(test)]
mod tests {
    use super::with_air;

    #[test]
    fn what_was_said_before_is_replaced_and_the_table_is_left_alone() {
        let air = "38 °C".parse().unwrap();
        let text = "# machine: a\n# case air: 31 °C\ntime s,load\n0,# case air: 7\n";
        assert_eq!(with_air(text, air), "# case air: 38 °C\n# machine: a\ntime s,load\n0,# case air: 7\n");
    }
}
