//! The power path as a picture: a stream from wall to processor, width by watts, every loss leaving it,
//! and below it every limit with what is used of it.

use upgrade::carry::power_gauge::Kept;
use upgrade::carry::power_path::{Flow, FlowKind, PowerPath};

use crate::svg::{Anchor, Picture, number};
use crate::wrap::shortened;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 96.0;
const RIGHT: f64 = 110.0;
const TOP: f64 = 84.0;
/// Height of the stream at the wall.
const STREAM: f64 = 110.0;
/// How far an exit runs beside the stream before it ends.
const EXIT: f64 = 26.0;
const ROW: f64 = 17.0;

/// The middle of a flow in watts; none for an unknown.
fn watts(flow: &Flow) -> Option<f64> {
    flow.power.get().map(|power| power.middle().si())
}

fn text(flow: &Flow) -> String {
    flow.power.known().map_or_else(|| "unknown".to_owned(), |power| power.rounded(3))
}

/// The stream's edges as it goes.
struct Stream {
    x: f64,
    top: f64,
    bottom: f64,
}

/// The picture.
pub fn power(path: &PowerPath) -> String {
    let exits: Vec<&Flow> = path.flows.iter().filter(|flow| flow.kind != FlowKind::Through).collect();
    let legend_rows = exits.len().div_ceil(2);
    let legend_top = TOP + STREAM + EXIT + 44.0;
    let gauges_top = legend_top + ROW * legend_rows as f64 + 34.0;
    let height = gauges_top + 22.0 * path.gauges.len() as f64 + 34.0;
    let title = format!("Power path of {}", path.title);
    let mut picture = Picture::new(WIDTH, height, &title);
    picture.rectangle((0.0, 0.0), (WIDTH, height), "paper");
    picture.text((24.0, 26.0), Anchor::Start, "head", &title);
    stream(&mut picture, path, exits.len());
    for (place, flow) in exits.iter().enumerate() {
        let column = place / legend_rows.max(1);
        let x = 24.0 + 372.0 * column as f64;
        let y = legend_top + ROW * (place % legend_rows.max(1)) as f64;
        let what = if flow.kind == FlowKind::Loss { "lost: " } else { "" };
        picture.text((x + 18.0, y), Anchor::End, "small", &(place + 1).to_string());
        picture.text((x + 28.0, y), Anchor::Start, "small", &format!("{what}{}", shortened(&flow.name, 34)));
        picture.text((x + 340.0, y), Anchor::End, "small", &text(flow));
    }
    gauges(&mut picture, path, gauges_top);
    picture.finish()
}

/// The stream itself, with numbered exits: upwards what works elsewhere, downwards what is lost.
fn stream(picture: &mut Picture, path: &PowerPath, exits: usize) {
    let all = path.flows.first().and_then(watts).filter(|all| *all > 0.0);
    let Some(all) = all else {
        let words = "The power at the wall is not known, so no stream can be drawn.";
        picture.text((24.0, TOP + 20.0), Anchor::Start, "note", words);
        return;
    };
    let scale = STREAM / all;
    let step = (WIDTH - LEFT - RIGHT) / (exits as f64 + 1.0);
    let mut now = Stream { x: LEFT, top: TOP, bottom: TOP + STREAM };
    let mut place = 0;
    for flow in &path.flows {
        let width = watts(flow).map_or(0.0, |watts| watts * scale);
        match flow.kind {
            FlowKind::Through => {}
            FlowKind::Branch | FlowKind::Loss => {
                place += 1;
                let next = now.x + step;
                picture.rectangle((now.x, now.top), (step, now.bottom - now.top), "stream");
                exit(picture, &mut now, next, width, flow, place);
            }
        }
    }
    // What is left goes into the processor; a point shows which way.
    let end = WIDTH - RIGHT;
    let middle = 0.5 * (now.top + now.bottom);
    picture.rectangle((now.x, now.top), (end - now.x - 12.0, now.bottom - now.top), "stream");
    picture.path(
        &format!(
            "M{} {}L{} {}L{} {}Z",
            number(end - 12.0),
            number(now.top - 4.0),
            number(end),
            number(middle),
            number(end - 12.0),
            number(now.bottom + 4.0)
        ),
        "stream",
    );
    if let Some(wall) = path.flows.first() {
        picture.text((LEFT - 8.0, TOP + 0.5 * STREAM - 3.0), Anchor::End, "small", "wall");
        picture.text((LEFT - 8.0, TOP + 0.5 * STREAM + 12.0), Anchor::End, "small", &text(wall));
    }
    if let Some(processor) = path.flows.last() {
        picture.text((end + 8.0, middle - 3.0), Anchor::Start, "small", "processor");
        picture.text((end + 8.0, middle + 12.0), Anchor::Start, "small", &text(processor));
    }
}

