//! A soak of a machine that is known: forward models, control loops and sensors make the log that it would write.
//!
//! The heat path is a [`Body`]: a ladder of fifteen lumps with the cooler's metal spread along it, marched by implicit steps, or
//! [plates](super::plates); the fit has five. Leakage, limits, fan and sensors are the machine's own; none of it is shared with what
//! reads the log.

use quantity::measure::Quantity;
use quantity::reading::{Origin, Reading};
use upgrade::proof::log::{About, Cores, Meter, Place, Share, SoakLog, Track, Turning};

use super::truth::{Draw, REST_W, Truth};

/// What heats at a moment.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heat<'h> {
    /// What all of the die gives evenly: rest and leakage.
    pub(crate) even_w: f64,
    /// What the cores that work give, all together.
    pub(crate) cores_w: f64,
    /// The cores that work; none for all of them.
    pub(crate) working: Option<&'h [usize]>,
}

impl Heat<'_> {
    pub(crate) fn share_of(&self, core: usize, count: f64) -> f64 {
        match self.working {
            None => 1.0 / count,
            Some(working) if working.contains(&core) => 1.0 / working.len() as f64,
            Some(_) => 0.0,
        }
    }

    fn whole_w(&self) -> f64 {
        self.even_w + self.cores_w
    }
}

/// A heat path that is marched.
pub(crate) trait Body {
    /// Rests until nothing moves any more.
    fn settle(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64);
    /// One step; the film is that of the fins to the case's air.
    fn step(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64, step_s: f64);
    /// The hottest place.
    fn junction_c(&self) -> f64;
    /// One core.
    fn core_c(&self, core: usize) -> f64;
    /// Air in the case.
    fn air_c(&self) -> f64;
}

/// How a machine's sensors are.
#[derive(Debug, Clone)]
pub(crate) struct Sensors {
    /// Rows in a second.
    pub(crate) rows_a_second: f64,
    /// Step of the temperature sensors in kelvin.
    pub(crate) step_k: f64,
    /// Noise before it, in kelvin.
    pub(crate) noise_k: f64,
    /// Whether the air at the cooler was measured.
    pub(crate) case_air: bool,
    /// Drift of the room over the soak in kelvin.
    pub(crate) drift_k: f64,
    /// Gain of the power meter.
    pub(crate) meter: f64,
    /// What the bench with machines of its own has beyond that.
    pub(crate) worse: Option<Worse>,
}

/// What sensors of real machines do besides.
#[derive(Debug, Clone)]
pub(crate) struct Worse {
    /// Offset in kelvin and gain about 50 °C of the package's sensor, then of each core's.
    pub(crate) off: Vec<(f64, f64)>,
    /// Time the sensors take to follow, in seconds.
    pub(crate) lag_s: f64,
    /// How far the room wanders in ten minutes, in kelvin, besides its drift.
    pub(crate) wander_k: f64,
    /// What the note of the room's temperature is off.
    pub(crate) note_k: f64,
    /// Scatter of the power meter from row to row.
    pub(crate) meter_scatter: f64,
    /// The air sensor: its offset, and what share of the air's rise it sees.
    pub(crate) air: (f64, f64),
    /// Whether fan, pump and stages are logged.
    pub(crate) logged: (bool, bool, bool),
    /// Seconds of rest, main load and rest.
    pub(crate) lengths_s: [f64; 3],
    /// How often something works in the background at rest, a second.
    pub(crate) bursts: f64,
}

/// Sensors as desktop computers have them.
pub(crate) fn sensors(draw: &mut Draw) -> Sensors {
    Sensors {
        rows_a_second: [1.0, 2.0, 4.0, 10.0][(4.0 * draw.even()) as usize % 4],
        step_k: if draw.even() < 0.7 { 1.0 } else { 0.125 },
        noise_k: draw.between(0.1, 0.4),
        case_air: draw.even() < 0.4,
        drift_k: draw.between(-0.8, 0.8),
        meter: draw.between(0.98, 1.02),
        worse: None,
    }
}

