//! Reading tasks.

use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};
use upgrade::machine::workload::{Attended, Task};

use crate::fields::Fields;
use crate::range;

const ATTENDED: [(&str, Attended); 2] = [("waited", Attended::Waited), ("alone", Attended::Alone)];

/// Shares may miss one by so much, for people round them.
const SHARES_MISS: f64 = 0.015;

/// A `[[task]]`. A share that is left out is nothing where the others make up the whole.
pub fn task(fields: &mut Fields<'_, '_>) -> Option<Task> {
    let name = fields.required_text("name");
    let time_a_day = fields.figure("time_a_day", range::TIME);
    fields.require("time_a_day", !time_a_day.is_unknown(), "\"45 min\"");
    let mut shares = [
        fields.figure("serial", range::SHARE),
        fields.figure("parallel", range::SHARE),
        fields.figure("memory", range::SHARE),
        fields.figure("elsewhere", range::SHARE),
    ];
    let attended = fields.word("attended", &ATTENDED).get().unwrap_or(Attended::Waited);
    let widest = fields.count("widest", 1, 4096).get();
    let known: (f64, f64) = shares
        .iter()
        .filter_map(|share| share.known())
        .fold((0.0, 0.0), |sum, share| (sum.0 + share.low().si(), sum.1 + share.high().si()));
    let all_known = shares.iter().all(|share| !share.is_unknown());
    let whole = known.0 <= 1.0 + SHARES_MISS && known.1 >= 1.0 - SHARES_MISS;
    if fields.is_reading() && ((all_known && !whole) || known.0 > 1.0 + SHARES_MISS) {
        let span = fields.span();
        let message = format!(
            "the shares of \"{}\" add up to {:.0} %, expected 100 %",
            name.as_deref().unwrap_or("a task"),
            50.0 * (known.0 + known.1)
        );
        let help = "serial, parallel, memory and elsewhere are shares of the task's time now";
        fields.error(span.start..span.start, "serial", message, Some(help.to_owned()));
    }
    if whole {
        let nothing: Figure<_> = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
        for share in shares.iter_mut().filter(|share| share.is_unknown()) {
            *share = nothing;
        }
    }
    let [serial, parallel, memory, elsewhere] = shares;
    Some(Task { name: name?, time_a_day, serial, parallel, memory, elsewhere, attended, widest })
}
