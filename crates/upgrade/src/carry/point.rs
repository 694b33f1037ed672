//! The clock that all cores of the machine-to-be hold for ever, and what binds it.

use physics::point::leakage::{Chip, stable};
use quantity::dimension::{FrequencyDim, PowerDim, TemperatureDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::between;
use crate::part::processor::Processor;

/// What holds the clock down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Binding {
    /// Its own highest clock: nothing else binds.
    Clock,
    /// The sustained power its maker sets.
    SustainedPower,
    /// What the board's power stages hold.
    PowerStages,
    /// The junction limit: the heat path.
    Junction,
}

impl Binding {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clock => "its own highest clock",
            Self::SustainedPower => "its sustained power limit",
            Self::PowerStages => "the board's power stages",
            Self::Junction => "the junction limit",
        }
    }
}

/// The sustained operating point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SustainedPoint {
    /// Clock of the first kind of core.
    pub clock: Figure<FrequencyDim>,
    /// Power of the processor.
    pub power: Figure<PowerDim>,
    /// Junction temperature.
    pub junction: Figure<TemperatureDim>,
    /// What binds at the slow end and at the fast end.
    pub binding: Option<(Binding, Binding)>,
    /// Power at the slow end and at the fast end, which its interval does not tell apart.
    pub power_ends: Option<(Quantity<PowerDim>, Quantity<PowerDim>)>,
}

/// The limits around a processor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Junction to air.
    pub resistance: Figure<ThermalResistanceDim>,
    /// Air at the cooler.
    pub air: Figure<TemperatureDim>,
    /// What the board's stages hold for ever.
    pub stages: Figure<PowerDim>,
}

/// Everything exact at one corner of the uncertain readings.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    base_ghz: f64,
    /// Highest clock.
    pub(crate) boost_ghz: f64,
    volts_at_base: f64,
    volts_at_boost: f64,
    dynamic_at_base_w: f64,
    leakage_w: f64,
    leakage_c: f64,
    leakage_scale_k: f64,
    resistance_k_w: f64,
    air_c: f64,
    junction_limit_c: f64,
    sustained_w: f64,
    stages_w: f64,
}

/// Leakage share and scale where a processor's own are unknown.
///
/// # Source
/// common practice, no source: 8 to 25 % of full power at 60 to 80 °C, e times more every 25 to 45 K.
const LEAKAGE_SHARE: (f64, f64) = (0.08, 0.25);
const LEAKAGE_SCALE_K: (f64, f64) = (25.0, 45.0);
/// Lowest clock that is looked at, as a share of the base clock: common practice, no source.
const LOWEST_SHARE: f64 = 0.2;
/// 26 halvings of some gigahertz end below a tenth of a kilohertz.
const HALVINGS: u32 = 26;
const VOLTS_AT_BASE: (f64, f64) = (0.9, 1.1);
const VOLTS_AT_BOOST: (f64, f64) = (1.2, 1.4);

impl Corner {
    /// One end of what is unknown; none where a figure is missing that nothing stands in for.
    pub(crate) fn at(processor: &Processor, around: &Surroundings, slow: bool) -> Option<Self> {
        let hot = |interval: (f64, f64)| if slow { interval.1 } else { interval.0 };
        let cold = |interval: (f64, f64)| if slow { interval.0 } else { interval.1 };
        fn ends<D>(figure: Figure<D>) -> Option<(f64, f64)> {
            figure.get().map(|value| (value.low().si(), value.high().si()))
        }
        let first = processor.cores.first()?;
        let electrical = &processor.electrical;
        let base = cold(ends(first.base_clock)?) / 1e9;
        let boost = cold(ends(first.boost_clock)?) / 1e9;
        let at_base = hot(ends(electrical.power_at_base.or(processor.sustained_power))?);
        let leakage = electrical.leakage.or(between(at_base * LEAKAGE_SHARE.0, at_base * LEAKAGE_SHARE.1));
        let volts_at_base = hot(ends(electrical.voltage_at_base).unwrap_or(VOLTS_AT_BASE));
        let volts_at_boost = hot(ends(electrical.voltage_at_boost).unwrap_or(VOLTS_AT_BOOST));
        let leakage_w = hot(ends(leakage)?);
        let leaks_at_base = (leakage_w * volts_at_base / volts_at_boost).min(0.9 * at_base);
        Some(Self {
            base_ghz: base,
            boost_ghz: boost.max(base),
            volts_at_base,
            volts_at_boost,
            dynamic_at_base_w: at_base - leaks_at_base,
            leakage_w,
            leakage_c: ends(electrical.leakage_temperature).map_or(70.0, |t| cold(t) - 273.15),
            leakage_scale_k: cold(ends(electrical.leakage_scale).unwrap_or(LEAKAGE_SCALE_K)),
            resistance_k_w: hot(ends(around.resistance)?),
            air_c: hot(ends(around.air)?) - 273.15,
            junction_limit_c: cold(ends(processor.junction_limit)?) - 273.15,
            sustained_w: cold(ends(processor.sustained_power)?),
            stages_w: ends(around.stages).map_or(f64::INFINITY, cold),
        })
    }