/// Loads in their order: name, seconds, share of the cores that work.
const LOADS: [(&str, f64, f64); 6] = [
    ("rest", 150.0, 0.0),
    ("vectors", 840.0, 1.0),
    ("rest", 240.0, 0.0),
    ("one core", 90.0, 0.0),
    ("rest", 60.0, 0.0),
    ("mixed steps", 60.0, 0.6),
];

pub(crate) const STEP_S: f64 = 0.05;
const NODES: usize = 15;

/// The ladder.
pub(crate) struct Ladder {
    stores: [f64; NODES],
    links: [f64; NODES],
    at: [f64; NODES],
    paste_k_w: f64,
    wedge: f64,
    cores: usize,
    last_w: f64,
}

impl Ladder {
    pub(crate) fn of(truth: &Truth) -> Self {
        let mut stores = [0.0; NODES];
        let mut links = [0.0; NODES];
        // Four parts of die and joint, three of the lid, one of paste, two of the base, four of fins, one of air.
        for idx in 0..4 {
            stores[idx] = truth.die_j_k / 4.0;
            links[idx] = 1.0 / (truth.inner_k_w / 4.0);
        }
        // Stores stand in the middle of their parts: half a part of the lid before its first.
        links[3] = 1.0 / (truth.inner_k_w / 4.0 + truth.lid_k_w / 6.0);
        for idx in 4..7 {
            stores[idx] = truth.lid_j_k / 3.0;
            links[idx] = 1.0 / (truth.lid_k_w / 3.0);
        }
        stores[7] = 0.03;
        links[6] = 1.0 / (truth.lid_k_w / 6.0 + 0.5 * truth.paste_k_w);
        links[7] = 1.0 / (0.5 * truth.paste_k_w);
        let metal = (1.0 - truth.film_share) * truth.sink_k_w;
        stores[8] = 0.15 * truth.cooler_j_k;
        stores[9] = 0.15 * truth.cooler_j_k;
        links[8] = 1.0 / (0.2 * metal);
        links[9] = 1.0 / (0.4 * metal);
        for idx in 10..14 {
            stores[idx] = 0.7 * truth.cooler_j_k / 4.0;
            links[idx] = 1.0 / (0.4 * metal / 3.0);
        }
        stores[14] = truth.case_j_k;
        links[14] = 1.0 / truth.case_k_w;
        Self {
            stores,
            links,
            at: [0.0; NODES],
            paste_k_w: truth.paste_k_w,
            wedge: truth.wedge,
            cores: truth.cores,
            last_w: 0.0,
        }
    }
}

impl Body for Ladder {
    fn settle(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64) {
        self.at = [room_c; NODES];
        for _ in 0..4000 {
            self.step(heat, film_w_k, room_c, 5.0);
        }
    }

    fn junction_c(&self) -> f64 {
        self.at[0]
    }

    fn core_c(&self, core: usize) -> f64 {
        let along = core as f64 / (self.cores.max(2) - 1) as f64 - 0.5;
        // Cores in the middle are warmer by a little, and no two sensors agree.
        let own = 0.02 * self.last_w * (0.25 - along * along) + 0.4 * ((core * 7919) % 5) as f64 / 4.0;
        self.at[0] - 1.5 + own + self.wedge * along * self.paste_k_w * self.last_w
    }

    fn air_c(&self) -> f64 {
        self.at[14]
    }

