//! A soak as curves: temperatures over time, with the limit.

use quantity::dimension::Temperature;
use quantity::text::significant;
use upgrade::proof::log::{Place, SoakLog};

use crate::svg::{Anchor, Picture, axis_marks, number};

const HEIGHT: f64 = 340.0;
const LEFT: f64 = 56.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 48.0;
/// Points of a curve; more would be finer than a dot.
const POINTS: usize = 700;
/// Curves that can be told apart.
const CURVES: usize = 4;

fn name(place: &Place) -> String {
    match place {
        Place::Package => "package".to_owned(),
        Place::Core(core) => format!("core {core}"),
        Place::Stages => "power stages".to_owned(),
        Place::Board => "board".to_owned(),
        Place::Cooler => "cooler".to_owned(),
        Place::CaseAir => "case air".to_owned(),
        Place::Room => "room".to_owned(),
        Place::Other(name) => name.clone(),
    }
}

/// What the curves show, in a sentence, for those who do not see them.
pub fn words(log: &SoakLog) -> String {
    let mut parts = vec![format!("{} rows over {} s", log.times.len(), significant(log.length().si(), 3))];
    for track in log.temperatures.iter().take(CURVES) {
        let known = || track.values.iter().flatten().map(|value| value.si() - 273.15);
        let Some(last) = known().next_back() else { continue };
        let (low, high) = (known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max));
        parts.push(format!("{} {low:.1} to {high:.1} °C, {last:.1} °C last", name(&track.what)));
    }
    parts.join("; ")
}

/// What a picture's place allows.
struct Shape {
    width: f64,
    /// Room for names at the right.
    right: f64,
    /// Letters of a name.
    letters: usize,
    /// Marks of time.
    marks: usize,
}

const WIDE: Shape = Shape { width: 760.0, right: 120.0, letters: 16, marks: 6 };
const NARROW: Shape = Shape { width: 328.0, right: 84.0, letters: 11, marks: 3 };

/// The picture.
pub fn soak(log: &SoakLog, limit: Option<Temperature>, title: &str) -> String {
    shaped(log, limit, title, &WIDE)
}

/// The picture for a narrow screen.
pub fn narrow(log: &SoakLog, limit: Option<Temperature>, title: &str) -> String {
    shaped(log, limit, title, &NARROW)
}

fn shaped(log: &SoakLog, limit: Option<Temperature>, title: &str, shape: &Shape) -> String {
    let (width, right) = (shape.width, shape.right);
    let mut picture = Picture::new(width, HEIGHT, &format!("{title}: {}", words(log)));
    picture.rectangle((0.0, 0.0), (width, HEIGHT), "paper");
    picture.text((LEFT, 22.0), Anchor::Start, "head", title);
    let limit_c = limit.map(|limit| limit.si() - 273.15);
    let celsius = || log.temperatures.iter().take(CURVES).flat_map(|track| track.values.iter().flatten());
    let known = || celsius().map(|value| value.si() - 273.15).chain(limit_c);
    let (low, high) = (known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max));
    let length = log.length().si();
    if !(low.is_finite() && length > 0.0) {
        picture.text((width / 2.0, HEIGHT / 2.0), Anchor::Middle, "small", "no temperature was read yet");
        return picture.finish();
    }
    let (low, high) = ((low - 5.0).floor(), (high + 5.0).ceil());
    let begun = log.times.first().map_or(0.0, |time| time.si());
    let x = |time: f64| LEFT + (time - begun) / length * (width - LEFT - right);
    let y = |celsius: f64| HEIGHT - BOTTOM - (celsius - low) / (high - low) * (HEIGHT - TOP - BOTTOM);
    for mark in axis_marks(begun, begun + length, shape.marks) {
        picture.line((x(mark), TOP), (x(mark), HEIGHT - BOTTOM), "grid");
        let text = significant(mark, 4);
        picture.text((x(mark), HEIGHT - BOTTOM + 16.0), Anchor::Middle, "small", &text);
    }
    for mark in axis_marks(low, high, 6) {
        picture.line((LEFT, y(mark)), (width - right, y(mark)), "grid");
        picture.text((LEFT - 8.0, y(mark) + 4.0), Anchor::End, "small", &significant(mark, 4));
    }
    picture.line((LEFT, HEIGHT - BOTTOM), (width - right, HEIGHT - BOTTOM), "axis");
    picture.line((LEFT, TOP), (LEFT, HEIGHT - BOTTOM), "axis");
    picture.text((width - right, HEIGHT - 14.0), Anchor::End, "small", "time, s");
    picture.text((LEFT - 44.0, TOP - 6.0), Anchor::Start, "small", "°C");
    if let Some(limit) = limit_c {
        picture.line((LEFT, y(limit)), (width - right, y(limit)), "stair");
        picture.text(
            (width - right + 6.0, y(limit) + 4.0),
            Anchor::Start,
            "small",
            &format!("limit {limit:.0} °C"),
        );
    }
    let every = log.times.len().div_ceil(POINTS).max(1);
    let mut taken: Vec<f64> = limit_c.map(y).into_iter().collect();
    for track in log.temperatures.iter().take(CURVES) {
        let mut path = String::new();
        let mut pen = 'M';
        let mut last = None;
        for (time, value) in log.times.iter().zip(&track.values).step_by(every) {
            // A gap stays a gap.
            let Some(value) = value else {
                pen = 'M';
                continue;
            };
            let at = (x(time.si()), y(value.si() - 273.15));
            path.push_str(&format!("{pen}{} {}", number(at.0), number(at.1)));
            (pen, last) = ('L', Some(at));
        }
        picture.path(&path, "curve");
        if let Some((_, at)) = last {
            // Names of curves that end close to each other stand below each other.
            let mut place = at;
            while taken.iter().any(|other| (other - place).abs() < 13.0) {
                place += 13.0;
            }
            taken.push(place);
            let short = crate::wrap::shortened(&name(&track.what), shape.letters);
            picture.text((width - right + 6.0, place + 4.0), Anchor::Start, "small", &short);
        }
    }
    picture.finish()
}

#[cfg(test)]
mod tests {
    use super::{soak, words};
    use quantity::measure::Quantity;
    use upgrade::proof::log::{Place, SoakLog, Track};

    fn log() -> SoakLog {
        let celsius = |value: f64| Some(Quantity::from_si(273.15 + value));
        SoakLog {
            times: [0.0, 1.0, 2.0, 3.0].map(Quantity::from_si).to_vec(),
            temperatures: vec![
                Track {
                    what: Place::Package,
                    values: vec![celsius(40.0), None, celsius(61.5), celsius(60.0)],
                },
                Track { what: Place::Other("<b>&".to_owned()), values: vec![celsius(30.0); 4] },
            ],
            ..SoakLog::default()
        }
    }

    #[test]
    fn what_is_drawn_is_said_too() {
        let text = words(&log());
        assert_eq!(
            text,
            "4 rows over 3 s; package 40.0 to 61.5 °C, 60.0 °C last; <b>& 30.0 to 30.0 °C, 30.0 °C last"
        );
    }

    #[test]
    fn a_gap_is_no_line_and_names_are_escaped() {
        let svg = soak(&log(), Some(Quantity::from_si(273.15 + 95.0)), "Soak");
        assert!(svg.contains("limit 95 °C") && !svg.contains("<b>"), "{svg}");
        let first = svg.split("class=\"curve\" d=\"").nth(1).unwrap().split('"').next().unwrap();
        assert_eq!(first.matches('M').count(), 2, "{first}");
        assert!(soak(&SoakLog::default(), None, "Soak").contains("no temperature was read yet"));
    }
}