    fn volts(&self, ghz: f64) -> f64 {
        if self.boost_ghz <= self.base_ghz {
            return self.volts_at_boost;
        }
        let slope = (self.volts_at_boost - self.volts_at_base) / (self.boost_ghz - self.base_ghz);
        (self.volts_at_base + slope * (ghz - self.base_ghz)).max(0.6 * self.volts_at_base)
    }

    /// The chip at a clock.
    pub(crate) fn chip(&self, ghz: f64) -> Chip {
        let volts = self.volts(ghz);
        Chip {
            dynamic_w: self.dynamic_at_base_w * (volts / self.volts_at_base).powi(2) * ghz / self.base_ghz,
            leakage_w: self.leakage_w * volts / self.volts_at_boost,
            reference_c: self.leakage_c,
            scale_k: self.leakage_scale_k,
            ambient_c: self.air_c,
            resistance_k_w: self.resistance_k_w,
        }
    }

    /// Power and junction temperature at a clock; `None` where the heat runs away.
    pub(crate) fn settle(&self, ghz: f64) -> Option<(f64, f64)> {
        let chip = self.chip(ghz);
        if chip.leakage_w <= 0.0 {
            return Some((chip.dynamic_w, self.air_c + self.resistance_k_w * chip.dynamic_w));
        }
        let (celsius, watts) = stable(&chip)?;
        Some((watts, celsius))
    }

    /// The lowest clock that is looked at.
    pub(crate) fn lowest_ghz(&self) -> f64 {
        LOWEST_SHARE * self.base_ghz
    }

    /// The highest clock at which the heat still settles, whatever the limits say; none where it does at none.
    pub(crate) fn tangency_ghz(&self) -> Option<f64> {
        let (mut low, mut high) = (self.lowest_ghz(), self.boost_ghz);
        self.settle(low)?;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.settle(middle).is_some() {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(low)
    }

    /// What is exceeded at a clock, if anything.
    pub(crate) fn exceeded(&self, ghz: f64) -> Option<Binding> {
        let Some((watts, celsius)) = self.settle(ghz) else { return Some(Binding::Junction) };
        if celsius > self.junction_limit_c {
            Some(Binding::Junction)
        } else if watts > self.stages_w && self.stages_w < self.sustained_w {
            Some(Binding::PowerStages)
        } else if watts > self.sustained_w {
            Some(Binding::SustainedPower)
        } else {
            None
        }
    }

    /// The highest clock at which nothing is exceeded, and what binds it.
    pub(crate) fn solve(&self) -> (f64, Binding) {
        if self.exceeded(self.boost_ghz).is_none() {
            return (self.boost_ghz, Binding::Clock);
        }
        let (mut low, mut high) = (self.lowest_ghz(), self.boost_ghz);
        let mut binding = self.exceeded(self.boost_ghz).unwrap_or(Binding::Clock);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            match self.exceeded(middle) {
                Some(what) => {
                    binding = what;
                    high = middle;
                }
                None => low = middle,
            }
        }
        (low, binding)
    }
}

/// The clock all cores hold.
///
/// # Model
/// Power = dynamic (C V^2 f) + leakage (linear in V, exponential in temperature); voltage linear in
/// clock; junction temperature through one resistance to the air. Slow end: every reading at its
/// worst. Left out: the makers' own control loops.
pub fn sustained(processor: &Processor, around: &Surroundings) -> SustainedPoint {
    let unknown = SustainedPoint {
        clock: Reading::Unknown,
        power: Reading::Unknown,
        junction: Reading::Unknown,
        binding: None,
        power_ends: None,
    };
    let (Some(slow), Some(fast)) =
        (Corner::at(processor, around, true), Corner::at(processor, around, false))
    else {
        return unknown;
    };
    let ((slow_ghz, slow_binds), (fast_ghz, fast_binds)) = (slow.solve(), fast.solve());
    let (Some(slow_state), Some(fast_state)) = (slow.settle(slow_ghz), fast.settle(fast_ghz)) else {
        return unknown;
    };
    let known = |a: f64, b: f64| Interval::between(Quantity::from_si(a), Quantity::from_si(b));
    SustainedPoint {
        clock: Reading::Known(
            Interval::between(Quantity::from_si(slow_ghz * 1e9), Quantity::from_si(fast_ghz * 1e9)),
            Origin::Estimated,
        ),
        power: Reading::Known(
            Interval::between(Quantity::from_si(slow_state.0), Quantity::from_si(fast_state.0)),
            Origin::Estimated,
        ),
        junction: Reading::Known(known(slow_state.1 + 273.15, fast_state.1 + 273.15), Origin::Estimated),
        binding: Some((slow_binds, fast_binds)),
        power_ends: Some((Quantity::from_si(slow_state.0), Quantity::from_si(fast_state.0))),
    }
}
