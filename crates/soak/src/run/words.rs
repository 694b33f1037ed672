//! What a run says: cautions before it, why it ended after it.

use crate::guard::Ended;
use crate::run::conductor::Report;

/// Said before any load.
pub const CAUTIONS: [&str; 4] = [
    "CAUTION: a load on a cooler that nobody has proven can bring a processor to its limit within a second.",
    "Look first: the cooler sits, its fan turns, no cable is in a fan. Stay there for the first minutes.",
    "Save your work: a machine that is about to fail fails now. Ctrl-C stops the load at once.",
    "The limit here is a second line behind the processor's own protection; follow the maker's instructions.",
];

/// Said besides where nothing would stop a run that gets too hot.
pub const BLIND: &str =
    "WARNING: no temperature is watched in this run, because you said so: nothing but its time ends it.";

/// Said while the load dips.
pub const DIPS: &str =
    "the load rests for seconds: the sensor has stood still for a minute, and must show that it lives";

/// Why a run ended and what to do, in sentences.
pub fn ended(report: &Report) -> (String, Option<&'static str>) {
    match &report.ended {
        Ended::Done => ("Done: the whole schedule ran, and every result was right.".to_owned(), None),
        Ended::Asked => ("Stopped because it was asked for.".to_owned(), None),
        Ended::Limit { sensor, celsius, limit } => (
            format!("Stopped: {} says {celsius:.1} °C; the limit is {limit:.1} °C.", named(sensor)),
            Some("look at cooler, fan and paste before another load; reseat proof reads the log"),
        ),
        Ended::Lost { sensor, for_s } => (
            format!("Stopped: {} could not be read for {for_s:.1} s.", named(sensor)),
            Some("a driver that loses its sensor cannot watch over a load; look into the system's log"),
        ),
        Ended::Frozen { sensor, celsius, for_s } => (
            format!(
                "Stopped: {} stood still at {celsius:.1} °C for {for_s:.1} s although the load changed.",
                named(sensor)
            ),
            Some("it does not follow the processor: name another one by --sensor"),
        ),
        Ended::Wrong => (
            "Stopped: a result was wrong. This machine computes wrongly under load.".to_owned(),
            Some(
                "undo overclocking and memory profiles, seat processor and memory anew, then soak again; trust no data that it wrote",
            ),
        ),
        Ended::Stuck => (
            "Stopped: the sensors could not be read for seconds, so the workers ended by themselves."
                .to_owned(),
            Some("look into the system's log for the driver that hangs"),
        ),
        Ended::NoLog { why } => (
            format!("Stopped: the log cannot be written: {why}."),
            Some("make room, or write it elsewhere by --log"),
        ),
    }
}

/// A heading without its unit.
pub fn named(heading: &str) -> &str {
    heading.rsplit_once(' ').map_or(heading, |(name, _)| name)
}