    /// One implicit step; the film is spread over the four parts of the fins, each straight to the case's air.
    fn step(&mut self, heat: &Heat<'_>, film_w_k: f64, room_c: f64, step_s: f64) {
        let power_w = heat.whole_w();
        self.last_w = power_w;
        // The fins' film makes the matrix an arrow: solved by a few sweeps over the case's air, which hardly moves.
        let mut air_c = self.at[14];
        let mut next = self.at;
        for _ in 0..3 {
            let mut diagonal = [0.0; 14];
            let mut right = [0.0; 14];
            for idx in 0..14 {
                let above = if idx > 0 { self.links[idx - 1] } else { 0.0 };
                let below = if idx < 13 { self.links[idx] } else { 0.0 };
                let film = if idx >= 10 { film_w_k / 4.0 } else { 0.0 };
                diagonal[idx] = self.stores[idx] / step_s + above + below + film;
                right[idx] = self.stores[idx] / step_s * self.at[idx]
                    + film * air_c
                    + if idx == 0 { power_w } else { 0.0 };
            }
            for idx in 1..14 {
                let times = self.links[idx - 1] / diagonal[idx - 1];
                diagonal[idx] -= times * self.links[idx - 1];
                right[idx] += times * right[idx - 1];
            }
            for idx in (0..14).rev() {
                let below = if idx < 13 { self.links[idx] * next[idx + 1] } else { 0.0 };
                next[idx] = (right[idx] + below) / diagonal[idx];
            }
            let fins: f64 = next[10..14].iter().sum();
            air_c =
                (self.stores[14] / step_s * self.at[14] + self.links[14] * room_c + film_w_k / 4.0 * fins)
                    / (self.stores[14] / step_s + self.links[14] + film_w_k);
        }
        next[14] = air_c;
        self.at = next;
    }
}

/// What stood in one row.
#[derive(Default, Clone)]
struct Row {
    time: f64,
    celsius: f64,
    cores: Vec<f64>,
    power: f64,
    clock: f64,
    fan: f64,
    pump: f64,
    air: f64,
    stages: f64,
    held: [f64; 3],
    busy: f64,
    load: usize,
    work: Option<f64>,
    errors: f64,
}

