//! Machines that are drawn without a look at what the reader expects: sizes from distributions of their own about what is written on the
//! parts, heavier in their tails than any interval, faults put in as shapes of the paste, and sensors as bad as they come.
//!
//! Every spread here is `common practice, no source`: wide on purpose. None was chosen by what the diagnosis makes of it.

use intake::library::ReadLibrary;
use upgrade::carry::point::Binding;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::Proposal;
use upgrade::proof::expected::{Expected, expected};

use super::plates::{ACROSS, ALONG, Plates, Sizes};
use super::run::{Body as _, Heat, STEP_S, Sensors, Worse};
use super::truth::{Draw, REST_W, Truth, sound, with_fault};

impl Draw {
    /// Student's t of five degrees, cut at four.
    fn tailed(&mut self) -> f64 {
        let square: f64 = (0..5).map(|_| self.normal().powi(2)).sum();
        (self.normal() / (square / 5.0).sqrt()).clamp(-4.0, 4.0)
    }

    /// About one, its logarithm off by `bias` and scattered by `spread` with heavy tails.
    fn about(&mut self, bias: f64, spread: f64) -> f64 {
        (bias + spread * self.tailed()).exp()
    }

    fn chance(&mut self, chance: f64) -> bool {
        self.even() < chance
    }
}

