//! The two ends of everything unknown about a board's stages: where they hold least, and where most.

use physics::air::film::Air;
use physics::power::body::Body;
use physics::power::converter::{Converter, Load};
use physics::power::core_loss::Core;
use physics::power::limits::{Limits, used};
use physics::power::losses::Stage;
use quantity::dimension::Dimension;
use quantity::reading::Figure;

use crate::carry::assumption::RAIL_12V;
use crate::carry::stage_air::StageAir;
use crate::carry::stage_class::{COMMON, ClassSpans, Span, UNCOUNTED, spans};
use crate::part::board::{Board, StageClass, Stages};
use crate::part::processor::Processor;

/// What is known of a board's stages: a reading where there is one, the class's interval where not.
#[derive(Debug, Clone, PartialEq)]
pub struct StageReadings {
    /// The class, or every class where nobody looked.
    pub classes: Vec<StageClass>,
    /// Number of stages.
    pub count: Span,
    /// Rated current of a stage, where read.
    pub stage_a: Option<Span>,
    /// Inductance, where read.
    pub inductance_h: Option<Span>,
    /// Frequency, where read.
    pub frequency_hz: Option<Span>,
    /// Voltage of the processor under load.
    pub volts: Span,
    /// Air over the stages.
    pub air: StageAir,
    /// Where the weak end lies on the way from the class's weak design (0) to its strong one (1).
    pub least: f64,
}

/// Voltage of a processor under full load where its sheet is silent.
///
/// # Source
/// common practice, no source.
const UNKNOWN_VOLTS: Span = Span { weak: 0.9, strong: 1.35 };

/// Ends of a figure, the low one weak.
fn rising<D: Dimension>(figure: &Figure<D>) -> Option<Span> {
    figure.get().map(|value| Span { weak: value.low().si(), strong: value.high().si() })
}

/// Ends of a figure, the high one weak.
fn falling<D: Dimension>(figure: &Figure<D>) -> Option<Span> {
    figure.get().map(|value| Span { weak: value.high().si(), strong: value.low().si() })
}

/// Voltage of a processor between its base and its boost clock, low end weak: the same power is more
/// current there.
pub fn volts(processor: &Processor) -> Span {
    let electrical = &processor.electrical;
    match (electrical.voltage_at_base.get(), electrical.voltage_at_boost.get()) {
        (Some(base), Some(boost)) => Span {
            weak: base.low().si().min(boost.low().si()),
            strong: base.high().si().max(boost.high().si()),
        },
        (Some(one), None) | (None, Some(one)) => Span {
            weak: one.low().si().min(UNKNOWN_VOLTS.weak),
            strong: one.high().si().max(UNKNOWN_VOLTS.strong),
        },
        (None, None) => UNKNOWN_VOLTS,
    }
}

impl StageReadings {
    /// What is known of the stages of a board that feeds a processor, in this air.
    pub fn of(board: &Board, processor: &Processor, air: StageAir) -> Self {
        let Stages { class, count, stage_current, inductance, frequency } = &board.stages;
        let count = count.get().map(f64::from);
        Self {
            classes: class.get().map_or_else(|| StageClass::ALL.to_vec(), |class| vec![class]),
            count: count.map_or(UNCOUNTED, |count| Span { weak: count, strong: count }),
            stage_a: rising(stage_current),
            inductance_h: rising(inductance),
            frequency_hz: falling(frequency),
            volts: volts(processor),
            air,
            least: 0.0,
        }
    }