/// The log that the machine writes.
pub(crate) fn run(
    truth: &Truth,
    sensors: &Sensors,
    name: &str,
    body: &mut dyn Body,
    draw: &mut Draw,
) -> SoakLog {
    let worse = sensors.worse.as_ref();
    let mut loads = LOADS;
    if let Some(worse) = worse {
        for (load, length_s) in loads.iter_mut().zip(worse.lengths_s) {
            load.1 = length_s;
        }
    }
    let full_film = truth.film_share * truth.sink_k_w * truth.dust;
    let mut fan_share = 0.4_f64.min(truth.fan_most);
    let film_w_k = |share: f64| 1.0 / (full_film * share.max(0.08).powf(-truth.film_exponent));
    let total_s: f64 = loads.iter().map(|load| load.1).sum();
    let heat_at = |clock_mhz: f64, share: f64, celsius: f64| {
        let beside = clock_mhz / truth.highest_mhz;
        let dynamic = (1.0 - truth.leakage_share) * truth.full_w * beside.powf(2.2) * share;
        let leaks = truth.leakage_share * truth.full_w * beside * ((celsius.min(130.0) - 70.0) / 35.0).exp();
        Heat { even_w: REST_W + leaks * (0.3 + 0.7 * share), cores_w: dynamic, working: None }
    };
    let (rest_mhz, mut clock) = (0.3 * truth.highest_mhz, 0.3 * truth.highest_mhz);
    let mut stages_c = truth.room_c + 8.0;
    // Settled at rest before the log begins.
    body.settle(&heat_at(rest_mhz, 0.0, truth.room_c + 8.0), film_w_k(fan_share), truth.room_c);
    // What sensors say of the package and of each core, before steps and noise.
    let mut says = vec![body.junction_c(); 1 + truth.cores];
    for core in 0..truth.cores {
        says[1 + core] = body.core_c(core);
    }
    let (mut wander_k, mut burst_s) = (0.0, 0.0);
    let mut rows: Vec<Row> = Vec::new();
    let (mut now, mut mean_w, mut errors) = (0.0, 10.0, 0.0);
    let mut open = Row { cores: vec![0.0; truth.cores], ..Row::default() };
    let mut next_row = 1.0 / sensors.rows_a_second;
    let (mut steps, mut energy, mut clocks, mut held) = (0.0, 0.0, 0.0, [0.0; 3]);
    for (place, (load, long_s, share)) in loads.iter().enumerate() {
        let only: &[usize] = &[0];
        let working = (*load == "one core").then_some(only);
        let share = if *load == "one core" { 1.0 / truth.cores as f64 } else { *share };
        // Only what is worked at is checked; the faults come evenly over a load.
        let wrong = match *load {
            "one core" => truth.errors_light / (long_s / STEP_S),
            "vectors" => truth.errors_full / (long_s / STEP_S),
            _ => 0.0,
        };
        for _ in 0..(long_s / STEP_S) as usize {
            let celsius = body.junction_c();
            let mut cap = [false; 3];
            if share == 0.0 {
                clock = rest_mhz;
            } else {
                let hot = celsius > truth.junction_limit_c - 0.5;
                let over = mean_w > truth.set_limit_w;
                let stages_hot = stages_c > 105.0;
                // Far too hot it falls at once, as every processor does.
                let fall = if celsius > truth.junction_limit_c + 2.0 { 60.0 } else { 4.0 };
                let wanted = if hot || over || stages_hot { clock - fall } else { clock + 3.0 };
                if share > 0.0 && clock <= rest_mhz + 1.0 && !(hot || over || stages_hot) {
                    clock = truth.highest_mhz;
                } else {
                    clock = wanted.clamp(0.25 * truth.highest_mhz, truth.highest_mhz);
                }
                let below = clock < truth.highest_mhz - 8.0;
                cap = [
                    below && celsius > truth.junction_limit_c - 3.0,
                    below && mean_w > 0.97 * truth.set_limit_w,
                    below && stages_c > 101.0,
                ];
            }
            let mut heat = Heat { working, ..heat_at(clock, share, celsius) };
            if let Some(worse) = worse {
                // Now and then something works in the background for a second or four.
                if share == 0.0 && draw.even() < worse.bursts * STEP_S {
                    burst_s = draw.between(1.0, 4.0);
                }
                burst_s = if share > 0.0 { 0.0 } else { burst_s - STEP_S };
                if burst_s > 0.0 {
                    heat.cores_w += 0.12 * truth.full_w;
                    heat.working = Some(only);
                }
                wander_k += worse.wander_k * (STEP_S / 600.0).sqrt() * draw.normal();
            }
            let power = heat.whole_w();
            mean_w += (power - mean_w) * STEP_S / 4.0;
            stages_c += (body.air_c() + truth.stage_k_w * power - stages_c) * STEP_S / 90.0;
            let wanted = (0.4 + 0.6 * (celsius - truth.fan_curve.0) / truth.fan_curve.1).clamp(0.4, 1.0)
                * truth.fan_most;
            fan_share += (wanted - fan_share) * STEP_S / 6.0;
            let room = truth.room_c + sensors.drift_k * now / total_s + wander_k;
            body.step(&heat, film_w_k(fan_share), room, STEP_S);
            let follows = worse.map_or(1.0, |worse| STEP_S / (worse.lag_s + STEP_S));
            says[0] += follows * (body.junction_c() - says[0]);
            for core in 0..truth.cores {
                says[1 + core] += follows * (body.core_c(core) - says[1 + core]);
            }
            now += STEP_S;
            steps += 1.0;
            energy += power;
            clocks += clock;
            for (sum, cap) in held.iter_mut().zip(cap) {
                *sum += f64::from(u8::from(cap));
            }
            errors += wrong;
            if now + 1e-9 >= next_row {
                let step = |value: f64| (value / sensors.step_k).round() * sensors.step_k;
                let mut read = |value: f64| step(value + sensors.noise_k * draw.normal());
                open.time = now;
                let off = |place: usize, celsius: f64| match worse.and_then(|worse| worse.off.get(place)) {
                    Some((offset, gain)) => 50.0 + offset + gain * (celsius - 50.0),
                    None => celsius,
                };
                open.celsius = read(off(0, says[0]));
                for (core, value) in open.cores.iter_mut().enumerate() {
                    *value = read(off(1 + core, says[1 + core]));
                }
                let scatter = worse.map_or(1.0, |worse| 1.0 + worse.meter_scatter * draw.normal());
                open.power = sensors.meter * scatter * energy / steps;
                open.clock = (clocks / steps).round();
                open.fan = (fan_share * truth.full_speed_rpm / 10.0).round() * 10.0;
                open.pump = truth.pump_rpm.unwrap_or(0.0);
                let (air_off, air_share) = worse.map_or((0.0, 1.0), |worse| worse.air);
                let air = truth.room_c + air_off + air_share * (body.air_c() - truth.room_c);
                open.air = ((air + 0.15 * draw.normal()) / 0.5).round() * 0.5;
                open.stages = stages_c.round();
                open.held = held.map(|sum| sum / steps);
                open.busy = share;
                open.load = place;
                open.work = (share > 0.0).then(|| 250.0 * truth.cores as f64 * share * clocks / steps);
                open.errors = (errors + 1e-6).floor();
                rows.push(open.clone());
                (steps, energy, clocks, held) = (0.0, 0.0, 0.0, [0.0; 3]);
                next_row += (1.0 + 0.05 * draw.normal().clamp(-2.0, 2.0)) / sensors.rows_a_second;
            }
        }
    }
    log(truth, sensors, name, &rows)
}