fn exit(picture: &mut Picture, now: &mut Stream, next: f64, width: f64, flow: &Flow, place: usize) {
    let drawn = width.max(1.0);
    let turn = 10.0;
    let (from, class, end, label) = if flow.kind == FlowKind::Branch {
        let end = TOP - EXIT;
        (now.top, "branch", end, end - 5.0)
    } else {
        let end = TOP + STREAM + EXIT;
        (now.bottom, "loss", end, end + 13.0)
    };
    // From the stream's edge, round a bend, straight out: as wide as it has watts.
    let (near, far) = (next + turn, next + turn + drawn);
    let inner = if flow.kind == FlowKind::Branch { from + drawn } else { from - drawn };
    picture.path(
        &format!(
            "M{x} {from}Q{near} {from} {near} {end}L{far} {end}Q{far} {inner} {x} {inner}Z",
            x = number(next),
            from = number(from),
            near = number(near),
            far = number(far),
            end = number(end),
            inner = number(inner)
        ),
        class,
    );
    picture.text((0.5 * (near + far), label), Anchor::Middle, "small", &place.to_string());
    if flow.kind == FlowKind::Branch {
        now.top += width
    } else {
        now.bottom -= width
    }
    now.bottom = now.bottom.max(now.top);
    now.x = next;
}

/// Limits: a track to one and a fifth times the limit, what is used from the good end to the bad one.
fn gauges(picture: &mut Picture, path: &PowerPath, top: f64) {
    let (from, to) = (140.0, 380.0);
    let x = |share: f64| from + share.clamp(0.0, 1.2) / 1.2 * (to - from);
    let bottom = top + 22.0 * path.gauges.len() as f64 - 6.0;
    picture.text((x(1.0), top - 14.0), Anchor::Middle, "small", "limit");
    picture.text((from, top - 14.0), Anchor::Start, "note", "used, best to worst");
    for (place, gauge) in path.gauges.iter().enumerate() {
        let y = top + 22.0 * place as f64;
        let class = match gauge.kept() {
            Kept::Surely => "fits",
            Kept::Perhaps => "care",
            Kept::Not => "stop",
        };
        picture.text((from - 10.0, y + 9.0), Anchor::End, "small", &gauge.what);
        picture.line((from, y + 6.0), (to, y + 6.0), "grid");
        picture.rectangle((x(gauge.used.0), y), ((x(gauge.used.1) - x(gauge.used.0)).max(3.0), 12.0), class);
        let words =
            format!("{}: {} of {}, left {}", gauge.kept().word(), gauge.value, gauge.limit, gauge.margin);
        picture.text((to + 10.0, y + 9.0), Anchor::Start, "small", &shortened(&words, 62));
    }
    picture.line((x(1.0), top - 8.0), (x(1.0), bottom), "lead");
    let note = "Bars run from the best to the worst of what is unknown; temperatures count from the air.";
    picture.text((24.0, bottom + 24.0), Anchor::Start, "note", note);
}
