//! The lid as a heat map: its lower face above the cooler's base, in steps that are numbered.

use quantity::dimension::PowerDim;
use quantity::reading::Figure;
use upgrade::carry::heat_map::HeatMap;

use crate::svg::{Anchor, Picture, whole_dot};
use crate::wrap::{shortened, wrap};

const SIDE: f64 = 360.0;
const LEFT: f64 = 30.0;
const TOP: f64 = 56.0;
const CLASSES: usize = 5;

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
    let height = TOP + tall.max(170.0 + 30.0 * map.assumed.len() as f64) + 60.0;
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
    let mut words = vec![
        format!("mean over the cores: {:.3} K/W by the solver,", map.solver_k_w),
        format!("{:.3} K/W by the closed form of the search", map.closed_form_k_w),
    ];
    words.extend(map.assumed.iter().flat_map(|assumed| wrap(assumed, 52, 0)));
    for (line, words) in words.iter().enumerate() {
        picture.text((side, TOP + 144.0 + 15.0 * line as f64), Anchor::Start, "note", words);
    }
    picture.finish()
}