fn log(truth: &Truth, sensors: &Sensors, name: &str, rows: &[Row]) -> SoakLog {
    fn track<K, D>(what: K, rows: &[Row], of: impl Fn(&Row) -> f64) -> Track<K, D> {
        Track { what, values: rows.iter().map(|row| Some(Quantity::from_si(of(row)))).collect() }
    }
    let rpm = core::f64::consts::PI / 30.0;
    let mut temperatures = vec![track(Place::Package, rows, |row| row.celsius + 273.15)];
    for core in 0..truth.cores {
        let place = Place::Core(u16::try_from(core).unwrap());
        temperatures.push(track(place, rows, |row| row.cores[core] + 273.15));
    }
    let (fan, pump, stages) = sensors.worse.as_ref().map_or((true, true, true), |worse| worse.logged);
    if stages {
        temperatures.push(track(Place::Stages, rows, |row| row.stages + 273.15));
    }
    if sensors.case_air {
        temperatures.push(track(Place::CaseAir, rows, |row| row.air + 273.15));
    }
    let mut turning = Vec::new();
    if fan {
        turning.push(track(Turning::Fan(1), rows, |row| row.fan * rpm));
    }
    if truth.pump_rpm.is_some() && pump {
        turning.push(track(Turning::Pump(1), rows, |row| row.pump * rpm));
    }
    let mut load_names: Vec<String> = Vec::new();
    let loads = rows
        .iter()
        .map(|row| {
            let name = LOADS[row.load].0;
            let place = load_names.iter().position(|known| known == name).unwrap_or_else(|| {
                load_names.push(name.to_owned());
                load_names.len() - 1
            });
            u16::try_from(place).ok()
        })
        .collect();
    SoakLog {
        about: About {
            machine: Some(name.to_owned()),
            load: Some("rest, one core, all cores".to_owned()),
            room: Reading::Known(
                quantity::interval::Interval::exact(Quantity::from_si(
                    truth.room_c + 273.15 + sensors.worse.as_ref().map_or(0.0, |worse| worse.note_k),
                )),
                Origin::Measured,
            ),
            power_limit: Some(Quantity::from_si(truth.set_limit_w)),
            sensor_step: Some(Quantity::from_si(sensors.step_k)),
            ..About::default()
        },
        times: rows.iter().map(|row| Quantity::from_si(row.time)).collect(),
        temperatures,
        powers: vec![track(Meter::Package, rows, |row| row.power)],
        clocks: vec![track(Cores::All, rows, |row| row.clock * 1e6)],
        turning,
        shares: vec![
            track(Share::Busy, rows, |row| row.busy),
            track(Share::HeldByJunction, rows, |row| row.held[0]),
            track(Share::HeldByPower, rows, |row| row.held[1]),
            track(Share::HeldByStages, rows, |row| row.held[2]),
        ],
        loads,
        load_names,
        work_per_s: rows.iter().map(|row| row.work).collect(),
        unread: Vec::new(),
        errors: rows.iter().map(|row| Some(row.errors)).collect(),
    }
}
