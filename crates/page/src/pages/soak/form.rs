//! The form of a soak: the same choices as on the command line, kept as they were entered when something is wrong.

use maud::{Markup, html};
use quantity::dimension::{Dimension, DurationDim, FrequencyDim, Temperature, TemperatureDim};
use quantity::measure::Quantity;
use quantity::text::significant;
use soak::kernel::Load;
use soak::run::own;
use soak::run::plan::{Plan, Refused, Trial, Watch, watched};
use soak::run::words::{BLIND, CAUTIONS, named};
use soak::schedule::{Layout, Schedule};
use soak::sensors::choice::{Choice, PLACES};
use soak::sensors::find::PowerMeter;
use soak::sensors::find::Thermometer;
use soak::width::Width;
use survey::topology::topology;

use crate::answer::Wrong;
use crate::app::App;
use crate::ask::Fields;
use crate::frame::token;
use crate::keeping::ForJob;
use crate::pages::job;
use crate::pages::soak::here::{Here, here, root};

/// What the form asks for.
pub struct Wanted {
    /// What shall run.
    pub plan: Plan,
    /// A person's word on what sensors are.
    pub choices: Vec<Choice>,
    /// Whether it may run without a sensor.
    pub watch: Watch,
    /// A lower limit, in degrees Celsius.
    pub limit: Option<f64>,
    /// Temperature of the room.
    pub room: Option<Temperature>,
}

/// Fields that are typed, with what stands in them at first: name, words, a first value, and how wide.
const TIMES: [(&str, &str, &str, u8); 2] =
    [("time", "Load lasts", "10 min", 8), ("rest", "Rest before and after it", "2 min", 8)];
const MORE: [(&str, &str, &str, u8); 5] = [
    ("limit", "Stop at this temperature instead (lower only)", "", 8),
    ("room", "Temperature of the room", "", 8),
    ("rate", "Rows in a second", "10 Hz", 8),
    ("cores", "Only these threads, by the system's numbers, as 0, 2", "", 12),
    ("trial", "Flip a bit on purpose in the load of this core, from 0, to see that it is found", "", 4),
];

fn layout_words(layout: Layout) -> &'static str {
    match layout {
        Layout::All => "all cores at once",
        Layout::Each => "one core after another",
        Layout::Steps => "full load and rest in turn",
        Layout::Sweep => "from nothing to full load and back",
    }
}

fn choice(name: &str, words: &str, options: &[(&str, &str)], fields: &Fields) -> Markup {
    let chosen = fields.text(name);
    html! {
        p {
            label for=(name) { (words) }
            select id=(name) name=(name) {
                @for (value, text) in options { option value=(value) selected[*value == chosen] { (text) } }
            }
        }
    }
}

fn typed(list: &[(&str, &str, &str, u8)], fields: &Fields) -> Markup {
    html! {
        div.fields {
            @for (name, words, first, width) in list {
                p { label for=(name) { (words) } input id=(name) name=(name) value=(fields.get(name).unwrap_or(first)) size=(width) autocomplete="off"; }
            }
        }
    }
}

/// What a sensor is, as a person says it: its place among the choices.
fn sensor(one: &Thermometer, now: Option<f64>, chosen: &[&str], number: usize) -> Markup {
    let Some((chip, stem)) = &one.named else {
        return html! {
            tr { th scope="row" { (named(&one.heading)) } td data-label="says now" { (reading(now)) } td data-label="is" { (one.place.as_deref().unwrap_or("not known")) ", by the kernel" } }
        };
    };
    let value = |place: &str| format!("{place}={chip}/{stem}");
    let is = |place: &str| chosen.contains(&value(place).as_str());
    let id = format!("sensor-{number}");
    html! {
        tr {
            th scope="row" { label for=(id) { bdi { (chip) "/" (stem) } } }
            td data-label="says now" { (reading(now)) }
            td data-label="is" {
                select id=(id) name="sensor" {
                    option value="" { (one.place.as_deref().unwrap_or("not known")) ", as found" }
                    @for place in PLACES { option value=(value(place)) selected[is(place)] { (place) } }
                    @for core in 0..own::cores().map_or(0, |cores| cores.len()).min(64) {
                        @let place = format!("core {core}");
                        option value=(value(&place)) selected[is(&place)] { (place) }
                    }
                }
            }
        }
    }
}

/// A sensor of power, and what a person says that it measures.
fn meter(one: &PowerMeter, chosen: &[&str], number: usize) -> Markup {
    let value = |place: &str| format!("{place}={}/{}", one.chip, one.stem);
    let id = format!("meter-{number}");
    let now = one.watts.map_or_else(|| "unknown".to_owned(), |watts| format!("{} W", significant(watts, 4)));
    html! {
        tr {
            th scope="row" { label for=(id) { bdi { (one.chip) "/" (one.stem) } } }
            td data-label="says now" { (now) }
            td data-label="is" {
                select id=(id) name="sensor" {
                    option value="" { (one.place.as_deref().unwrap_or("not read")) ", as found" }
                    @for (place, words) in [("power", "the processor's power"), ("wall", "what comes from the wall")] {
                        option value=(value(place)) selected[chosen.contains(&value(place).as_str())] { (words) }
                    }
                }
            }
        }
    }
}