/// Changes to a demo machine.
type Parts = (&'static str, &'static [&'static str]);

/// Machines on which the reader was looked at while it was made.
const KNOWN: [Parts; 4] = [
    ("demo", &["skerry-fine"]),
    ("demo", &["tern-2-rush", "holloway-120", "skerry-fine"]),
    ("family", &["skerry-fine"]),
    ("demo", &["tern-1-rush", "holloway-92", "tallow-soft"]),
];
/// Machines that it never saw before the table was made.
const FRESH: [Parts; 6] = [
    ("demo", &["tern-2-sedge", "holloway-140", "moraine-thin"]),
    ("demo", &["tern-2-rush-bare", "holloway-120-deep", "tallow-stiff"]),
    ("demo", &["tern-2-sedge-bare", "larkspur-90", "skerry-plain"]),
    ("demo", &["tern-1-rush-open", "brindle-weir-110", "moraine-bench"]),
    ("family", &["tallow-soft"]),
    ("demo", &["tern-2-rush", "culvert-280", "moraine-thin"]),
];

/// Which machines are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stock {
    /// Those the reader was made with.
    Known,
    /// Others.
    Fresh,
}

/// Machine and changes of a case.
pub(crate) fn parts(stock: Stock, fault: &str, draw: &mut Draw) -> Parts {
    let fresh = stock == Stock::Fresh;
    let of = |all: &[Parts], draw: &mut Draw| all[(draw.even() * all.len() as f64) as usize % all.len()];
    match fault {
        "pump-stopped" if fresh => of(
            &[
                ("demo", &["tern-2-rush", "culvert-280", "moraine-thin"]),
                ("demo", &["tern-2-sedge", "culvert-120", "tallow-soft"]),
            ],
            draw,
        ),
        "pump-stopped" => ("demo", &["tern-2-rush", "culvert-240", "skerry-fine"]),
        "weak-cooler" if fresh => of(
            &[
                ("demo", &["tern-2-rush-open", "orrin-boxed", "skerry-fine"]),
                ("demo", &["tern-1-rush-open", "fenwick-thin-29", "tallow-soft"]),
            ],
            draw,
        ),
        "weak-cooler" => ("demo", &["tern-2-rush-open", "fenwick-thin-29", "skerry-fine"]),
        "dried-paste" => of(&[("demo", &[]), ("family", &[])], draw),
        // By its plan this one's limit does not bind; where it does, that it holds is no news.
        "power-limit" if fresh => {
            of(&[("demo", &["moraine-thin"]), ("demo", &["tallow-stiff"]), ("demo", &["skerry-plain"])], draw)
        }
        "power-limit" => ("demo", &["skerry-fine"]),
        _ if fresh => of(&FRESH, draw),
        _ => of(&KNOWN, draw),
    }
}

/// Sensors, from good to poor.
fn sensors(cores: usize, draw: &mut Draw) -> Sensors {
    let off = |draw: &mut Draw, offset: f64, gain: f64| (offset * draw.normal(), 1.0 + gain * draw.normal());
    let mut all = vec![off(draw, 2.0, 0.03)];
    all.extend((0..cores).map(|_| off(draw, 1.0, 0.02)));
    let step_k = if draw.chance(0.85) { 1.0 } else { [0.125, 0.25, 0.5][(3.0 * draw.even()) as usize % 3] };
    Sensors {
        rows_a_second: draw.times(1.0, 10.0),
        step_k,
        noise_k: draw.between(0.05, 0.6),
        case_air: draw.chance(0.4),
        drift_k: draw.between(-1.5, 1.5),
        meter: (1.0 + 0.035 * draw.normal()).clamp(0.92, 1.08),
        worse: Some(Worse {
            off: all,
            lag_s: draw.times(0.05, 1.5),
            wander_k: draw.between(0.0, 0.5),
            note_k: 0.7 * draw.normal(),
            meter_scatter: draw.between(0.0, 0.02),
            air: (0.5 * draw.normal(), draw.between(0.75, 1.0)),
            logged: (draw.chance(0.85), draw.chance(0.85), draw.chance(0.8)),
            lengths_s: [draw.between(120.0, 240.0), draw.between(600.0, 1200.0), draw.between(120.0, 300.0)],
            bursts: draw.between(0.0, 0.03),
        }),
    }
}

/// Where the cores are: one row or two, numbered along, row by row, or across and back.
fn cores(count: usize, draw: &mut Draw) -> Vec<(f64, f64, Option<usize>)> {
    let in_one = count < 4 || count % 2 == 1 || draw.chance(0.6);
    let row_by_row = draw.chance(0.6);
    (0..count)
        .map(|core| {
            if in_one {
                return (core as f64 / count as f64, (core + 1) as f64 / count as f64, None);
            }
            let half = count / 2;
            let (place, row) = if row_by_row { (core % half, core / half) } else { (core / 2, core % 2) };
            (place as f64 / half as f64, (place + 1) as f64 / half as f64, Some(row))
        })
        .collect()
}

/// How thick the paste is at each place, in shares of a sound joint's.
fn thickness(fault: &str, draw: &mut Draw) -> Vec<f64> {
    let place = |cell: usize| {
        let (x, y) = (cell / ACROSS, cell % ACROSS);
        ((x as f64 + 0.5) / ALONG as f64 - 0.5, (y as f64 + 0.5) / ACROSS as f64 - 0.5)
    };
    let cells = 0..ALONG * ACROSS;
    // No two faces are flat alike: a bow of some tenths, and a lean of some tenths.
    let (bow, lean) = (draw.between(-0.25, 0.35), draw.between(-0.2, 0.2));
    let plain = |cell: usize| {
        let (x, y) = place(cell);
        1.0 + bow * (1.0 - 6.0 * (x * x + y * y)) + lean * x
    };
    match fault {
        "poor-contact" if draw.chance(0.5) => {
            // Too little: a round patch that is about in the middle, air about it.
            let (at, radius) =
                ((draw.between(-0.08, 0.08), draw.between(-0.08, 0.08)), draw.between(0.12, 0.26));
            cells
                .map(|cell| {
                    let (x, y) = place(cell);
                    if (x - at.0).hypot(y - at.1) < radius { 1.2 } else { draw.times(8.0, 40.0) }
                })
                .collect()
        }
        "poor-contact" => {
            let thick = draw.times(2.5, 12.0);
            cells.map(|cell| thick * plain(cell)).collect()
        }
        "dried-paste" if draw.chance(0.5) => {
            // Pumped out: thin and dry where it is hot.
            let (middle, rim) = (draw.times(2.5, 8.0), draw.between(1.0, 1.5));
            cells
                .map(|cell| {
                    let (x, y) = place(cell);
                    rim + (middle - rim) * (-(x * x + y * y) / 0.08).exp()
                })
                .collect()
        }
        "dried-paste" => {
            let dry = draw.times(2.0, 6.0);
            cells.map(|cell| dry * plain(cell) * draw.between(0.7, 1.4)).collect()
        }
        "tilted" => {
            // From about touching at one edge to a tenth of a millimetre or nearly one at the other: a screw that was forgotten; mostly along the cores, sometimes askew.
            let (thin, thick) = (draw.between(0.6, 1.2), draw.times(4.0, 30.0));
            let turned = draw.between(-0.9, 0.9);
            let way = if draw.chance(0.5) { -1.0 } else { 1.0 };
            cells
                .map(|cell| {
                    let (x, y) = place(cell);
                    let along = way * (x * turned.cos() + y * turned.sin());
                    thin + (thick - thin) * (along + 0.5).clamp(0.0, 1.0)
                })
                .collect()
        }
        _ => cells.map(plain).collect(),
    }
}

/// A machine as it was drawn.
pub(crate) struct Drawn {
    pub(crate) truth: Truth,
    pub(crate) sensors: Sensors,
    pub(crate) body: Plates,
    /// Cores and sensors in words.
    pub(crate) what: String,
}

fn middle<D>(figure: quantity::reading::Figure<D>) -> f64 {
    let value = figure.get().unwrap();
    (value.low().si() * value.high().si()).sqrt()
}

fn once(proposal: &Proposal<'_>, expected: &Expected, fault: &str, draw: &mut Draw) -> Drawn {
    let package = &proposal.processor().package;
    let mut truth = sound(proposal, expected, draw);
    // Steps of the path: about what the sheets say, and off by more than they admit.
    let lid_area = |figure: quantity::reading::Figure<quantity::dimension::LengthDim>| {
        figure.get().map_or(0.036, |length| length.middle().si())
    };
    let lid_m = (lid_area(package.lid_width), lid_area(package.lid_depth));
    let thick_m =
        package.lid_thickness.get().map_or(0.0025, |thick| thick.middle().si()) * draw.about(0.0, 0.05);
    let inner = middle(expected.sound.inner) * draw.about(0.0, 0.15);
    truth.inner_k_w = 0.75 * inner;
    let paste = middle(expected.sound.paste) * draw.about(0.05, 0.25).clamp(0.5, 1.6);
    let mut sink = middle(expected.sound.sink) * draw.about(0.04, 0.1).clamp(0.7, 1.35);
    truth.case_k_w = middle(expected.sound.case_air) * draw.about(0.1, 0.3).clamp(0.4, 1.9);
    truth.die_j_k = middle(expected.stores.die) * draw.about(0.3, 0.3);
    truth.lid_j_k = middle(expected.stores.lid) * draw.about(0.0, 0.1);
    truth.cooler_j_k = middle(expected.stores.cooler) * draw.about(0.0, 0.15);
    truth.case_j_k = draw.times(80.0, 1500.0);
    truth.film_share = draw.between(0.5, 0.9);
    truth.film_exponent = draw.between(0.4, 0.85);
    truth.fan_most = draw.between(0.92, 1.06);
    truth.fan_curve = (draw.between(35.0, 62.0), draw.between(15.0, 40.0));
    truth.room_c = draw.between(17.0, 28.0);
    truth.leakage_share = draw.between(0.05, 0.25);
    let case_sound = truth.case_k_w;
    let mut truth = match fault {
        // Shapes of the paste stand for these.
        "poor-contact" | "dried-paste" | "tilted" => truth,
        _ => with_fault(truth, fault, draw),
    };
    if fault == "starved-case" {
        truth.case_k_w = case_sound * draw.times(1.8, 6.0);
    }
    if fault == "pump-stopped" {
        sink *= draw.times(3.0, 20.0);
    }
    let thickness = thickness(fault, draw);
    // A sound joint takes `paste` where the heat goes; cells far from the die carry less, so the die's own part is what counts.
    let each_w_k = 1.0 / (paste * (ALONG * ACROSS) as f64) * 1.6;
    truth.sink_k_w = sink;
    // `sound` draws it from the expectation; what follows does not use it.
    truth.lid_k_w = 0.0;
    let count = truth.cores;
    let own: Vec<f64> = (0..count).map(|_| 1.0 + 0.05 * draw.normal()).collect();
    let sum: f64 = own.iter().sum();
    let bare = draw.between(0.0, 1.5);
    let spot_k_w = draw.between(0.1, 0.35) * count as f64 / 6.0;
    let mut sizes = Sizes {
        die_k_w: truth.inner_k_w,
        die_j_k: truth.die_j_k,
        lid_m,
        lid_thick_m: thick_m,
        lid_j_k: truth.lid_j_k,
        paste_w_k: thickness.iter().map(|thick| each_w_k / thick.max(0.3)).collect(),
        base_thick_m: draw.between(0.004, 0.009),
        metal_k_w: (1.0 - truth.film_share) * sink,
        cooler_j_k: truth.cooler_j_k,
        case_k_w: truth.case_k_w,
        case_j_k: truth.case_j_k,
        board_k_w: draw.times(8.0, 30.0),
        bare: if draw.chance(0.5) { (bare, 0.2) } else { (0.2, bare) },
        cores: cores(count, draw),
        own: own
            .iter()
            .map(|own| (own * count as f64 / sum, spot_k_w * (1.0 + 0.06 * draw.normal())))
            .collect(),
    };
    let sensors = sensors(count, draw);
    // At full load, to see what it comes to. Spreading in lid and base is a part of what the sheets' figures hold.
    let film =
        1.0 / (truth.film_share * sink * truth.dust * truth.fan_most.min(1.0).powf(-truth.film_exponent));
    let drawn_w = truth.full_w.min(truth.set_limit_w);
    let heat = Heat { even_w: REST_W + 0.15 * drawn_w, cores_w: 0.85 * drawn_w, working: None };
    let mut body = Plates::new(sizes.clone(), STEP_S);
    body.settle(&heat, film, truth.room_c);
    let (first_inner, _, first_sink) = body.steps_k_w();
    let beyond_film =
        truth.film_share * sink * (truth.dust * truth.fan_most.min(1.0).powf(-truth.film_exponent) - 1.0);
    sizes.die_k_w = (sizes.die_k_w + inner - first_inner).max(0.3 * sizes.die_k_w);
    sizes.metal_k_w = (sizes.metal_k_w + sink + beyond_film - first_sink).max(0.2 * sizes.metal_k_w);
    body = Plates::new(sizes, STEP_S);
    body.settle(&heat, film, truth.room_c);
    let (inner, paste, sink) = body.steps_k_w();
    (truth.inner_k_w, truth.lid_k_w, truth.paste_k_w, truth.sink_k_w) =
        (inner, 0.0, paste, sink - beyond_film);
    let celsius: Vec<String> = (0..count).map(|core| format!("{:.1}", body.core_c(core))).collect();
    let what = format!(
        "cores truly {}; bare {:?}, rows {:?}, lag {:?} s",
        celsius.join(" "),
        body.sizes().bare,
        body.sizes().cores.iter().map(|core| core.2).collect::<Vec<_>>(),
        sensors.worse.as_ref().map(|worse| worse.lag_s)
    );
    Drawn { truth, sensors, body, what }
}

/// A joint that costs less at full load is none that anybody would look for.
const LEAST_COST_K: f64 = 5.0;

/// A machine with a fault, or none, and what is expected of it.
pub(crate) fn drawn(
    library: &ReadLibrary,
    machines: &dyn Fn(&str) -> Machine,
    (stock, fault): (Stock, &str),
    seed: u64,
) -> (Expected, Machine, Drawn) {
    let mut draw = Draw(seed.wrapping_mul(0x9e6c_63d0_876a_3f6b) ^ (fault.len() as u64) << 40 ^ 0x51);
    let (name, ids) = parts(stock, fault, &mut draw);
    let mut machine = machines(name);
    if ids.is_empty() {
        machine.joint.state = quantity::reading::Reading::Unknown;
    }
    let changes = super::changes(library, ids);
    let proposal = Proposal { now: &machine, changes, library: &library.library };
    let expected = expected(&proposal);
    let made = (0..80).find_map(|_| {
        let drawn = once(&proposal, &expected, fault, &mut draw);
        // A machine that a limit holds against its plan is not what it was meant to be: sound, or faulty in this way only.
        let hot = drawn.body.junction_c() > drawn.truth.junction_limit_c - 8.0;
        let over = drawn.truth.full_w > 0.88 * drawn.truth.set_limit_w;
        let of_heat = [
            "nothing",
            "power-limit",
            "stage-throttling",
            "firmware-limits",
            "unstable-light",
            "unstable-full",
        ];
        let held = (hot && of_heat.contains(&fault))
            || (over
                && !expected.may_bind(Binding::SustainedPower)
                && !["power-limit", "firmware-limits"].contains(&fault));
        let costs_k = (drawn.truth.paste_k_w - middle(expected.sound.paste)) * drawn.truth.full_w;
        let mild = ["poor-contact", "dried-paste", "tilted"].contains(&fault) && costs_k < LEAST_COST_K;
        let cool = fault == "weak-cooler" && drawn.body.junction_c() < drawn.truth.junction_limit_c + 1.0;
        (!(held || mild || cool)).then_some(drawn)
    });
    (expected, machine, made.unwrap())
}
