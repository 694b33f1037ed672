//! What a machine of the bench truly is: drawn from what its parts' sheets leave open, with a fault put in.

use quantity::interval::Interval;
use upgrade::carry::point::Binding;
use upgrade::machine::proposal::Proposal;
use upgrade::proof::expected::Expected;

/// Draws by SplitMix64.
pub(crate) struct Draw(pub(crate) u64);

impl Draw {
    fn word(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly between zero and one.
    pub(crate) fn even(&mut self) -> f64 {
        (self.word() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two ends.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// Evenly between the logarithms of two ends.
    pub(crate) fn times(&mut self, low: f64, high: f64) -> f64 {
        (low.ln() + (high / low).ln() * self.even()).exp()
    }

    /// About normal.
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }

    fn inside<D>(&mut self, interval: Interval<D>) -> f64 {
        self.between(interval.low().si(), interval.high().si())
    }
}

/// A machine as it truly is.
#[derive(Debug, Clone)]
pub(crate) struct Truth {
    /// Junction to the lid's lower face.
    pub(crate) inner_k_w: f64,
    pub(crate) lid_k_w: f64,
    pub(crate) paste_k_w: f64,
    /// At full fan speed.
    pub(crate) sink_k_w: f64,
    pub(crate) case_k_w: f64,
    pub(crate) die_j_k: f64,
    pub(crate) lid_j_k: f64,
    pub(crate) cooler_j_k: f64,
    pub(crate) case_j_k: f64,
    /// Film's share of the cooler, and its exponent in the fan's speed.
    pub(crate) film_share: f64,
    pub(crate) film_exponent: f64,
    /// Dust: how many times the film takes.
    pub(crate) dust: f64,
    /// Highest fan speed as a share of the sheet's.
    pub(crate) fan_most: f64,
    /// Temperature at which it begins to turn faster, and over how many kelvin it reaches its most.
    pub(crate) fan_curve: (f64, f64),
    pub(crate) full_speed_rpm: f64,
    /// Liquid loops: whether the pump turns.
    pub(crate) pump_rpm: Option<f64>,
    /// How much hotter the last core is than the first, as a share of what the paste takes.
    pub(crate) wedge: f64,
    pub(crate) cores: usize,
    pub(crate) room_c: f64,
    pub(crate) junction_limit_c: f64,
    pub(crate) makers_limit_w: f64,
    pub(crate) set_limit_w: f64,
    pub(crate) highest_mhz: f64,
    /// Power at the highest clock, 70 °C, all cores.
    pub(crate) full_w: f64,
    pub(crate) leakage_share: f64,
    pub(crate) stage_k_w: f64,
    pub(crate) errors_light: f64,
    pub(crate) errors_full: f64,
}

/// Power at rest in watts.
pub(crate) const REST_W: f64 = 4.0;

/// Faults that are put in, by the words of `upgrade::proof::fault`.
pub(crate) const FAULTS: [&str; 13] = [
    "nothing",
    "poor-contact",
    "dried-paste",
    "tilted",
    "weak-cooler",
    "slow-fan",
    "starved-case",
    "pump-stopped",
    "power-limit",
    "stage-throttling",
    "firmware-limits",
    "unstable-light",
    "unstable-full",
];

/// A sound machine, drawn from what is expected of it.
pub(crate) fn sound(proposal: &Proposal<'_>, expected: &Expected, draw: &mut Draw) -> Truth {
    let processor = proposal.processor();
    let power = expected.power.get().map_or(60.0, |power| power.middle().si());
    let limit = expected.sustained_power.get().map_or(65.0, |power| power.middle().si());
    let clock = expected.clock.get().map_or(3.5e9, |clock| clock.middle().si());
    let highest = processor.cores[0].boost_clock.get().unwrap().middle().si();
    // At the clock and the junction that the plan has it hold, it takes the plan's power.
    let leakage_share = draw.between(0.08, 0.2);
    let beside = clock / highest;
    let junction = expected.junction.get().map_or(70.0, |junction| junction.middle().si() - 273.15);
    let leaks = leakage_share * beside * ((junction - 70.0) / 35.0).exp();
    let full_w =
        (power - REST_W) / ((1.0 - leakage_share) * beside.powf(2.2) + leaks) * draw.between(0.96, 1.02);
    // Where the plan does not have the limit bind, it does not.
    let most_w = if expected.may_bind(Binding::SustainedPower) { f64::INFINITY } else { 0.84 * limit };
    let full_w = full_w.min(most_w);
    let inner = draw.inside(expected.sound.inner.get().unwrap());
    let lid = draw.inside(expected.lid.get().unwrap());
    let film = draw.between(0.6, 0.95);
    Truth {
        inner_k_w: inner - lid,
        lid_k_w: lid,
        paste_k_w: draw.inside(expected.sound.paste.get().unwrap()),
        sink_k_w: draw.inside(expected.sound.sink.get().unwrap()),
        case_k_w: draw.inside(expected.sound.case_air.get().unwrap()),
        die_j_k: draw.inside(expected.stores.die.get().unwrap()) * draw.between(1.0, 1.8),
        lid_j_k: draw.inside(expected.stores.lid.get().unwrap()),
        cooler_j_k: draw.inside(expected.stores.cooler.get().unwrap()),
        case_j_k: draw.times(150.0, 900.0),
        film_share: film,
        film_exponent: draw.between(0.5, 0.8),
        dust: 1.0,
        fan_most: draw.between(0.95, 1.03),
        fan_curve: (draw.between(40.0, 56.0), draw.between(20.0, 35.0)),
        full_speed_rpm: expected
            .full_speed
            .get()
            .map_or(1500.0, |speed| speed.middle().si() * 30.0 / core::f64::consts::PI),
        pump_rpm: proposal.cooler().is_liquid_loop().then_some(2600.0),
        wedge: draw.between(-0.05, 0.05),
        cores: usize::try_from(processor.core_count()).unwrap(),
        room_c: expected.room.get().map_or(22.0, |room| draw.inside(room) - 273.15),
        junction_limit_c: expected.junction_limit.get().unwrap().middle().si() - 273.15,
        makers_limit_w: limit,
        set_limit_w: limit,
        highest_mhz: highest / 1e6,
        full_w,
        leakage_share,
        stage_k_w: 35.0 / full_w,
        errors_light: 0.0,
        errors_full: 0.0,
    }
}

/// Puts a fault in.
///
/// The sizes are those that the trade reports, not those that the diagnosis reckons with: common practice, no source.
pub(crate) fn with_fault(mut truth: Truth, fault: &str, draw: &mut Draw) -> Truth {
    match fault {
        "poor-contact" => {
            truth.paste_k_w *= draw.times(3.0, 18.0);
            truth.wedge = draw.between(-0.1, 0.1);
        }
        "dried-paste" => truth.paste_k_w *= draw.times(2.0, 6.0),
        "tilted" => {
            truth.paste_k_w *= draw.times(1.5, 5.0);
            truth.wedge = draw.between(0.5, 1.2) * if draw.even() < 0.5 { -1.0 } else { 1.0 };
        }
        // The machine itself is such that it cannot carry its processor.
        "weak-cooler" => {}
        "slow-fan" => {
            if draw.even() < 0.5 {
                truth.dust = draw.times(1.8, 4.0);
            } else {
                truth.fan_most = draw.between(0.2, 0.42);
            }
        }
        "starved-case" => truth.case_k_w *= draw.times(2.2, 6.0),
        "pump-stopped" => {
            truth.pump_rpm = Some(0.0);
            truth.sink_k_w *= draw.times(4.0, 20.0);
        }
        // A processor that takes more than the plan had it take.
        "power-limit" => truth.full_w = truth.makers_limit_w * draw.between(1.1, 1.5),
        "stage-throttling" => {
            truth.stage_k_w = draw.between(85.0, 120.0) / (0.9 * truth.full_w.min(truth.set_limit_w));
        }
        "firmware-limits" => {
            truth.set_limit_w *=
                if draw.even() < 0.6 { draw.between(0.5, 0.85) } else { draw.between(1.3, 3.0) };
            truth.full_w = truth.full_w.max(truth.set_limit_w.min(1.3 * truth.makers_limit_w) * 1.05);
        }
        "unstable-light" => truth.errors_light = draw.times(1.0, 40.0).ceil(),
        "unstable-full" => truth.errors_full = draw.times(1.0, 40.0).ceil(),
        _ => {}
    }
    truth
}