fn reading(now: Option<f64>) -> String {
    now.map_or_else(|| "unknown".to_owned(), |celsius| format!("{} °C", significant(celsius, 4)))
}

fn sensors(computer: &Here, fields: &Fields) -> Markup {
    let chosen = fields.every("sensor");
    let (all, meters) = (computer.sampler.thermometers(), computer.sampler.meters());
    html! {
        @if !all.is_empty() || !meters.is_empty() {
            div.table tabindex="0" role="region" aria-label="Sensors of this computer" {
                table.stack {
                    thead { tr { th scope="col" { "sensor" } th scope="col" { "says now" } th scope="col" { "is" } } }
                    tbody {
                        @for (number, one) in all.iter().enumerate() {
                            (sensor(one, computer.row.get(one.column).copied().flatten(), &chosen, number))
                        }
                        @for (number, one) in meters.iter().enumerate() { (meter(one, &chosen, number)) }
                    }
                }
            }
            p.faint { "\"package\" is the processor's own sensor, which the run rests on; \"case air\" is the air that the cooler takes." }
        }
        @for note in &computer.notes { p.faint { "Not read: " (note) "." } }
    }
}

/// Whose soak it is, and whether this computer is the right one for it.
fn whose(app: &App, of: &ForJob, fields: &Fields) -> Result<Markup, Wrong> {
    let job = job::load(app, &of.job)?;
    let changes = job.bench.changes(&job.kept.parts)?;
    let found = &job.bench.machine.processor.part;
    let is_before = of.side == store::soak_log::Side::Before;
    let its = if is_before { found } else { changes.processor.unwrap_or(found) };
    let own = root(app).ok().and_then(|root| topology(&root).name);
    let is_it = own.as_ref().is_some_and(|own| its.name == *own || its.reported.contains(own));
    Ok(html! {
        p.lead { "For the job " a href={ "/jobs/" (of.job) } { (of.title) } ": soak " (of.side.word()) " the work." }
        p { "A soak loads and reads the computer that this page runs on, and no other. It says something about this job only if that computer is "
            bdi { (job.bench.kept.name) } "; else run " code { "reseat soak" } " on that machine and "
            a href={ "/jobs/" (of.job) "/proof" } { "send its log" } "." }
        dl.facts {
            dt { "this computer's processor calls itself" } dd { bdi { (own.as_deref().unwrap_or("nothing that can be read")) } }
            dt { "the job's processor " (of.side.word()) " the work" } dd { bdi { (its.name) } @if is_it { ", which calls itself so" } }
        }
        @if own.is_none() { p.warn { "Nothing here says which processor this is: make sure yourself." } }
        @else if !is_it { p.warn { "The two names do not agree, as far as this program knows the processor: look twice." } }
        p { label { input type="checkbox" name="here" value="yes" required checked[fields.text("here") == "yes" && fields.text("job") == of.job]; " This computer is the job's machine." } }
        input type="hidden" name="job" value=(of.job);
        input type="hidden" name="side" value=(of.side.word());
    })
}

/// The form, with what was entered.
///
/// # Errors
/// This computer's files cannot be looked into; no such job.
pub fn form(app: &App, fields: &Fields, of: Option<&ForJob>) -> Result<Markup, Wrong> {
    let choices: Vec<Choice> = fields.all("sensor").iter().filter_map(|text| text.parse().ok()).collect();
    let limits = watched(&here(app, &choices)?.sampler, None, Watch::Blind).unwrap_or_default();
    // What each sensor is without anybody's word is among the choices.
    let computer = here(app, &[])?;
    let loads: Vec<(&str, &str)> = Load::ALL.iter().map(|load| (load.word(), load.word())).collect();
    let layouts: Vec<(&str, &str)> =
        Layout::ALL.iter().map(|layout| (layout.word(), layout_words(*layout))).collect();
    let is_entered =
        MORE.iter().any(|(name, _, first, _)| fields.get(name).is_some_and(|text| text != *first));
    Ok(html! {
        section aria-labelledby="begin" {
            h2 id="begin" { "Load this computer" }
            form method="post" action="/soak/begin" {
                (token(app))
                @if let Some(of) = of { (whose(app, of, fields)?) }
                @for caution in CAUTIONS { p { (caution.replace("Ctrl-C", "The button on the next page")) } }
                div.fields {
                    (choice("load", "Load", &loads, fields))
                    (choice("layout", "Layout", &layouts, fields))
                }
                (typed(&TIMES, fields))
                h3 { "Sensors" }
                @if limits.is_empty() {
                    p.problem { "No temperature of the processor is known here, so nothing would stop a run that gets too hot. \
                        Say which sensor is the processor's, or say below that it may run without." }
                } @else {
                    p { "It stops by itself when a sensor is lost, stands still or reaches its limit:" }
                    ul { @for (one, limit) in &limits {
                        li { (named(&one.heading)) " at " (significant(limit.celsius, 3)) " °C, " (limit.basis.words()) }
                    } }
                }
                (sensors(&computer, fields))
                details open[is_entered] {
                    summary { "Limit, room, rows, cores, trial" }
                    (typed(&MORE, fields))
                }
                @if limits.is_empty() {
                    p { label { input type="checkbox" name="blind" value="yes" checked[fields.text("blind") == "yes"];
                        " Run although no temperature is watched: five minutes at most, rest included." } }
                    p.warn { (BLIND) }
                }
                p { label { input type="checkbox" name="looked" value="yes" required; " The cooler sits, its fan turns, and I stay here." } }
                button type="submit" { "Begin the soak" }
            }
        }
    })
}

