//! The heat path for a narrow screen: the same staircase lying down, a landing under the other, the words of each step
//! between them.

use upgrade::carry::heat_path::{HeatPath, HeatStep};

use crate::heat_picture::{LANDINGS, landings};
use crate::svg::{Anchor, Picture, axis_marks};
use crate::wrap::{shortened, wrap};

const WIDTH: f64 = 328.0;
const EDGE: f64 = 14.0;
const TOP: f64 = 46.0;
/// From a landing to its bar, and the bar's height.
const BAR: (f64, f64) = (8.0, 12.0);
const LINE: f64 = 15.0;
/// Letters that a line takes.
const LETTERS: usize = 46;

/// The picture.
pub fn heat(path: &HeatPath) -> String {
    let title = format!("Heat path of {}", path.title);
    let Some(landings) = landings(path) else {
        let words = format!(
            "A step is not known, so no staircase can be drawn. It would be settled by: {}",
            path.settle
        );
        let lines = wrap(&words, LETTERS, 0);
        let height = 24.0 + LINE * lines.len() as f64;
        let mut picture = Picture::new(WIDTH, height, &title);
        picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
        for (line, words) in lines.iter().enumerate() {
            picture.text((EDGE, 20.0 + LINE * line as f64), Anchor::Start, "note", words);
        }
        return picture.finish();
    };
    let words: Vec<Vec<String>> =
        path.steps.iter().enumerate().map(|(place, step)| of_step(place, step)).collect();
    let landing = LINE + BAR.0 + BAR.1 + 10.0;
    let gaps: Vec<f64> = words.iter().map(|lines| LINE * lines.len() as f64 + 10.0).collect();
    let height = TOP + landing * landings.len() as f64 + gaps.iter().sum::<f64>() + 8.0;
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    let low = landings.iter().map(|at| at.0).fold(f64::INFINITY, f64::min) - 4.0;
    let limit = path.limit.get().map(|limit| limit.middle().si() - 273.15);
    let high = landings.iter().map(|at| at.1).fold(limit.unwrap_or(low + 10.0), f64::max) + 4.0;
    let x = |celsius: f64| EDGE + (celsius - low) / (high - low) * (WIDTH - 2.0 * EDGE);
    for mark in axis_marks(low, high, 5) {
        picture.line((x(mark), TOP - 6.0), (x(mark), height - 8.0), "grid");
        picture.text((x(mark), TOP - 12.0), Anchor::Middle, "small", &format!("{mark:.0} °C"));
    }
    if let Some(limit) = limit {
        picture.line((x(limit), TOP - 26.0), (x(limit), height - 8.0), "lead");
        let words = format!("junction limit {limit:.0} °C");
        picture.text((x(limit) - 4.0, TOP - 28.0), Anchor::End, "small", &words);
    }
    let mut top = TOP;
    for (place, (cool, hot)) in landings.iter().enumerate() {
        let name = LANDINGS.get(place).map_or_else(String::new, |lines| lines.join(" "));
        let text = format!("{}: {cool:.0}..{hot:.0} °C", name.trim_end());
        picture.text((EDGE, top + LINE), Anchor::Start, "head", &text);
        // The band says how far the landing may lie.
        let wide = (x(*hot) - x(*cool)).max(2.0);
        picture.rectangle((x(*cool), top + LINE + BAR.0), (wide, BAR.1), "band");
        let middle = x(0.5 * (cool + hot));
        let bar = top + LINE + BAR.0;
        picture.path(&format!("M{middle:.1} {bar:.1}v{}", BAR.1), "stair");
        top += landing;
        for (line, words) in words.get(place).into_iter().flatten().enumerate() {
            let class = if line == 0 { "small" } else { "note" };
            picture.text((EDGE + 12.0, top + 4.0 + LINE * line as f64), Anchor::Start, class, words);
        }
        top += gaps.get(place).copied().unwrap_or(0.0);
    }
    picture.finish()
}

/// What stands between two landings: the step, its resistance, what makes it less.
fn of_step(place: usize, step: &HeatStep) -> Vec<String> {
    let rise = step.rise.known().map_or_else(|| "unknown".to_owned(), |rise| rise.rounded(2));
    let share = step
        .share
        .map_or(String::new(), |(a, b)| format!(", {:.0}..{:.0} %", 100.0 * a.min(b), 100.0 * a.max(b)));
    let resistance = match step.resistance {
        Some(resistance) => resistance.known().map_or_else(|| "unknown".to_owned(), |r| r.rounded(2)),
        None => "by the heat in the case".to_owned(),
    };
    let mut out = vec![
        shortened(&format!("{} {}: {rise}{share}", place + 1, step.name), LETTERS),
        shortened(&resistance, LETTERS),
    ];
    out.extend(wrap(step.cure, LETTERS, 0));
    out
}