    /// Corners at which the stages hold least: one for each class they may be of.
    pub fn weak(&self) -> impl Iterator<Item = Corner> + '_ {
        self.classes.iter().map(|class| self.corner(&spans(*class), self.least, self.air.weak))
    }

    /// Corners at which the stages hold most.
    pub fn strong(&self) -> impl Iterator<Item = Corner> + '_ {
        self.classes.iter().map(|class| self.corner(&spans(*class), 1.0, self.air.strong))
    }

    /// With the weak end drawn in as far as a maker's word demands: the weakest of the designs between
    /// both ends that still holds `warranted_w` for ever in the worst air. Where even the strong end does
    /// not, or the weak one does, nothing changes.
    #[must_use]
    pub fn keeping_word(&self, warranted_w: f64) -> Self {
        let holds = |least: f64| {
            let drawn = Self { least, ..self.clone() };
            drawn.weak().all(|corner| {
                let load = Load { power_w: warranted_w, set_v: corner.set_v };
                used(&corner.converter, &load, &corner.air, &corner.limits)
                    .is_ok_and(|(share, _)| share <= 1.0)
            })
        };
        if holds(0.0) || !holds(1.0) {
            return self.clone();
        }
        let (mut weak, mut strong) = (0.0, 1.0);
        // 16 halvings end below what any reading could tell apart.
        for _ in 0..16 {
            let middle = 0.5 * (weak + strong);
            if holds(middle) { strong = middle } else { weak = middle }
        }
        Self { least: strong, ..self.clone() }
    }

    /// One corner: a design `along` the way from the weak end (0) to the strong one (1).
    ///
    /// Losses fall with frequency through ripple and rise with it through switching, so neither end is
    /// the worse one. A corner takes ripple at one end and switching at the other: inductance and core are
    /// scaled by the ratio of the two, which is what the ripple would be. The same for the input's voltage,
    /// whose low end costs conduction above and whose high end costs switching: the upper resistance is
    /// scaled. Both lie outside anything a real board can do, and so bound it.
    fn corner(&self, class: &ClassSpans, along: f64, air: Air) -> Corner {
        let end = |span: &Span| span.weak + along * (span.strong - span.weak);
        let other = |span: &Span| span.strong + along * (span.weak - span.strong);
        let rail = Span { weak: RAIL_12V.1, strong: RAIL_12V.0 };
        let frequency = self.frequency_hz.unwrap_or(class.frequency_hz);
        let stretch = other(&frequency) / end(&frequency);
        let stage_a = end(&self.stage_a.unwrap_or(class.stage_a));
        Corner {
            converter: Converter {
                count: end(&self.count),
                input_v: end(&rail),
                inductance_h: end(&self.inductance_h.unwrap_or(class.inductance_h)) * stretch,
                frequency_hz: end(&frequency),
                stage: Stage {
                    high_side_ohm: end(&class.upper_ohm) * end(&rail) / other(&rail),
                    low_side_ohm: end(&class.lower_ohm),
                    winding_ohm: end(&class.winding_ohm),
                    rise_s: end(&class.rise_s),
                    fall_s: end(&class.fall_s),
                    high_side_gate_c: end(&class.gate_c[0]),
                    low_side_gate_c: end(&class.gate_c[1]),
                    drive_v: end(&class.drive_v),
                    dead_rise_s: end(&class.dead_s),
                    dead_fall_s: end(&class.dead_s),
                    body_diode_v: end(&COMMON.body_diode_v),
                    high_side_output_c: end(&class.output_c[0]),
                    low_side_output_c: end(&class.output_c[1]),
                    recovery_c: end(&class.recovery_c),
                },
                switch_per_k: end(&COMMON.switch_per_k),
                core: Core {
                    volume_m3: end(&COMMON.core_m3),
                    turns_area_m2: end(&COMMON.turns_area_m2) * stretch,
                    coefficient_w_m3: end(&COMMON.core_w_m3),
                    frequency_exponent: end(&COMMON.core_exponents[0]),
                    flux_exponent: end(&COMMON.core_exponents[1]),
                },
                plane_ohm: end(&COMMON.plane_ohm),
                load_line_ohm: 0.0,
                body: Body {
                    upper_k_w: end(&class.to_board_k_w[0]),
                    lower_k_w: end(&class.to_board_k_w[1]),
                    inductor_k_w: end(&class.inductor_k_w),
                    board_area_m2: end(&class.board_area_m2),
                    inductor_area_m2: end(&COMMON.inductor_area_m2),
                    flow_length_m: FLOW_LENGTH_M,
                    emissivity: EMISSIVITY,
                    switch_j_k: end(&COMMON.switch_j_k),
                    inductor_j_k: end(&COMMON.inductor_j_k),
                    board_j_k: end(&class.board_j_k),
                },
            },
            air,
            limits: Limits {
                junction_c: end(&COMMON.junction_c),
                inductor_c: end(&COMMON.inductor_c),
                board_c: end(&COMMON.board_c),
                stage_a,
                peak_a: stage_a * end(&COMMON.peak_over_rated),
            },
            set_v: end(&self.volts),
        }
    }
}

/// Length of the faces along the air's way.
///
/// # Source
/// common practice, no source: the row of stages beside a socket is about this deep.
const FLOW_LENGTH_M: f64 = 0.05;

/// Emissivity of solder mask, mould compound and anodised heatsinks.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.11 (paints and non-metals 0.8 to
/// 0.95; anodised aluminium 0.8); from memory.
const EMISSIVITY: f64 = 0.85;

/// A converter with everything unknown at one end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Converter.
    pub converter: Converter,
    /// Air over it.
    pub air: Air,
    /// Limits.
    pub limits: Limits,
    /// Voltage at the processor.
    pub set_v: f64,
}

/// The class's own interval of a reading that nobody took, over all classes it may be of.
pub fn class_hull(readings: &StageReadings, of: impl Fn(&ClassSpans) -> Span) -> Option<Span> {
    readings.classes.iter().map(|class| of(&spans(*class))).reduce(|a, b| {
        let (low, high) =
            (a.weak.min(a.strong).min(b.weak).min(b.strong), a.weak.max(a.strong).max(b.weak).max(b.strong));
        if a.weak <= a.strong { Span { weak: low, strong: high } } else { Span { weak: high, strong: low } }
    })
}