/// A quantity that was typed; none where the field is empty.
fn quantity<D: Dimension>(fields: &Fields, name: &str) -> Result<Option<Quantity<D>>, String> {
    let text = fields.text(name).trim();
    let words =
        TIMES.iter().chain(&MORE).find(|(known, ..)| *known == name).map_or(name, |(_, words, ..)| words);
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|error| format!("{words}: {error}."))
}

/// Why a run is refused, in words for the page.
pub fn refused(why: &Refused) -> String {
    match why {
        Refused::NoSensor => {
            format!("{why}. Say among the sensors which one is the processor's, or that it may run without.")
        }
        Refused::TooLong { .. } | Refused::Rate { .. } | Refused::NoCore | Refused::Limit(_) => {
            format!("{why}.")
        }
    }
}

fn cores(fields: &Fields) -> Result<Vec<soak::run::worker::Core>, String> {
    let mut cores = own::cores().map_err(|error| error.to_string())?;
    let known = || cores.iter().map(|core| core.cpu.to_string()).collect::<Vec<_>>().join(", ");
    let mut wanted = Vec::new();
    for text in fields.text("cores").split([',', ' ']).map(str::trim).filter(|text| !text.is_empty()) {
        let number = text.parse().ok().filter(|number| cores.iter().any(|core| core.cpu == *number));
        wanted.push(number.ok_or_else(|| {
            format!(
                "Only these threads: there is no thread \"{text}\" here that may be used; take some of {}.",
                known()
            )
        })?);
    }
    if !wanted.is_empty() {
        cores.retain(|core| wanted.contains(&core.cpu));
    }
    Ok(cores)
}

/// What the form asks for.
///
/// # Errors
/// What is wrong with it, in a sentence that begins with the field.
pub fn wanted(fields: &Fields, is_for_job: bool) -> Result<Wanted, String> {
    if fields.text("looked") != "yes" {
        return Err(
            "Say that you have looked at the cooler and stay here: without that no load begins.".to_owned()
        );
    }
    if is_for_job && fields.text("here") != "yes" {
        return Err(
            "Say that this computer is the job's machine: the soak of another one proves nothing of it."
                .to_owned(),
        );
    }
    let none = |what: &str| format!("\"{}\" is no {what} that is offered.", fields.text(what));
    let load =
        Load::ALL.into_iter().find(|load| load.word() == fields.text("load")).ok_or_else(|| none("load"))?;
    let layout = Layout::ALL
        .into_iter()
        .find(|one| one.word() == fields.text("layout"))
        .ok_or_else(|| none("layout"))?;
    let time = quantity::<DurationDim>(fields, "time")?.ok_or("Load lasts: say how long, as 10 min.")?;
    let rest = quantity::<DurationDim>(fields, "rest")?.map_or(0.0, |rest| rest.si().max(0.0));
    let rate = quantity::<FrequencyDim>(fields, "rate")?.map_or(10.0, |rate| rate.si());
    let limit = quantity::<TemperatureDim>(fields, "limit")?.map(|limit| limit.si() - 273.15);
    let room = quantity::<TemperatureDim>(fields, "room")?;
    let mut choices = Vec::new();
    for text in fields.all("sensor") {
        choices.push(text.parse::<Choice>().map_err(|why| format!("Sensors: {why}."))?);
    }
    let cores = cores(fields)?;
    let trial = match fields.text("trial").trim() {
        "" => None,
        text => Some(text.parse().ok().filter(|worker| *worker < cores.len()).ok_or_else(|| {
            format!(
                "Trial: \"{text}\" is no number of a core that works; take 0 to {}.",
                cores.len().saturating_sub(1)
            )
        })?),
    };
    let plan = Plan {
        schedule: Schedule::of(layout, load, time.si(), rest, cores.len()),
        rows_hz: rate,
        width: Width::widest(),
        memory: own::memory(cores.len()),
        cache: own::cache(),
        still_s: soak::dip::STILL_S,
        trial: trial.map(|worker| Trial { worker, bit: 3 }),
        cores,
    };
    let watch = if fields.text("blind") == "yes" { Watch::Blind } else { Watch::Sensors };
    Ok(Wanted { plan, choices, watch, limit, room })
}
