//! The lid as a heat map: its lower face above the cooler's base, in steps that are numbered.

use quantity::dimension::PowerDim;
use quantity::reading::Figure;
use quantity::text::significant;
use upgrade::carry::heat_map::HeatMap;
use upgrade::carry::joint_map::JointMap;

use crate::heat_map_text::{fidelity, joint};
use crate::svg::{Anchor, Picture, runs, whole_dot};
use crate::wrap::{shortened, wrap};

const SIDE: f64 = 360.0;
const LEFT: f64 = 30.0;
const TOP: f64 = 56.0;
const CLASSES: usize = 5;
/// Longer side of the small map of the joint.
const JOINT: f64 = 150.0;

/// The map, for the middle of a power of the processor; for one watt where that is not known.
pub fn lid(map: &HeatMap, title: &str, power: &Figure<PowerDim>) -> String {
    let known_w = power.get().map(|power| power.middle().si());
    let power_w = known_w.unwrap_or(1.0);
    let grid = &map.solved.grid;
    let (nx, ny, _) = grid.cells();
    let (from_x, to_x) = (grid.x_m[0], grid.x_m[nx]);
    let (from_y, to_y) = (grid.y_m[0], grid.y_m[ny]);
    let scale = SIDE / (to_x - from_x);
    let tall = (to_y - from_y) * scale;
    let words = words(map, power);
    let has_joint = map.joint.map.is_some();
    let lines_top = TOP + 144.0 + if has_joint { JOINT + 34.0 } else { 0.0 };
    let height = (TOP + tall).max(lines_top + 15.0 * words.len() as f64) + 20.0;
    let heading = format!("Lid of {title}, lower face above the cooler's base");
    let mut picture = Picture::new(760.0, height, &heading);
    picture.rectangle((0.0, 0.0), (760.0, height), "paper");
    picture.text((24.0, 26.0), Anchor::Start, "head", &shortened(&format!("Lid of {title}"), 86));
    let rises = map.solved.map_k(1);
    let known = rises.iter().copied().filter(|rise| rise.is_finite());
    let (low, high) =
        known.fold((f64::INFINITY, 0.0_f64), |(low, high), rise| (low.min(rise), high.max(rise)));
    let step = ((high - low) / CLASSES as f64).max(1e-12);
    let class = |rise: f64| rise.is_finite().then(|| (((rise - low) / step) as usize).min(CLASSES - 1));
    let (x_of, y_of) =
        (|x: f64| whole_dot(LEFT + (x - from_x) * scale), |y: f64| whole_dot(TOP + (to_y - y) * scale));
    for y in 0..ny {
        let mut from = 0;
        while from < nx {
            let now = class(rises[y * nx + from]);
            let to = (from..nx).find(|x| class(rises[y * nx + x]) != now).unwrap_or(nx);
            if let Some(now) = now {
                let name = ["heat1", "heat2", "heat3", "heat4", "heat5"][now];
                let (left, right) = (x_of(grid.x_m[from]), x_of(grid.x_m[to]));
                let (top, bottom) = (y_of(grid.y_m[y + 1]), y_of(grid.y_m[y]));
                picture.rectangle((left, top), (right - left, bottom - top), name);
            }
            from = to;
        }
    }
    let ((x0, x1), (y0, y1)) = map.cores_m;
    picture.rectangle((x_of(x0), y_of(y1)), ((x1 - x0) * scale, (y1 - y0) * scale), "axis");
    picture.text((x_of(0.5 * (x0 + x1)), y_of(0.5 * (y0 + y1)) + 4.0), Anchor::Middle, "small", "cores");
    let side = LEFT + SIDE + 30.0;
    picture.text(
        (side, TOP + 10.0),
        Anchor::Start,
        "small",
        &known_w.map_or_else(
            || "kelvin above the base for each watt".to_owned(),
            |watts| format!("at {watts:.0} W, kelvin above the base"),
        ),
    );
    for place in 0..CLASSES {
        let y = TOP + 24.0 + 20.0 * place as f64;
        let number = CLASSES - 1 - place;
        picture.rectangle((side, y), (26.0, 16.0), ["heat1", "heat2", "heat3", "heat4", "heat5"][number]);
        let (from, to) = (low + step * number as f64, low + step * (number + 1) as f64);
        let (from, to) = (power_w * from, power_w * to);
        let text = if known_w.is_some() {
            format!("{from:.1} to {to:.1} K")
        } else {
            format!("{from:.3} to {to:.3} K")
        };
        picture.text((side + 36.0, y + 12.0), Anchor::Start, "small", &text);
    }
    if let Some(joint) = &map.joint.map {
        let top = TOP + 148.0;
        let size = (
            JOINT * map.lid_m.0 / map.lid_m.0.max(map.lid_m.1),
            JOINT * map.lid_m.1 / map.lid_m.0.max(map.lid_m.1),
        );
        joint_map(&mut picture, joint, (side, top), size);
        let scale = size.0 / map.lid_m.0;
        let left = side + 0.5 * size.0 + x0 * scale;
        let upper = top + 0.5 * size.1 - y1 * scale;
        picture.rectangle((left, upper), ((x1 - x0) * scale, (y1 - y0) * scale), "axis");
        for (line, words) in ["the joint above the lid:", "darker resists more"].into_iter().enumerate() {
            picture.text(
                (side + size.0 + 12.0, top + 12.0 + 15.0 * line as f64),
                Anchor::Start,
                "small",
                words,
            );
        }
        let ends = range(joint);
        for (line, words) in ends.into_iter().enumerate() {
            picture.text(
                (side + size.0 + 12.0, top + 46.0 + 15.0 * line as f64),
                Anchor::Start,
                "note",
                &words,
            );
        }
    }
    for (line, words) in words.iter().enumerate() {
        picture.text((side, lines_top + 15.0 * line as f64), Anchor::Start, "small", words);
    }
    picture.finish()
}

/// What stands beside the map.
fn words(map: &HeatMap, power: &Figure<PowerDim>) -> Vec<String> {
    let mut words = vec![
        format!("mean over the cores: {:.3} K/W by the solver,", map.solver_k_w),
        format!("{:.3} K/W by the closed form of the search", map.closed_form_k_w),
    ];
    let told = joint(map, power).into_iter().chain([fidelity(map)]).chain(map.assumed.iter().cloned());
    words.extend(told.flat_map(|sentence| wrap(&sentence, 50, 0)));
    words
}

/// The least and the most resistance of a joint's map, in words.
fn range(joint: &JointMap) -> Vec<String> {
    let ends = joint
        .resistance_m2k_w
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), r| (low.min(*r), high.max(*r)));
    vec![
        format!("{} to {}", significant(ends.0 * 1e6, 2), significant(ends.1 * 1e6, 2)),
        "mm2 K/W".to_owned(),
    ]
}

/// The joint in five classes, each a quarter of the least above the one before: what resists twice as much is
/// darkest.
fn joint_map(picture: &mut Picture, joint: &JointMap, corner: (f64, f64), size: (f64, f64)) {
    let least = joint.resistance_m2k_w.iter().copied().fold(f64::INFINITY, f64::min).max(1e-9);
    let cells = (joint.columns, joint.resistance_m2k_w.len() / joint.columns);
    let class = |x: usize, y: usize| {
        let resistance = joint.resistance_m2k_w.get(y * joint.columns + x).copied().unwrap_or(least);
        let place = ((resistance / least - 1.0) / 0.25) as usize;
        place.min(CLASSES - 1)
    };
    for (number, name) in ["film1", "film2", "film3", "film4", "film5"].into_iter().enumerate() {
        picture.path(&runs(cells, corner, size, |x, y| class(x, y) == number), name);
    }
    picture.rectangle(corner, size, "axis");
}
